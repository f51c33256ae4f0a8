"""The order in which a line is written down: where variations open and close."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plybook.board.model import Line, Ply

__all__ = ["Written", "sideline_letters", "walk"]


#: How many variations end before a ply, whether it begins one (it is then an alternative to a ply
#: before it), and the ply.
Written = tuple[int, bool, Ply]


def walk(line: Line) -> Iterator[Written]:
    """Yield the plies of a line as they are written, with the brackets between them."""
    depth = 0
    answered: set[int] = set()
    for ply in line.plies:
        begins = ply.parent in answered
        yield depth - ply.depth + begins, begins, ply
        answered.add(ply.parent)
        depth = ply.depth


def sideline_letters(line: Line) -> Mapping[int, str]:
    """Return the letter of each sideline of the main line, by the place of its first ply."""
    first = [ply.index for _, begins, ply in walk(line) if begins and ply.depth == 1]
    return {place: _letter(count) for count, place in enumerate(first)}


def _letter(count: int) -> str:
    """Return A … Z, then AA, AB … for a 0-based count."""
    last = chr(ord("A") + count % 26)
    return last if count < 26 else _letter(count // 26 - 1) + last
