"""Boards as SVG: still diagrams, the plate of a lesson page, and pictures that stand alone.

A board refers to the page's sprite (sprite.py); the standalone picture carries its own drawings.
A board holds no id, so that ids stay unique on a page with many boards.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from markupsafe import Markup, escape

from plybook.board.model import Mark, Position, Side
from plybook.site.drawing.marks import draw_marks
from plybook.site.drawing.paint import SMALL_FACTOR, attribute_painter
from plybook.site.drawing.sprite import MEN, Pieces, all_paints, man_id, parts

__all__ = ["board_svg", "plate_svg", "standalone_svg"]

#: The drawn area with coordinates, and without.
_BOX: Final = {True: "-20 -5 385 389", False: "-5 -5 370 370"}

#: The size of the coordinates' letters in board units, on a large board and on a small one.
_NAMES: Final = {False: 12.5, True: 19.0}

#: Where a drawing names an id of the sprite or refers to one.
_OWN_ID: Final = re.compile(r'( id="|href="#|url\(#)p-')


def _corner(index: int, *, is_turned: bool) -> tuple[int, int]:
    """Return the upper left corner of square `index` (a1 is 0) in board units."""
    file, rank = index & 7, index >> 3
    return (45 * (7 - file), 45 * rank) if is_turned else (45 * file, 45 * (7 - rank))


def _square_index(name: str) -> int:
    return ord(name[0]) - 97 + 8 * (int(name[1]) - 1)


#: One `use` for each man on each square, for either view: a diagram is then a join of strings.
_STILL: Final[Mapping[Side, tuple[Mapping[str, str], ...]]] = {
    side: tuple(
        {man: '<use href="#{}" x="{}" y="{}"/>'.format(man_id(man), *corner) for man in MEN}
        for corner in (_corner(index, is_turned=side == "black") for index in range(64))
    )
    for side in ("white", "black")
}


def board_svg(
    position: Position,
    *,
    seen_from: Side = "white",
    marks: Sequence[Mark] = (),
    last: tuple[str, str] | None = None,
    label: str,
    coordinates: bool = True,
    small: bool = False,
) -> Markup:
    """Return a still diagram. `last` holds the squares the last move left and reached."""
    body = _body(position.placement, seen_from, marks, last)
    names = f'<use href="#p-c{seen_from[0]}"/>' if coordinates else ""
    kind = "bd small" if small else "bd"
    return Markup(  # the label is escaped, the rest is ours
        f'<svg class="{kind}" viewBox="{_BOX[coordinates]}" role="img"'
        f' aria-label="{escape(label)}"><use href="#p-bg"/>{names}{body}</svg>'
    )


def _body(
    placement: str, seen_from: Side, marks: Sequence[Mark], last: tuple[str, str] | None
) -> str:
    squares = _STILL[seen_from]
    men = "".join([squares[index][man] for index, man in enumerate(placement) if man != "."])
    traces = _traces(last, is_turned=seen_from == "black") if last else ""
    drawn = draw_marks(marks, placement=placement, seen_from=seen_from) if marks else ""
    return (
        (f'<g class="tr">{traces}</g>' if traces else "")
        + f'<g class="men">{men}</g>'
        + (f'<g class="mks">{drawn}</g>' if drawn else "")
    )


def _traces(last: tuple[str, str], *, is_turned: bool) -> str:
    return "".join(
        '<use href="#{}" x="{}" y="{}"/>'.format(
            name, *_corner(_square_index(square), is_turned=is_turned)
        )
        for name, square in zip(("p-lo", "p-lt"), last, strict=True)
    )


def plate_svg(
    position: Position,
    *,
    seen_from: Side = "white",
    last: tuple[str, str] | None = None,
    mark_sets: Mapping[str, tuple[str, Sequence[Mark]]],
    at: str = "",
    label: str,
) -> Markup:
    """Return the board that the page script moves, with the marks of every marked place.

    `mark_sets` holds placement and marks by fragment; the set of `at` is shown at once. Marks are
    drawn as seen from White: the style sheet turns them with a board of class `turned`.
    """
    is_turned = seen_from == "black"
    men = "".join(
        '<use href="#{}" data-s="{}" transform="translate({} {})"/>'.format(
            man_id(man), index, *_corner(index, is_turned=is_turned)
        )
        for index, man in enumerate(position.placement)
        if man != "."
    )
    sets = "".join(
        f'<g class="{"set on" if fragment == at else "set"}" data-at="{escape(fragment)}"'
        f' data-roles="{" ".join(dict.fromkeys(mark.role for mark in marks))}">'
        f"{draw_marks(marks, placement=placement)}</g>"
        for fragment, (placement, marks) in mark_sets.items()
        if marks
    )
    traces = _traces(last, is_turned=is_turned) if last else ""
    return Markup(  # label and fragments are escaped, the rest is ours
        f'<svg class="{"bd turned" if is_turned else "bd"}" viewBox="{_BOX[True]}" role="img"'
        f' aria-label="{escape(label)}"><use href="#p-bg"/>'
        '<use class="cw" href="#p-cw"/><use class="cb" href="#p-cb"/>'
        f'<g class="tr">{traces}</g><g class="men">{men}</g><g class="mks">{sets}</g></svg>'
    )


def standalone_svg(
    position: Position,
    *,
    seen_from: Side = "white",
    marks: Sequence[Mark] = (),
    last: tuple[str, str] | None = None,
    label: str,
    coordinates: bool = True,
    small: bool = False,
    pieces: Pieces,
    tokens: Mapping[str, str],
    prefix: str = "p-",
) -> str:
    """Return a picture that needs no page: own drawings, attributes for colours, no style sheet.

    `tokens` are a theme's light or dark values. `small` draws the lines heavier. `prefix` begins
    the ids of its drawings: pictures that stand in one document need different ones.
    """
    factor = SMALL_FACTOR if small else 1.0
    paint = attribute_painter(all_paints(pieces), tokens, factor=factor)
    placement = position.placement
    sides = (seen_from,) if coordinates else ()
    men = "".join(man for man in MEN if man in placement)
    shared = parts(pieces, paint, men=men, sides=sides, names=_NAMES[small])
    drawn = draw_marks(marks, placement=placement, seen_from=seen_from, paint=paint)
    names = (
        f'<use href="#p-c{seen_from[0]}" font-family="{escape(tokens["board-font"])}"/>'
        if coordinates
        else ""
    )
    drawing = (
        f'<defs>{shared}</defs><use href="#p-bg"/>{names}'
        f"{_body(placement, seen_from, (), last)}{drawn}"
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{_BOX[coordinates]}" role="img">'
        f"<title>{escape(label)}</title>{_renamed(drawing, prefix)}</svg>\n"
    )


def _renamed(drawing: str, prefix: str) -> str:
    """Return a drawing with its ids, and what refers to them, under another prefix."""
    if prefix == "p-":
        return drawing
    return _OWN_ID.sub(lambda found: found[1] + prefix, drawing)
