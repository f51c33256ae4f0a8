"""Ways on the board: where an arrow runs, and the pieces of path its tail and head are made of.

Board units: a square has 45, the upper left corner is 0 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Final

__all__ = ["Point", "Stroke", "centre"]

Point = tuple[float, float]

_CORNER: Final = 9.0  # radius of an elbow


def centre(square: str, *, turned: bool = False) -> Point:
    """Return the middle of a square, on a board seen from White, or from Black when `turned`."""
    file, rank = ord(square[0]) - 97, int(square[1]) - 1
    column, row = (7 - file, rank) if turned else (file, 7 - rank)
    return 45 * column + 22.5, 45 * row + 22.5


@dataclass(frozen=True, slots=True)
class Stroke:
    """A way along straight legs, from its first point to its last."""

    points: tuple[Point, ...]

    @property
    def length(self) -> float:
        """The length of all legs."""
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(self.points))

    def cut(self, start: float, stop: float) -> Stroke:
        """Return the way without its first `start` and last `stop` units; corners stay."""
        first, last = self.points[0], self.points[-1]
        ahead = _unit(first, self.points[1])
        back = _unit(last, self.points[-2])
        return Stroke((_along(first, ahead, start), *self.points[1:-1], _along(last, back, stop)))

    def moved_aside(self, distance: float) -> Stroke:
        """Return a straight way moved to its right; a way with a corner stays where it is."""
        if not distance or len(self.points) != 2:
            return self
        aside = _left(_unit(*self.points))
        return Stroke(tuple(_along(point, aside, distance) for point in self.points))

    def split(self, at: int) -> tuple[Stroke, Stroke]:
        """Return the ways before and after the inner point number `at`."""
        return Stroke(self.points[: at + 1]), Stroke(self.points[at:])

    def reversed(self) -> Stroke:
        """Return the way back."""
        return Stroke(self.points[::-1])

    def stations(self, step: float) -> list[Point]:
        """Return the points every `step` units along each leg, both ends included."""
        found = [self.points[0]]
        for a, b in pairwise(self.points):
            way, length = _unit(a, b), hypot(b[0] - a[0], b[1] - a[1])
            found += [_along(a, way, step * k) for k in range(1, round(length / step) + 1)]
        return found

    # ---- path data

    def path(self) -> str:
        """Return the path of the way, its corners rounded."""
        text = f"M{_at(self.points[0])}"
        for before, corner, after in zip(
            self.points, self.points[1:], self.points[2:], strict=False
        ):
            enter = _along(corner, _unit(corner, before), _CORNER)
            leave = _along(corner, _unit(corner, after), _CORNER)
            text += f"L{_at(enter)}Q{_at(corner)} {_at(leave)}"
        return f"{text}L{_at(self.points[-1])}"

    def zigzag(self, *, width: float = 3.4, pace: float = 4.5, calm: float = 10.0) -> str:
        """Return the path of the way as a zigzag that runs straight near its ends and corners."""
        text = f"M{_at(self.points[0])}"
        last = len(self.points) - 2
        for leg, (a, b) in enumerate(pairwise(self.points)):
            way, length = _unit(a, b), hypot(b[0] - a[0], b[1] - a[1])
            aside = _left(way)
            lead = 6.0 if leg == 0 else 4.0
            teeth = int((length - lead - (calm if leg == last else 4.0)) // pace)
            for tooth in range(teeth):
                spot = _along(a, way, lead + pace * (tooth + 0.5))
                text += f"L{_at(_along(spot, aside, width if tooth % 2 else -width))}"
            text += f"L{_at(b)}"
        return text

    def barb(self, *, back: float = 0, length: float = 9, spread: float = 6.5) -> str:
        """Return an open arrow head whose tip lies `back` units before the end."""
        left, tip, right = self._tip(back, length, spread)
        return f"M{left}L{tip}L{right}"

    def head(self, length: float, spread: float) -> str:
        """Return a closed arrow head at the end."""
        left, tip, right = self._tip(0, length, spread)
        return f"M{left}L{tip}L{right}Z"

    def bar(self, spread: float) -> str:
        """Return a cross-bar at the end."""
        aside = _left(_unit(self.points[-2], self.points[-1]))
        end = self.points[-1]
        return f"M{_at(_along(end, aside, spread))}L{_at(_along(end, aside, -spread))}"

    def dot(self, radius: float) -> str:
        """Return a disc at the beginning."""
        x, y = self.points[0]
        return (
            f"M{_at((x - radius, y))}a{radius:g} {radius:g} 0 1 0 {2 * radius:g} 0"
            f"a{radius:g} {radius:g} 0 1 0 {-2 * radius:g} 0z"
        )

    def block(self, half: float) -> str:
        """Return a square block at the beginning, in line with the way."""
        way = _unit(self.points[0], self.points[1])
        aside, start = _left(way), self.points[0]
        back, front = _along(start, way, -half), _along(start, way, half)
        corners = (
            _along(back, aside, half),
            _along(front, aside, half),
            _along(front, aside, -half),
            _along(back, aside, -half),
        )
        return "M" + "L".join(map(_at, corners)) + "Z"

    def _tip(self, back: float, length: float, spread: float) -> tuple[str, str, str]:
        way = _unit(self.points[-2], self.points[-1])
        aside = _left(way)
        tip = _along(self.points[-1], way, -back)
        foot = _along(tip, way, -length)
        return _at(_along(foot, aside, spread)), _at(tip), _at(_along(foot, aside, -spread))


def _unit(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _left(way: Point) -> Point:
    return -way[1], way[0]


def _along(point: Point, way: Point, distance: float) -> Point:
    return point[0] + way[0] * distance, point[1] + way[1] * distance


def _at(point: Point) -> str:
    """Return a point as path data with at most one decimal, never a minus zero."""
    return f"{round(point[0], 1) + 0.0:g} {round(point[1], 1) + 0.0:g}"
