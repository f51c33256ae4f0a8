"""Piece letters as a page shows them: figurines, or the letters of a language.

The letters of the languages are those of the PGN standard (1994-03-12), section 17. What is
published for programs (PGN files, data of a page) keeps the English ones.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from plybook.text.notation import PRINTED

__all__ = ["FIGURINE", "move_html", "move_text"]

FIGURINE: Final = "figurine"

_TABLES: Final = {
    name: str.maketrans(dict(zip("NBRQK", letters[1:], strict=True)))
    for name, letters in PRINTED.items()
}
_PIECE = re.compile(r"[KQRBN]")


@lru_cache(maxsize=4096)
def move_text(san: str, letters: str) -> str:
    """Return a move in plain text. Figurines have no plain form: they are the English letters."""
    if letters == FIGURINE or "O" in san:
        return san
    return san.translate(_TABLES[letters])


@lru_cache(maxsize=4096)
def move_html(san: str, letters: str) -> str:
    """Return a move as HTML: a figurine is its English letter in an `i` (set in a font of five)."""
    if letters != FIGURINE or "O" in san:
        return move_text(san, letters)
    return _PIECE.sub(r"<i>\g<0></i>", san)
