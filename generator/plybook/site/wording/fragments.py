"""Addresses of positions: the part behind `#`, the same after every rebuild.

`LINE@start` is where a line begins; `LINE@4...g6` the position after a move of the main line. In a
sideline the first moves of the sidelines entered come before it: `trap@5...dxe5~6.Qxg4`.
"""

from __future__ import annotations

from plybook.board.model import Line
from plybook.site.wording.tree import walk

__all__ = ["fragments_of"]


def fragments_of(line: Line) -> tuple[str, ...]:
    """Return the fragment of every place of a line; place 0 is the start.

    A fragment names moves, never their count or order, so a new sideline leaves the others alone.
    """
    found = [f"{line.name}@start"]
    entered = [f"{line.name}@"]  # by place: the sidelines that lead to it
    counts: dict[str, int] = {}
    for _, begins, ply in walk(line):
        way = entered[ply.parent]
        dots = "." if ply.mover == "white" else "..."
        fragment = f"{way}{ply.number}{dots}{ply.san.rstrip('+#')}"
        # Two variations may begin with one move, nested at the same ply: count the later ones.
        count = counts[fragment] = counts.get(fragment, 0) + 1
        if count > 1:
            fragment = f"{fragment}~{count}"
        found.append(fragment)
        entered.append(f"{fragment}~" if begins else way)
    return tuple(found)
