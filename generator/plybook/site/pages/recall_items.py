"""Cards and exercises away from their lesson: as a plain text with figurines, and a board.

The warm-up puts its questions together in the browser, where text is never turned into markup. So
a text travels as a string in which U+0001 stands before the letter of a figurine.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from typing import Any, Final

from markupsafe import Markup

from plybook.board.model import Position
from plybook.course.model import Lesson
from plybook.course.recall import RecallItem
from plybook.site.pages.edition import Edition
from plybook.site.pages.hypertext import Hypertext
from plybook.site.wording.movetext import plain_line_html
from plybook.site.wording.words import turn_words
from plybook.text.model import CardDraft, ExerciseDraft

__all__ = ["FIGURINE_SIGN", "ItemWriter", "plain_question"]

FIGURINE_SIGN: Final = "\x01"
_FIGURINE = re.compile(r"<i>(.)</i>")
_TAG = re.compile(r"<[^<>]*>")


class ItemWriter:
    """Writes the items of one lesson."""

    def __init__(self, edition: Edition, lesson: Lesson) -> None:
        self._edition = edition
        self._lesson = lesson
        language = lesson.draft.language
        self._text = Hypertext(
            edition, file=lesson.draft.file, root="", language=language, lesson=lesson
        )
        self._words = edition.words(language)

    def data(self, item: RecallItem) -> Mapping[str, Any]:
        """Return what the warm-up shows of an item.

        `q` and `a` are question and answer, `qb` and `ab` the placements of their boards, behind a
        `-` when seen from Black's side. `t` says who is to move in an exercise.
        """
        match item.block:
            case CardDraft() as card:
                return self._card(card)
            case ExerciseDraft() as exercise:
                return self._exercise(exercise)

    def _card(self, card: CardDraft) -> dict[str, Any]:
        data: dict[str, Any] = {
            "q": _travelling(self._text.text(card.question)),
            "a": _travelling(self._text.text(card.answer)),
        }
        for key, reference in (("qb", card.question_board), ("ab", card.answer_board)):
            place = self._text.place_of(reference) if reference else None
            if place is not None:
                sheet = self._edition.sheet_of(place)
                data[key] = _board(self._edition.position(place), is_turned=sheet.view == "black")
        return data

    def _exercise(self, block: ExerciseDraft) -> dict[str, Any]:
        data: dict[str, Any] = {
            "q": _travelling(self._text.text(block.task)),
            "a": self._answer(block),
        }
        place = self._text.place_of(block.board)
        if place is not None:
            position = self._edition.position(place)
            data["qb"] = _board(position, is_turned=position.turn == "black")
            data["t"] = turn_words(position, self._words)
        return data

    def _answer(self, block: ExerciseDraft) -> str:
        lines = (self._lesson.answers.get(moves.main.span) for moves in block.answers)
        parts = [
            plain_line_html(
                line, letters=self._text.letters, words=self._words, remark=self._text.remark
            )
            for line in lines
            if line is not None
        ]
        moves = Markup(f" {self._words.or_else} ").join(parts)
        words = block.answer_text or self._words.truths.get(block.check.strip(), "")
        said = self._text.text(words) if words else Markup()
        return _travelling(moves + (" " if moves and said else "") + said)


def plain_question(item: RecallItem) -> str:
    """Return the question or the task as the coach wrote it."""
    block = item.block
    return block.task if isinstance(block, ExerciseDraft) else block.question


def _travelling(markup: Markup) -> str:
    """Return the text of finished HTML, figurines marked; other elements leave their text."""
    marked = _FIGURINE.sub(rf"{FIGURINE_SIGN}\1", markup)
    return unescape(_TAG.sub("", marked))


def _board(position: Position, *, is_turned: bool) -> str:
    return f"{'-' if is_turned else ''}{position.placement}"
