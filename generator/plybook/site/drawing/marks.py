"""Arrows and marks: each role told apart by its shape, in black and white, before any colour.

Everything is drawn at build time in board units: a square has 45, a8 begins at 0 0. The shapes of
an arrow are its tail, its line and its head; a mark's shapes stand around its square, each role in
a zone of its own, so that several marks on one square stay readable.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final

from markupsafe import Markup

from plybook.board.model import Mark, Side
from plybook.site.drawing.paint import Paint, Painter, Shape, class_painter, draw
from plybook.site.drawing.strokes import Point, Stroke, centre

__all__ = ["MARK_PAINTS", "ROLE_NAMES", "draw_marks", "legend_picture"]

#: The word of each role, as a legend says it. The key is (is it an arrow, role).
ROLE_NAMES: Final[Mapping[tuple[bool, str], str]] = {
    (True, "attack"): "attacks",
    (True, "guard"): "guards",
    (True, "pin"): "pins",
    (True, "check"): "checks",
    (True, "threat"): "threatens",
    (True, "move"): "moves",
    (True, "plan"): "plans",
    (False, "target"): "target",
    (False, "loose"): "loose",
    (False, "hanging"): "hanging",
    (False, "weak"): "weak square",
    (False, "safe"): "safe",
    (False, "flight"): "flight square",
}

_WIDTHS: Final[Mapping[str, float]] = {
    "attack": 3.1,
    "guard": 6.0,
    "pin": 2.3,
    "check": 3.1,
    "threat": 2.6,
    "move": 2.6,
    "plan": 2.7,
    "loose": 2.8,
    "weak": 3.0,
    "safe": 2.8,
    "flight": 2.8,
}
_DASHES: Final[Mapping[str, tuple[float, ...]]] = {"plan": (6.5, 4.8), "weak": (9.0, 5.3)}
_FILLED: Final = ("attack", "check", "threat", "move", "pin", "target", "hanging")
_BLUNT: Final = ("guard", "plan", "weak", "move")


def _paints() -> dict[str, Paint]:
    """Return the paints of the marks: halos first, then a line and a filled paint a role."""
    halo = Paint(stroke="@board", width=6.8, cap="round", join="round", grows=True)
    paints = {
        "m-h": halo,
        "m-hs": Paint(stroke="@board", width=3.2, join="round"),
        "m-hw": Paint(stroke="@board", width=9.6, grows=True),
        "m-in": Paint(stroke="@board", width=2.8, grows=True),
    }
    for role, width in _WIDTHS.items():
        paints[f"m-{role}"] = Paint(
            stroke=f"@{role}",
            width=width,
            dashes=_DASHES.get(role, ()),
            cap="" if role in _BLUNT else "round",
            join="round",
            grows=True,
        )
    for role in _FILLED:
        paints[f"f-{role}"] = Paint(fill=f"@{role}")
    paints["m-bar"] = Paint(stroke="@guard", width=3.8, grows=True)
    paints["m-peg"] = Paint(stroke="@pin", width=3.2, cap="round", grows=True)
    paints["m-dot"] = Paint(stroke="@pin", width=2.3, dashes=(1.5, 3.4), grows=True)
    paints["m-tip"] = Paint(fill="@board", stroke="@plan", width=2.3, join="round", grows=True)
    paints["m-ring"] = Paint(fill="@board", stroke="@pin", width=2.3, grows=True)
    return paints


MARK_PAINTS: Final[Mapping[str, Paint]] = _paints()

_START_GAP: Final = 15.0
_STOP_GAP: Final = 14.0
_RING_GAP: Final = 23.0  # before a ring, and for the bar of a guard: it would cut off a head
_SHORT_GAP: Final = 8.0  # between neighbours there is no room to stand clear of the man
_LANE: Final = 7.0
_PIN_GAP: Final = 16.0


def draw_marks(
    marks: Sequence[Mark],
    *,
    placement: str,
    seen_from: Side = "white",
    paint: Painter = class_painter,
) -> str:
    """Return the marks as SVG groups: marks on squares first, arrows over them.

    `placement` has 64 characters, a1 to h8; a knight's elbow turns on the emptier of its corners.
    """
    turned = seen_from == "black"
    rings = frozenset(mark.squares[0] for mark in marks if not mark.is_arrow)
    lanes = _lanes([mark for mark in marks if mark.is_arrow])
    parts = []
    for mark in marks:
        if not mark.is_arrow:
            x, y = centre(mark.squares[0], turned=turned)
            parts.append(
                f'<g data-role="{mark.role}" transform="translate({x - 22.5:g} {y - 22.5:g})">'
                f'<g class="up">{draw(_SQUARE_SHAPES[mark.role], paint)}</g></g>'
            )
    for mark in marks:
        if mark.is_arrow:
            shapes = _arrow(
                mark.role, mark.squares, placement, mark.squares[-1] in rings, lanes[mark], turned
            )
            parts.append(f'<g data-role="{mark.role}">{draw(shapes, paint)}</g>')
    return "".join(parts)


def legend_picture(role: str, is_arrow: bool) -> Markup:
    """Return a small picture of a role's mark for the legend; it says nothing to a listener."""
    if is_arrow:
        is_pin = role == "pin"
        shapes = _pin_shapes(_LEGEND_PIN, 7) if is_pin else _arrow_shapes(role, _LEGEND_STROKE)
        width, height = (64 if is_pin else 45), 16
        box = f"0 0 {width} {height}"
    else:
        shapes = _SQUARE_SHAPES[role]
        box, width, height = _LEGEND_BOXES.get(role, ("0 0 45 45", 20, 20))
    return Markup(  # numbers and our own paths alone
        f'<svg class="lp {"ar" if is_arrow else "sq"}" viewBox="{box}" width="{width}"'
        f' height="{height}" aria-hidden="true">{draw(shapes, class_painter)}</svg>'
    )


# ------------------------------------------------------------------ arrows


def _lanes(arrows: Sequence[Mark]) -> dict[Mark, float]:
    """Return how far each arrow is moved aside: arrows between the same squares lie in lanes."""

    def ends(mark: Mark) -> frozenset[str]:
        return frozenset((mark.squares[0], mark.squares[-1]))

    totals = Counter(ends(mark) for mark in arrows)
    seen: Counter[frozenset[str]] = Counter()
    lanes = {}
    for mark in arrows:
        pair = ends(mark)
        aside = (seen[pair] - (totals[pair] - 1) / 2) * _LANE
        seen[pair] += 1
        # A lane is a side of the pair, not of the arrow: the way back must not change sides.
        lanes[mark] = aside if mark.squares[0] < mark.squares[-1] else -aside
    return lanes


@lru_cache(maxsize=4096)
def _arrow(
    role: str,
    squares: tuple[str, ...],
    placement: str,
    has_ring: bool,
    aside: float,
    turned: bool,
) -> tuple[Shape, ...]:
    """Return the shapes of an arrow; it begins beside its man and stops short of its target."""
    points = [centre(square, turned=turned) for square in squares]
    if len(points) == 2:
        points = _with_elbow(points, squares, placement, turned=turned)
    stroke = Stroke(tuple(points)).moved_aside(aside)
    is_wide = has_ring or role == "guard"
    if stroke.length < 50:
        return _arrow_shapes(role, stroke.cut(_SHORT_GAP, 18.0 if is_wide else 12.0))
    return _arrow_shapes(role, stroke.cut(_START_GAP, _RING_GAP if is_wide else _STOP_GAP))


def _with_elbow(
    points: list[Point], squares: tuple[str, ...], placement: str, *, turned: bool
) -> list[Point]:
    """Return the way of a knight's move round its emptier corner; other ways are straight."""
    (x1, y1), (x2, y2) = points
    if {round(abs(x1 - x2)), round(abs(y1 - y2))} != {45, 90}:
        return points
    long_first = (x1, y2) if abs(y1 - y2) > 50 else (x2, y1)
    short_first = (x2, y1) if abs(y1 - y2) > 50 else (x1, y2)

    def men_on(corner: Point) -> int:
        way = Stroke((points[0], corner, points[1])).stations(45)[1:-1]
        return sum(placement[_index_at(point, turned=turned)] != "." for point in way)

    corner = min((long_first, short_first), key=men_on)
    # Where a man stands on either way round, the straight way between them is the clearer one.
    return points if men_on(corner) else [points[0], corner, points[1]]


def _index_at(point: Point, *, turned: bool) -> int:
    file, rank = int(point[0] // 45), 7 - int(point[1] // 45)
    index = 8 * rank + file
    return 63 - index if turned else index


def _arrow_shapes(role: str, stroke: Stroke) -> tuple[Shape, ...]:
    """Return halo, tail, line and head of an arrow of this role."""
    line, ink = f"m-{role}", f"f-{role}"
    match role:
        case "attack":
            whole = stroke.path() + stroke.barb()
            return (*_halo(whole, stroke.dot(4.8)), (line, whole), (ink, stroke.dot(3.5)))
        case "guard":
            way, bar = stroke.path(), stroke.bar(8.5)
            return (("m-hw", way), ("m-h", bar), (line, way), ("m-in", way), ("m-bar", bar))
        case "check":
            whole = (
                stroke.path()
                + stroke.barb(length=7.5, spread=6.2)
                + stroke.barb(back=6.5, length=7.5, spread=6.2)
            )
            return (*_halo(whole, stroke.block(5.2)), (line, whole), (ink, stroke.block(4.2)))
        case "threat":
            whole = stroke.zigzag() + stroke.barb()
            return (*_halo(whole, stroke.dot(4.8)), (line, whole), (ink, stroke.dot(3.5)))
        case "move":
            way, head = stroke.cut(0, 8).path(), stroke.head(11, 6)
            return (("m-h", way + head), (line, way), (ink, head))
        case "plan":
            way, head = stroke.cut(0, 9.5).path(), stroke.head(10, 5.6)
            return (("m-h", way + head), (line, way), ("m-tip", head))
    return _pin_shapes(stroke, _PIN_GAP)


def _halo(path: str, tail: str) -> tuple[Shape, Shape]:
    return ("m-h", path), ("m-h", tail)


def _pin_shapes(stroke: Stroke, gap: float) -> tuple[Shape, ...]:
    """Return a dressmaker's pin: ball, shaft, a peg on either side of the pinned man, point.

    `gap` is the distance of a peg from the middle of the pinned man.
    """
    first, second = stroke.split(1)
    before, after = first.cut(0, gap), second.cut(gap, 0)
    shaft, rest, point = before.path(), after.cut(0, 8).path(), after.head(12, 3.4)
    pegs = before.bar(7) + after.reversed().bar(7)
    ring = before.dot(4)
    return (
        ("m-h", shaft + rest + pegs + point),
        ("m-h", ring),
        ("m-pin", shaft),
        ("m-dot", rest),
        ("m-peg", pegs),
        ("f-pin", point),
        ("m-ring", ring),
    )


# ------------------------------------------------------------------ marks on squares

_WEDGES = (
    "M16.5 .6H28.5L22.5 8.4ZM44.4 16.5V28.5L36.6 22.5Z"
    "M28.5 44.4H16.5L22.5 36.6ZM.6 28.5V16.5L8.4 22.5Z"
)
_WAVE = "M7.5 42.2q3.75-5 7.5 0t7.5 0t7.5 0t7.5 0"
_DARTS = "M1.4 1.4H14.4L7.9 12.4ZM30.6 1.4H43.6L37.1 12.4Z"
_RING = "M40.7 22.5a18.2 18.2 0 1 1-36.4 0a18.2 18.2 0 1 1 36.4 0z"
_BRACKETS = "M11.5 4.5H5V40.5H11.5M33.5 4.5H40V40.5H33.5"
_WAYS_OUT = (
    "M17.5 17.5L9 9M9 16V9H16M27.5 17.5L36 9M29 9H36V16"
    "M27.5 27.5L36 36M36 29V36H29M17.5 27.5L9 36M16 36H9V29"
)

_SQUARE_SHAPES: Final[Mapping[str, tuple[Shape, ...]]] = {
    "target": (("m-hs", _WEDGES), ("f-target", _WEDGES)),
    "loose": (("m-h", _WAVE), ("m-loose", _WAVE)),
    "hanging": (("m-hs", _DARTS), ("f-hanging", _DARTS)),
    "weak": (("m-h", _RING), ("m-weak", _RING)),
    "safe": (("m-h", _BRACKETS), ("m-safe", _BRACKETS)),
    "flight": (("m-h", _WAYS_OUT), ("m-flight", _WAYS_OUT)),
}

_LEGEND_STROKE: Final = Stroke(((6.0, 8.0), (42.0, 8.0)))
_LEGEND_PIN: Final = Stroke(((6.0, 8.0), (27.0, 8.0), (62.0, 8.0)))
#: Marks that fill a part of their square alone are shown without the rest of it.
_LEGEND_BOXES: Final = {"loose": ("4 33 37 15", 22, 9), "hanging": ("0 0 45 14", 26, 8)}
