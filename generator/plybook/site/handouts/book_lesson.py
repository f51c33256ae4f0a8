"""A lesson as a chapter of an e-book: moves as text, still boards, the answers at its end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, cast

from markupsafe import Markup

from plybook.board.model import Mark, Side
from plybook.course.model import Lesson, Place
from plybook.site.handouts.boards import Boards
from plybook.site.handouts.book_views import (
    AnswersView,
    BookCardView,
    BookExerciseView,
    BookLessonView,
    BookLineView,
    FigureView,
)
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.lesson_blocks import BlockWriter, legend_of
from plybook.site.pages.lesson_page import principle_links
from plybook.site.wording.movetext import line_html, plain_line_html
from plybook.site.wording.prose import render_prose
from plybook.site.wording.words import after, marks_words, position_words, turn_words
from plybook.text.model import (
    CardDraft,
    CardsDraft,
    DiagramDraft,
    ExerciseDraft,
    Located,
    MovesDraft,
    MovetextDraft,
    Reference,
)

__all__ = ["BookLesson"]

#: A line whose last board stands this near its end needs no board of the end.
_NEAR: Final = 4  # plies


class BookLesson:
    """Writes the chapter of one lesson. `stands` holds the ids of its boards by fragment."""

    def __init__(self, edition: Edition, lesson: Lesson, boards: Boards) -> None:
        self._edition = edition
        self._lesson = lesson
        self._boards = boards
        self._text = Hypertext(
            edition,
            file=lesson.draft.file,
            root="../",
            language=lesson.draft.language,
            lesson=lesson,
        )
        self._words = self._text.words
        self._blocks = BlockWriter(edition, lesson, self._text, elsewhere={})
        self._placed = {
            place
            for block in lesson.draft.blocks
            if isinstance(block, DiagramDraft)
            and (place := self._text.place_of(block.place)) is not None
        }
        self._diagrams = 0
        self._exercises: list[BookExerciseView] = []
        self._cards: list[BookCardView] = []
        self.stands: dict[str, str] = {}

    def html(self) -> Markup:
        """Return the chapter, its links and ids still those of a page of the site."""
        draft = self._lesson.draft
        body = render_prose(draft.prose, self._text.setting(self._write))
        asked = AnswersView(exercises=tuple(self._exercises), cards=tuple(self._cards))
        key = self._part("answers", asked) if self._exercises or self._cards else Markup()
        view = BookLessonView(
            number=self._lesson.number,
            title=draft.title,
            subtitle=draft.subtitle or "",
            level=draft.level.value if draft.level else "",
            minutes=draft.minutes or 0,
            body=body,
            teaches=principle_links(self._edition, _values(draft.teaches), folder="../principles/"),
            practises=principle_links(
                self._edition, _values(draft.practises), folder="../principles/"
            ),
            key=key,
        )
        return self._part("lesson", view)

    def _part(self, part: str, view: Any) -> Markup:
        text = self._edition.document(
            "book.html", language=self._lesson.draft.language, part=part, v=view
        )
        return Markup(text.strip())  # made by a template that escapes

    def _write(self, index: int) -> str:
        block = self._lesson.draft.blocks[index]
        match block:
            case MovesDraft():
                return self._line(block)
            case DiagramDraft():
                return self._diagram(index, block)
            case ExerciseDraft():
                return self._exercise(block)
            case CardsDraft():
                started = len(self._cards)
                for card in block.cards:
                    self._card(card)
                return self._part("cards", self._cards[started:])
        return self._blocks.write(index)

    # ---------------------------------------------------------------- boards

    def _figure(
        self,
        place: Place,
        *,
        kind: str,
        ident: str = "",
        number: int = 0,
        marks: tuple[Mark, ...] = (),
        seen_from: Side | None = None,
        alt: str | None = None,
        caption: Markup = Markup(),  # noqa: B008 - it cannot be changed
    ) -> FigureView:
        sheet = self._edition.sheet_of(place)
        position = self._edition.position(place)
        ply = sheet.ply(place.index)
        said = after(ply, self._words, letters=sheet.letters)
        turn = turn_words(position, self._words)
        label = alt or self._words.board.format(
            place=said,
            turn=turn,
            words=position_words(position, self._words, has_turn=False),
            marks=marks_words(marks, self._words),
        )
        path = self._boards.add(
            position,
            seen_from=seen_from or sheet.view,
            marks=marks,
            last=(ply.origin, ply.target) if ply else None,
            label=label.strip(),
        )
        if ident and place.lesson == self._lesson.slug:
            self.stands.setdefault(self._edition.fragment(place), ident)
        return FigureView(
            kind=kind,
            ident=ident,
            number=number,
            source=f"../{path}",
            alt=label.strip(),
            place=said,
            turn=turn,
            caption=caption,
            legend=tuple(row.name for row in legend_of(marks, self._words)),
        )

    def _diagram(self, index: int, block: DiagramDraft) -> str:
        place = self._text.place_of(block.place)
        if place is None:
            return ""
        self._diagrams += 1
        view = self._figure(
            place,
            kind="dg",
            ident=f"d-{self._diagrams}",
            number=self._diagrams,
            marks=self._lesson.marks.get(index, ()),
            seen_from=cast("Side | None", block.view),
            alt=block.alt,
            caption=self._text.inline(block.caption) if block.caption else Markup(),
        )
        return self._part("figure", view)

    # ---------------------------------------------------------------- lines

    def _line(self, block: MovesDraft) -> str:
        if block.name not in self._lesson.lines:
            return ""
        sheet = self._edition.sheet(self._lesson.slug, block.name)
        moves = line_html(
            sheet.line,
            sheet.fragments,
            letters=sheet.letters,
            words=self._words,
            remark=self._text.remark,
        )
        view = BookLineView(
            name=block.name,
            title=sheet.title,
            moves=moves,
            source=block.source or "",
            boards=tuple(
                self._figure(
                    place,
                    kind="key",
                    ident=f"b-{block.name}-{place.index}",
                    marks=self._lesson.sets.get(place, ()),
                )
                for place in self._key_places(sheet)
            ),
        )
        return self._part("line", view)

    def _key_places(self, sheet: Sheet) -> Sequence[Place]:
        """Return the places of a line that get a board beside those the coach drew.

        They are the marked ones, and the end where no board stands near it; a board without moves
        is shown as it is.
        """
        marked = [
            place
            for place in sorted(self._lesson.sets)
            if place.line == sheet.line.name and place not in self._placed
        ]
        main = [0, *(ply.index for ply in sheet.line.main())]
        near = {Place(sheet.lesson, sheet.line.name, index) for index in main[-_NEAR:]}
        if near.isdisjoint(self._placed) and near.isdisjoint(marked):
            return [*marked, Place(sheet.lesson, sheet.line.name, main[-1])]
        return marked

    # ---------------------------------------------------------------- what is asked

    def _exercise(self, block: ExerciseDraft) -> str:
        place = self._text.place_of(block.board)
        if place is None:
            return ""
        position = self._edition.position(place)
        view = BookExerciseView(
            name=block.name,
            number=len(self._exercises) + 1,
            board=self._figure(place, kind="ex", seen_from=position.turn),
            task=self._text.text(block.task),
            hints=tuple(map(self._text.text, block.hints)),
            level=block.level.value if block.level else "",
            answer=self._answer(block),
            wrong=tuple(
                (self._played(attempt.move), self._text.text(attempt.feedback))
                for attempt in block.wrong
            ),
        )
        self._exercises.append(view)
        return self._part("exercise", view)

    def _answer(self, block: ExerciseDraft) -> Markup:
        moves = Markup(f" {self._words.or_else} ").join(map(self._played, block.answers))
        said = block.answer_text or self._words.truths.get(block.check.strip(), "")
        return moves + (" " if moves and said else "") + (self._text.text(said) if said else "")

    def _played(self, movetext: MovetextDraft) -> Markup:
        line = self._lesson.answers.get(movetext.main.span)
        if line is None:
            return Markup()
        return plain_line_html(
            line, letters=self._text.letters, words=self._words, remark=self._text.remark
        )

    def _card(self, card: CardDraft) -> None:
        view = BookCardView(
            number=len(self._cards) + 1,
            question=self._text.text(card.question),
            answer=self._text.text(card.answer),
            question_board=self._card_board(card.question_board),
            answer_board=self._card_board(card.answer_board),
        )
        self._cards.append(view)

    def _card_board(self, reference: Reference | None) -> FigureView | None:
        place = self._text.place_of(reference) if reference else None
        return self._figure(place, kind="card") if place else None


def _values(located: Sequence[Located]) -> tuple[str, ...]:
    return tuple(item.value for item in located)
