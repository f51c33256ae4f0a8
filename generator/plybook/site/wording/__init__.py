"""Text: a ply aloud, a line as HTML and as PGN, prose, and the words of a language."""
