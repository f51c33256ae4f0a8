"""Bringing games in: looking through files of other programs, and lessons begun from a game."""
