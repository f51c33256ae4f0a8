"""The drawings a page's boards share: men, ground, traces and coordinates, once a page.

Ids begin with `p-`, so that no heading and no move can take one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from markupsafe import Markup

from plybook.site.drawing.marks import MARK_PAINTS
from plybook.site.drawing.paint import Paint, Painter, Shape, class_painter, draw

__all__ = ["BOARD_PAINTS", "MEN", "Pieces", "all_paints", "man_id", "parts", "sprite"]

#: The men in the letters of a placement.
MEN: Final = "KQRBNPkqrbnp"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """A set of drawings in a 45-unit box, with the paints its shapes name.

    `bodies` are outlines that several shapes share: a shape whose path is `@k` is the body `k`.
    `shade` says how dark squares are told: engraved lines, or a flat tint.
    """

    paints: Mapping[str, Paint]
    bodies: Mapping[str, str]
    men: Mapping[str, tuple[Shape, ...]]  # by letter of a placement
    shade: Literal["lines", "flat"]


#: Ground, frame, coordinates and the traces of the last move.
BOARD_PAINTS: Final[Mapping[str, Paint]] = {
    "gr": Paint(fill="@board"),
    "hl": Paint(stroke="@hatch", width="@hatch-width", opacity="@hatch-opacity"),
    "dk": Paint(fill="@hatch"),
    "fr1": Paint(stroke="@frame", width=0.9, grows=True),
    "fr2": Paint(stroke="@frame", width=2.5, grows=True),
    "co": Paint(fill="@ink2"),
    "th": Paint(stroke="@board", width=5),
    "tl": Paint(stroke="@trace", width=2.3, grows=True),
    "tn": Paint(stroke="@trace", width=1.7, grows=True),
    "td": Paint(fill="@trace", stroke="@board", width=2.4),
}

#: Relative paths repeat themselves, which a compressed page is glad of: two rows, four times.
_DARK_SQUARES: Final = "m45 0" + "".join(
    "h45v45h-45z" + ("m90 0" if file < 3 else "m-315 45" if row % 2 == 0 else "m-225 45")
    for row in range(8)
    for file in range(4)
)

#: Lines 4.5 units apart divide a square evenly, so that all dark squares look alike. They are
#: clipped, not cut: a pattern would be printed as pixels.
_HATCH: Final = "M2.25 0l-360 360" + "m364.5-360l-360 360" * 159

_CROP_BOLD: Final = "M2.2 12V2.2H12M33 2.2H42.8V12M42.8 33V42.8H33M12 42.8H2.2V33"
_CROP_THIN: Final = "M3 8V3H8M37 3H42V8M42 37V42H37M8 42H3V37"
_DOT: Final = "M19 22.5a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0-7 0z"


def all_paints(pieces: Pieces) -> dict[str, Paint]:
    """Return every paint of a page's drawings by name."""
    return {**BOARD_PAINTS, **MARK_PAINTS, **pieces.paints}


def man_id(letter: str) -> str:
    """Return the sprite id of a man: `p-wn` for a white knight."""
    return f"p-{'w' if letter.isupper() else 'b'}{letter.lower()}"


def sprite(pieces: Pieces) -> Markup:
    """Return the page's drawings as an SVG of no size (hidden drawings would lose their clips)."""
    shared = parts(pieces, class_painter, men=MEN, sides=("white", "black"))
    return Markup(  # the theme's drawings, read by load_theme and ours alone
        '<svg class="sprite" width="0" height="0" aria-hidden="true" focusable="false">'
        f"<defs>{shared}</defs></svg>"
    )


def parts(
    pieces: Pieces, paint: Painter, *, men: str, sides: tuple[str, ...], names: float = 12.5
) -> str:
    """Return the definitions for these men, and for coordinates seen from these sides.

    `names` is the size of the coordinates' letters in board units.
    """
    ground = draw([("gr", "M0 0H360V360H0z")], paint)
    if pieces.shade == "lines":
        clip = f'<clipPath id="p-ck"><path d="{_DARK_SQUARES}"/></clipPath>'
        ground += f'<path{paint("hl")} clip-path="url(#p-ck)" d="{_HATCH}"/>'
    else:
        clip = ""
        ground += draw([("dk", _DARK_SQUARES)], paint)
    ground += draw([("fr1", "M0 0H360V360H0z"), ("fr2", "M-3.6-3.6H363.6V363.6H-3.6z")], paint)
    used = {path for man in men for _, path in pieces.men[man] if path.startswith("@")}
    bodies = "".join(
        f'<path id="p-{name}0" d="{path}"/>'
        for name, path in pieces.bodies.items()
        if f"@{name}" in used
    )
    drawings = "".join(
        f'<g id="{man_id(man)}">{_man(pieces.men[man], paint)}</g>' for man in MEN if man in men
    )
    lifted = draw([("th", _CROP_THIN), ("tn", _CROP_THIN), ("td", _DOT)], paint)
    landed = draw([("th", _CROP_BOLD), ("tl", _CROP_BOLD)], paint)
    labels = "".join(_coordinates(side, paint, names) for side in sides)
    return (
        f'{clip}<g id="p-bg">{ground}</g>{bodies}{drawings}'
        f'<g id="p-lo">{lifted}</g><g id="p-lt">{landed}</g>{labels}'
    )


def _man(shapes: tuple[Shape, ...], paint: Painter) -> str:
    return "".join(
        f'<use{paint(name)} href="#p-{path[1:]}0"/>'
        if path.startswith("@")
        else draw([(name, path)], paint)
        for name, path in shapes
    )


def _coordinates(side: str, paint: Painter, size: float) -> str:
    files = "abcdefgh" if side == "white" else "hgfedcba"
    ranks = "87654321" if side == "white" else "12345678"
    font = f'font-size="{size:g}" font-style="italic" text-anchor="middle"'
    return (
        f'<g id="p-c{side[0]}"{paint("co")} {font}>'
        + "".join(
            f'<text x="{45 * at + 22.5:g}" y="378">{name}</text>' for at, name in enumerate(files)
        )
        + "".join(
            f'<text x="-11.5" y="{45 * at + 27}">{name}</text>' for at, name in enumerate(ranks)
        )
        + "</g>"
    )
