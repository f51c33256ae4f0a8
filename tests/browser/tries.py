"""An exercise on a page, as a pupil handles it."""

from __future__ import annotations

from typing import Any, Final

import chess
from playwright.sync_api import Locator

from browser.exercise_course import PAGE
from browser.reader import Reader

__all__ = ["Trying"]

_STORE: Final = "plybook:tries:work"


class Trying:
    """One exercise of the course of exercises."""

    def __init__(self, reader: Reader, name: str, *, is_fresh: bool = True) -> None:
        """Open the page at an exercise; a fresh one was never solved in this browser."""
        self.reader = reader
        self.name = name
        reader.open(PAGE)
        if is_fresh:
            reader.all("(key) => localStorage.removeItem(key)", _STORE)
            reader.open(PAGE)
        self.section: Locator = reader.page.locator(f"#x-{name}")
        self.section.scroll_into_view_if_needed()

    def square(self, name: str) -> Locator:
        return self.section.locator(f'.sq[data-s="{chess.parse_square(name)}"]')

    def press(self, *names: str) -> None:
        for name in names:
            self.square(name).click()

    def button(self, name: str) -> Locator:
        return self.section.get_by_role("button", name=name, exact=True)

    def type(self, text: str) -> None:
        field = self.section.locator("input")
        if not field.is_visible():
            self.section.locator("summary", has_text="Type the move").click()
        field.fill(text)
        field.press("Enter")

    @property
    def told(self) -> str:
        return " ".join(self.section.locator("output").inner_text().split())

    @property
    def fen(self) -> str:
        """The board that is shown, as the first field of a FEN."""
        drawn = "(name) => probe.placementOf(document.querySelector(`#x-${name} svg.bd`))"
        placement = str(self.reader.all(drawn, self.name))
        board = chess.Board(None)
        for square, man in enumerate(placement):
            if man != ".":
                board.set_piece_at(square, chess.Piece.from_symbol(man))
        return board.board_fen()

    @property
    def goals(self) -> set[str]:
        """The squares that are marked as open to the man taken up."""
        return {self._named(cell) for cell in self.section.locator(".sq.to").all()}

    @property
    def taken(self) -> set[str]:
        return {self._named(cell) for cell in self.section.locator('[aria-selected="true"]').all()}

    @staticmethod
    def _named(cell: Locator) -> str:
        return chess.SQUARE_NAMES[int(str(cell.get_attribute("data-s")))]

    @property
    def mark(self) -> str:
        return self.section.locator(".xs").inner_text().strip()

    @property
    def focus(self) -> str:
        """What has the focus, by its name for assistive technology or its text."""
        return str(
            self.reader.all(
                "document.activeElement.getAttribute('aria-label')"
                " || document.activeElement.textContent.trim()"
            )
        )

    def kept(self) -> Any:
        """What the browser's store holds of this exercise: first day, last, step, help."""
        store = self.reader.all("(key) => JSON.parse(localStorage.getItem(key) || '{}')", _STORE)
        return store.get("items", {}).get(f"tries/{self.name}")
