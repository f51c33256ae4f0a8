"""Boards as pictures of their own: for an e-book, for a drawing program, as PNG."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from plybook.board.model import Mark, Position, Side
from plybook.site.drawing.diagram import standalone_svg
from plybook.site.pages.theme import Theme

__all__ = ["Boards", "picture_svg"]


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
