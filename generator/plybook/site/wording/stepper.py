"""What a page carries so that a browser can step through a line without knowing chess.

A square is one of 64 characters: `A`-`Z`, `a`-`z`, `0`-`9`, `-`, `_` for a1, b1 … h8. A ply is the
square left and the square reached, and where it does more: `+` and two squares, a second man moves
(castling); `!` and a square, a man vanishes there (en passant); `=` and a letter, the man becomes
that man, its case telling the side. Brackets hold an alternative to the ply before them.
"""

from __future__ import annotations

import json
from typing import Any, Final

from plybook.board.model import Line, Ply
from plybook.site.wording.tree import walk

__all__ = ["SQUARE_SIGNS", "encode_moves", "json_for_script", "read_moves"]

SQUARE_SIGNS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
_SIGN_OF: Final = {
    f"{file}{rank}": SQUARE_SIGNS[8 * row + column]
    for row, rank in enumerate("12345678")
    for column, file in enumerate("abcdefgh")
}
_INDEX_OF: Final = {sign: index for index, sign in enumerate(SQUARE_SIGNS)}


def encode_moves(line: Line) -> str:
    """Return the plies of a line as a string of square signs, variations in brackets."""
    parts: list[str] = []
    depth = 0
    for closes, begins, ply in walk(line):
        if closes:
            parts.append(")" * closes)
        if begins:
            parts.append("(")
        parts.append(f"{_SIGN_OF[ply.origin]}{_SIGN_OF[ply.target]}{_suffix(ply)}")
        depth = ply.depth
    parts.append(")" * depth)
    return "".join(parts)


def _suffix(ply: Ply) -> str:
    if ply.rook:
        return f"+{_SIGN_OF[ply.rook[0]]}{_SIGN_OF[ply.rook[1]]}"
    if ply.promotion:
        return f"={ply.promotion.upper() if ply.mover == 'white' else ply.promotion}"
    if ply.captured_on and ply.captured_on != ply.target:
        return f"!{_SIGN_OF[ply.captured_on]}"
    return ""


def read_moves(start: str, moves: str) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """Return the placement of every place of a line, and each place's parent (-1 at the start).

    This is the reader that the page script has too: it moves characters and knows no chess.
    """
    placements, parents = [start], [-1]
    here = at = 0
    left: list[int] = []  # where to go on when a bracket closes
    while at < len(moves):
        sign = moves[at]
        if sign == "(":
            left.append(here)
            here = parents[here]
            at += 1
        elif sign == ")":
            here = left.pop()
            at += 1
        else:
            placement, at = _read_ply(placements[here], moves, at)
            parents.append(here)
            placements.append(placement)
            here = len(placements) - 1
    return tuple(placements), tuple(parents)


def _read_ply(placement: str, moves: str, at: int) -> tuple[str, int]:
    """Return the placement after the ply that is written at `at`, and where it ends."""
    squares = list(placement)
    origin, target = _INDEX_OF[moves[at]], _INDEX_OF[moves[at + 1]]
    man, squares[origin] = squares[origin], "."
    at += 2
    mark = moves[at : at + 1]
    if mark == "+":
        # Both men are lifted before either is set down: their squares may overlap.
        second, target2 = _INDEX_OF[moves[at + 1]], _INDEX_OF[moves[at + 2]]
        rook, squares[second] = squares[second], "."
        squares[target2] = rook
        at += 3
    elif mark == "!":
        squares[_INDEX_OF[moves[at + 1]]] = "."
        at += 2
    elif mark == "=":
        man = moves[at + 1]
        at += 2
    squares[target] = man
    return "".join(squares), at


def json_for_script(value: Any) -> str:
    """Return `value` as JSON that is safe inside a script element of a page."""
    text = json.dumps(
        value, ensure_ascii=True, sort_keys=True, allow_nan=False, separators=(",", ":")
    )
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")
