"""The rail under the plate: an engraved scale of a line's plies, with its sidelines as branches.

The script makes it one slider. A column is a ply, whatever line it belongs to, so a sideline's
own plies stand under the plies of the main line they replace. Lines that tell something of the
opening have a chart on the same scale instead (chart.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup, escape

from plybook.board.model import Line, Ply

__all__ = ["ROW", "WIDTH", "Ruler", "depths_of", "draw_hooks", "draw_numbers", "rail_svg"]

WIDTH: Final = 416.0
ROW: Final = 19.0  # of sidelines
_LEFT: Final = 12.0  # where place 0 stands
_WIDEST: Final = 27.0  # a short line does not spread over the whole width
_AXIS: Final = 20.0
_FIRST_ROW: Final = 39.0
_BOX: Final = 14.0
_ROOM: Final = 24.0  # between two printed numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """Where plies stand: the x of place 0, the width of a column, the y of the axis and of the
    first row of sidelines, all in units of the view box."""

    left: float
    column: float
    axis: float
    first_row: float

    def at(self, depth: float) -> float:
        """Return the x of the middle of a column, counted in plies from the start."""
        return self.left + self.column * depth

    def x(self, depth: float) -> str:
        """Return the same as it is written: to a tenth, which no eye misses."""
        return f"{round(self.at(depth), 1):g}"


def rail_svg(line: Line, *, letters: Mapping[int, str]) -> Markup:
    """Return the rail of a line. `letters` names sidelines by the place of their first ply.

    `data-x` is the x of place 0 and `data-w` the width of a column, in units of the view box.
    """
    depths = depths_of(line)
    column = min(_WIDEST, (WIDTH - 2 * _LEFT) / max(*depths, 1))
    ruler = Ruler(left=_LEFT, column=column, axis=_AXIS, first_row=_FIRST_ROW + 4)
    hooks, rows = draw_hooks(line, letters, depths, ruler, has_rows=True)
    height = _AXIS + 10 if not rows else _FIRST_ROW + ROW * rows - 4
    main = list(line.main())
    return Markup(  # names and letters are escaped, the rest is numbers
        f'<svg class="rail" data-line="{escape(line.name)}" data-x="{_LEFT:g}"'
        f' data-w="{column:.4g}" viewBox="0 0 {WIDTH:g} {height:g}" aria-hidden="true">'
        f"{_scale(main, ruler)}{hooks}"
        f'<path class="now" d="M0 {_AXIS - 2:g}l-4.6-8.4h9.2z"/></svg>'
    )


def depths_of(line: Line) -> list[int]:
    """Return how many plies lie between the start and each place."""
    depths = [0]
    for ply in line.plies:
        depths.append(depths[ply.parent] + 1)
    return depths


def _scale(main: list[Ply], ruler: Ruler) -> str:
    """Return axis, ticks and move numbers of the main line."""
    end = ruler.x(len(main))
    ticks = "".join(
        f"M{ruler.x(at)} {_AXIS}v{5 if ply.mover == 'white' else 3}"
        for at, ply in enumerate(main, 1)
    )
    return (
        f'<path class="ax" d="M{_LEFT:g} {_AXIS:g}H{end}"/>'
        f'<path class="tk" d="M{_LEFT:g} {_AXIS - 3:g}v9{ticks}"/>'
        f'<path class="go" d="M{_LEFT:g} {_AXIS:g}H{end}"/>'
        f'<g class="nos">{draw_numbers(enumerate(main, 1), ruler, below=15)}</g>'
    )


def draw_numbers(plies: Iterable[tuple[int, Ply]], ruler: Ruler, *, below: float) -> str:
    """Return the numbers of White's moves, as many as have room, so far below the axis.

    `plies` come with their depth.
    """
    numbers = []
    free = 0.0
    for depth, ply in plies:
        x = ruler.at(depth)
        if ply.mover == "white" and x >= free:
            numbers.append(
                f'<text x="{ruler.x(depth)}" y="{ruler.axis + below:g}">{ply.number}</text>'
            )
            free = x + _ROOM
    return "".join(numbers)


def draw_hooks(
    line: Line, letters: Mapping[int, str], depths: list[int], ruler: Ruler, *, has_rows: bool
) -> tuple[str, int]:
    """Return the branches and the number of rows they need; a row holds what does not overlap.

    With `has_rows` a branch says where its row lies (`data-y`): the place is marked there.
    """
    ends: list[float] = []
    parts = []
    for place, letter in letters.items():
        start = depths[place]
        plies = _reach(line, place, depths) - start + 1
        left = ruler.at(start - 0.5)
        box = max(left + 4, ruler.at(start) - _BOX / 2)
        right = max(box + _BOX, ruler.at(start + plies - 1)) + 6
        row = next((at for at, end in enumerate(ends) if end <= left - 4), len(ends))
        if row == len(ends):
            ends.append(right)
        else:
            ends[row] = right
        y = ruler.first_row + ROW * row
        own = "".join(
            f"M{ruler.x(start + k)} {y + 4:g}v6"
            for k in range(1, plies)
            if ruler.at(start + k) > box + _BOX
        )
        tail = (
            f'<path class="bt" d="M{box + _BOX:.4g} {y + 7:g}H{right - 6:.4g}{own}"/>'
            if own
            else ""
        )
        lies = f' data-y="{y + 7:g}"' if has_rows else ""
        parts.append(
            f'<g class="br" data-i="{place}"{lies}>'
            f'<path class="hit" d="M{left:.4g} {y - 2.5:g}H{right:.4g}v{ROW:g}H{left:.4g}z"/>'
            f'<path class="hk" d="M{left:.4g} {ruler.axis:g}V{y + 3:g}q0 4 4 4H{box:.4g}"/>{tail}'
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
    return max(depths[follower] for follower in followers)
