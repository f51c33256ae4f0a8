"""Hints that hold the answer: its move as written, both its squares, or its man and where to."""

from __future__ import annotations

import re
from typing import Final

from plybook.board.model import Ply

__all__ = ["gives_away"]

_MEN: Final = {
    "p": "pawn",
    "n": "knight",
    "b": "bishop",
    "r": "rook",
    "q": "queen",
    "k": "king",
}
_TO: Final = r"(?:to|(?:take|takes|capture|captures)(?: on)?|×|x)"
#: The move told the other way round: take on f7 with the queen.
_DO: Final = (
    r"(?:play|go|move|step|jump|land|check|take|capture|strike|hit|push|put|attack)"
    r"(?:s|es|ing)?"
)
_NEAR: Final = r"(?:\W+\w+){0,4}?\W+"  # a few words between the man and where it goes


def gives_away(hint: str, answer: tuple[Ply, ...]) -> Ply | None:
    """Return the move of the answer that a hint names, or None.

    A square alone is no move: hints may speak of squares. `answer` holds the pupil's moves.
    """
    return next((ply for ply in answer if _names(hint, ply)), None)


def _names(hint: str, ply: Ply) -> bool:
    san = ply.san.rstrip("+#")
    is_bare = ply.man == "p" and len(san) == 2  # the move e4 is written as the square is
    number = r"\d+\.(?:\.\.)?\s*" if is_bare else ""
    if re.search(rf"(?<!\w){number}{re.escape(san)}(?!\w)", hint):
        return True
    squares = rf"(?<!\w){ply.origin}(?:\s*(?:-|–|x|×|→)\s*|\s+to\s+|){ply.target}(?!\w)"
    if re.search(squares, hint):
        return True
    if ply.rook:
        return bool(re.search(r"(?<!\w)castl(?:e|es|ing)(?!\w)", hint, re.IGNORECASE))
    man = rf"(?<!\w){_MEN[ply.man]}{_NEAR}{_TO}\W+{ply.target}(?!\w)"
    turned = rf"(?<!\w){_DO}{_NEAR}{ply.target}{_NEAR}(?:with|by){_NEAR}{_MEN[ply.man]}(?!\w)"
    return any(re.search(words, hint, re.IGNORECASE) for words in (man, turned))
