"""The rail under the plate: an engraved scale of a line's plies, with its sidelines as branches.

The script makes it one slider. A column is a ply, whatever line it belongs to, so a sideline's
own plies stand under the plies of the main line they replace.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from markupsafe import Markup, escape

from plybook.board.model import Line, Ply

__all__ = ["rail_svg"]

_LEFT: Final = 12.0  # where place 0 stands
_WIDTH: Final = 416.0
_WIDEST: Final = 27.0  # a short line does not spread over the whole width
_AXIS: Final = 20.0
_FIRST_ROW: Final = 39.0
_ROW: Final = 19.0
_BOX: Final = 14.0
_ROOM: Final = 24.0  # between two printed numbers


def rail_svg(line: Line, *, letters: Mapping[int, str]) -> Markup:
    """Return the rail of a line. `letters` names sidelines by the place of their first ply.

    `data-x` is the x of place 0 and `data-w` the width of a column, in units of the view box.
    """
    depth = _depths(line)
    columns = max(depth, default=0)
    column = min(_WIDEST, (_WIDTH - 2 * _LEFT) / max(columns, 1))
    hooks, rows = _hooks(line, letters, depth, column)
    height = _AXIS + 10 if not rows else _FIRST_ROW + _ROW * rows - 4
    main = list(line.main())
    return Markup(  # names and letters are escaped, the rest is numbers
        f'<svg class="rail" data-line="{escape(line.name)}" data-x="{_LEFT:g}"'
        f' data-w="{column:.4g}" viewBox="0 0 {_WIDTH:g} {height:g}" aria-hidden="true">'
        f"{_scale(main, column)}{hooks}"
        f'<path class="now" d="M0 {_AXIS - 2:g}l-4.6-8.4h9.2z"/></svg>'
    )


def _depths(line: Line) -> list[int]:
    """Return how many plies lie between the start and each place, place 0 left out."""
    depths = [0]
    for ply in line.plies:
        depths.append(depths[ply.parent] + 1)
    return depths[1:]


def _scale(main: list[Ply], column: float) -> str:
    """Return axis, ticks and move numbers of the main line."""
    end = _LEFT + column * len(main)
    ticks = "".join(
        f"M{_x(at, column)} {_AXIS}v{5 if ply.mover == 'white' else 3}"
        for at, ply in enumerate(main, 1)
    )
    numbers = []
    free = 0.0
    for at, ply in enumerate(main, 1):
        x = _LEFT + column * at
        if ply.mover == "white" and x >= free:
            numbers.append(f'<text x="{x:.4g}" y="{_AXIS + 15:g}">{ply.number}</text>')
            free = x + _ROOM
    return (
        f'<path class="ax" d="M{_LEFT:g} {_AXIS:g}H{end:.4g}"/>'
        f'<path class="tk" d="M{_LEFT:g} {_AXIS - 3:g}v9{ticks}"/>'
        f'<path class="go" d="M{_LEFT:g} {_AXIS:g}H{end:.4g}"/>'
        f'<g class="nos">{"".join(numbers)}</g>'
    )


def _hooks(
    line: Line, letters: Mapping[int, str], depths: list[int], column: float
) -> tuple[str, int]:
    """Return the branches and the number of rows they need; a row holds what does not overlap."""
    ends: list[float] = []
    parts = []
    for place, letter in letters.items():
        start = depths[place - 1]
        plies = _reach(line, place, depths) - start + 1
        left = _LEFT + column * (start - 0.5)
        box = max(left + 4, _LEFT + column * start - _BOX / 2)
        right = max(box + _BOX, _LEFT + column * (start + plies - 1)) + 6
        row = next((at for at, end in enumerate(ends) if end <= left - 4), len(ends))
        if row == len(ends):
            ends.append(right)
        else:
            ends[row] = right
        y = _FIRST_ROW + _ROW * row + 4
        own = "".join(
            f"M{_x(start + k, column)} {y + 4:g}v6"
            for k in range(1, plies)
            if _LEFT + column * (start + k) > box + _BOX
        )
        tail = (
            f'<path class="bt" d="M{box + _BOX:.4g} {y + 7:g}H{right - 6:.4g}{own}"/>'
            if own
            else ""
        )
        parts.append(
            f'<g class="br" data-i="{place}" data-y="{y + 7:g}">'
            f'<path class="hit" d="M{left:.4g} {y - 2.5:g}H{right:.4g}v{_ROW:g}H{left:.4g}z"/>'
            f'<path class="hk" d="M{left:.4g} {_AXIS:g}V{y + 3:g}q0 4 4 4H{box:.4g}"/>{tail}'
            f'<rect x="{box:.4g}" y="{y:g}" width="{_BOX:g}" height="{_BOX:g}"/>'
            f'<text x="{box + _BOX / 2:.4g}" y="{y + 10.9:.4g}">{escape(letter)}</text></g>'
        )
    return "".join(parts), len(ends)


def _reach(line: Line, place: int, depths: list[int]) -> int:
    """Return the depth of the last ply that follows from `place`, in whatever variation."""
    followers = {place}
    for ply in line.plies[place:]:
        if ply.parent in followers:
            followers.add(ply.index)
    return max(depths[follower - 1] for follower in followers)


def _x(at: int, column: float) -> str:
    return f"{_LEFT + column * at:.4g}"
