"""Exercises: sound or not, and the table by which a page knows every move that may be tried."""
