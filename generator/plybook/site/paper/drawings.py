"""The small drawings of a sheet: stars of a level, the mark of a side, cut marks."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from plybook.board.model import Side
from plybook.site.drawing.stars import stars as row_of_stars

__all__ = ["CARD_HEIGHT", "CARD_WIDTH", "COLUMNS", "ROWS", "cut_marks", "side_mark", "stars"]

#: Cards in millimetres: two times four of them stand in the middle of A4.
CARD_WIDTH: Final = 90
CARD_HEIGHT: Final = 64
COLUMNS: Final = 2
ROWS: Final = 4
_PAGE_WIDTH: Final = 210
_PAGE_HEIGHT: Final = 297
_GAP: Final = 2  # between a card and its cut mark, and the length of a mark
_LENGTH: Final = 6


def stars(filled: int, total: int) -> Markup:
    """Return the stars of a level, in printer's black; the name of the level stands beside them."""
    return row_of_stars(filled, total, high=3.5, unit="mm", ink="#000")


def side_mark(side: Side) -> Markup:
    """Return the mark of the side to move: an open disc for White, a full one for Black."""
    fill = "#fff" if side == "white" else "#000"
    return Markup(  # nothing but our own drawing
        '<svg class="side" viewBox="0 0 12 12" width="3.4mm" height="3.4mm" aria-hidden="true">'
        f'<circle cx="6" cy="6" r="4.9" fill="{fill}" stroke="#000" stroke-width="1.5"/></svg>'
    )


def cut_marks() -> Markup:
    """Return the marks outside a page of cards, where its cuts begin and end."""
    left, top = _PAGE_WIDTH / 2 - CARD_WIDTH, (_PAGE_HEIGHT - ROWS * CARD_HEIGHT) / 2
    right, bottom = _PAGE_WIDTH - left, _PAGE_HEIGHT - top
    path = "".join(
        f"M{left + CARD_WIDTH * column:g} {start:g}v{_LENGTH}"
        for column in range(COLUMNS + 1)
        for start in (top - _GAP - _LENGTH, bottom + _GAP)
    ) + "".join(
        f"M{start:g} {top + CARD_HEIGHT * row:g}h{_LENGTH}"
        for row in range(ROWS + 1)
        for start in (left - _GAP - _LENGTH, right + _GAP)
    )
    return Markup(  # numbers alone
        f'<svg class="cuts" viewBox="0 0 {_PAGE_WIDTH} {_PAGE_HEIGHT}" width="{_PAGE_WIDTH}mm"'
        f' height="{_PAGE_HEIGHT}mm" aria-hidden="true">'
        f'<path fill="none" stroke="#000" stroke-width=".25" d="{path}"/></svg>'
    )
