"""Boards as pictures of their own: for an e-book, for a drawing program, as PNG."""

from __future__ import annotations

import hashlib
import json
import re
import struct
import zlib
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

from plybook.board.model import Mark, Position, Side
from plybook.diagnostics import UsageError
from plybook.site.drawing.diagram import standalone_svg
from plybook.site.pages.theme import Theme, handout_text

__all__ = ["MADE_BY", "Boards", "diagram_svg", "picture_svg", "png_of"]

#: What a picture says of its origin, by the ending of its file; no version, no date.
MADE_BY: Final[Mapping[str, bytes]] = {
    "svg": b"<!-- Made by plybook. -->",
    "png": b"tEXtSoftware\0plybook",
}
_BOX: Final = re.compile(r'viewBox="\S+ \S+ (\S+) (\S+)"')
_TEXT: Final = re.compile(r'<text x="([^"]*)" y="([^"]*)">([a-h1-8])</text>')
_IHDR_END: Final = 8 + 12 + 13  # signature, then the first chunk (PNG specification, 5.2 and 11.2)


def picture_svg(
    position: Position,
    theme: Theme,
    *,
    seen_from: Side = "white",
    marks: Sequence[Mark] = (),
    last: tuple[str, str] | None = None,
    label: str,
) -> str:
    """Return a board as an SVG file that old and new programs read, in a theme's light colours."""
    svg = standalone_svg(
        position,
        seen_from=seen_from,
        marks=marks,
        last=last,
        label=label,
        pieces=theme.pieces,
        tokens=theme.light,
    )
    # Readers made before SVG 2 know a reference only by its older name.
    return svg.replace("<svg ", '<svg xmlns:xlink="http://www.w3.org/1999/xlink" ', 1).replace(
        ' href="#', ' xlink:href="#'
    )


def diagram_svg(
    position: Position,
    theme: Theme,
    *,
    seen_from: Side,
    marks: Sequence[Mark] = (),
    last: tuple[str, str] | None = None,
    label: str,
    width: int,
) -> str:
    """Return a board as a file for any program: `width` pixels, coordinates that need no font."""
    svg = picture_svg(position, theme, seen_from=seen_from, marks=marks, last=last, label=label)
    box = _BOX.search(svg)
    assert box is not None
    height = round(width * float(box[2]) / float(box[1]))
    sized = svg.replace(" viewBox=", f' width="{width}" height="{height}" viewBox=', 1)
    drawn = _TEXT.sub(_outline, sized)
    return drawn.replace("<title>", f"{MADE_BY['svg'].decode()}<title>", 1)


def _outline(found: re.Match[str]) -> str:
    x, y, sign = found.groups()
    return f'<path transform="translate({x} {y})" d="{_letters()[sign]}"/>'


@cache
def _letters() -> Mapping[str, str]:
    letters: dict[str, str] = json.loads(handout_text("letters.json"))
    return letters


def png_of(svg: str) -> bytes:
    """Return a picture as PNG on white, in its own size.

    Raises UsageError where the extra is missing.
    """
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        raise UsageError(
            "a PNG needs the package resvg-py; install it with: pip install 'plybook[png]'"
        ) from None
    png = bytes(svg_to_bytes(svg_string=svg, background="#ffffff", skip_system_fonts=True))
    said = MADE_BY["png"]
    chunk = struct.pack(">I", len(said) - 4) + said + struct.pack(">I", zlib.crc32(said))
    return png[:_IHDR_END] + chunk + png[_IHDR_END:]


class Boards:
    """The pictures of one book by path; the same picture is there once."""

    def __init__(self, theme: Theme) -> None:
        self._theme = theme
        self.files: dict[str, bytes] = {}

    def add(
        self,
        position: Position,
        *,
        seen_from: Side,
        marks: Sequence[Mark],
        last: tuple[str, str] | None,
        label: str,
    ) -> str:
        """Return the path of a board's picture."""
        svg = picture_svg(
            position, self._theme, seen_from=seen_from, marks=marks, last=last, label=label
        ).encode()
        path = f"boards/{hashlib.sha256(svg).hexdigest()[:12]}.svg"
        self.files[path] = svg
        return path
