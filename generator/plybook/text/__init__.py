"""What the coach wrote: files, heads, Markdown, movetext and blocks, all with their spans.

No chess is known here: a move is a word with a place in a file.
"""
