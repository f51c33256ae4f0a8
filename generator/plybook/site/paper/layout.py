"""How many exercises stand on a page, and which cards lie back to back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from plybook.site.paper.drawings import COLUMNS, ROWS
from plybook.site.paper.views import CardPageView, CardSideView, SheetPageView, TaskView

__all__ = ["PER_PAGE", "ROOM", "best_per_page", "card_pages", "sheet_pages"]

#: How many exercises a page may hold, with the characters of a task that fit beside the board.
ROOM: Final = {8: 105, 6: 150, 4: 400}
PER_PAGE: Final = tuple(sorted(ROOM))


def best_per_page(lengths: Sequence[int], wanted: int | None) -> int:
    """Return how many exercises to put on a page: as wanted, or as many as there are, 4 to 8.

    `lengths` are those of the tasks in characters: a long task needs a larger place.
    """
    count = len(lengths)
    most = wanted or next((number for number in PER_PAGE if count <= number), PER_PAGE[-1])
    longest = max(lengths, default=0)
    fitting = [number for number in PER_PAGE if number <= most and longest <= ROOM[number]]
    return max(fitting, default=PER_PAGE[0])


def sheet_pages(tasks: Sequence[TaskView], *, per_page: int) -> tuple[SheetPageView, ...]:
    """Return the pages of a sheet."""
    starts = range(0, len(tasks), per_page)
    return tuple(
        SheetPageView(number=number, tasks=tuple(tasks[start : start + per_page]))
        for number, start in enumerate(starts, start=1)
    )


def card_pages(
    fronts: Sequence[CardSideView], backs: Sequence[CardSideView]
) -> tuple[CardPageView, ...]:
    """Return a front and a back for every leaf.

    The rows of a back run the other way, so that each answer lies behind its question when the
    leaf is turned over its long edge.
    """
    pages: list[CardPageView] = []
    for start in range(0, len(fronts), COLUMNS * ROWS):
        for is_back, sides in ((False, fronts), (True, backs)):
            rows = tuple(_row(sides, start + COLUMNS * row, is_back=is_back) for row in range(ROWS))
            pages.append(CardPageView(number=len(pages) + 1, is_back=is_back, rows=rows))
    return tuple(pages)


def _row(
    sides: Sequence[CardSideView], start: int, *, is_back: bool
) -> tuple[CardSideView | None, ...]:
    places = range(start, start + COLUMNS)
    row = tuple(sides[at] if at < len(sides) else None for at in places)
    return row[::-1] if is_back else row
