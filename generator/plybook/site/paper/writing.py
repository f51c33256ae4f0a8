"""Exercises and cards as their views: what a pupil sees, what the key says."""

from __future__ import annotations

import re
from typing import Final

from markupsafe import Markup

from plybook.board import Position
from plybook.board.claims import Reach
from plybook.board.exercises import Choice, Judgement, Solved
from plybook.board.model import Ply
from plybook.course.model import Lesson
from plybook.site.drawing.diagram import standalone_svg
from plybook.site.pages.edition import Edition
from plybook.site.pages.exercise_words import cost_words
from plybook.site.pages.hypertext import Hypertext
from plybook.site.paper.chosen import Bundle, ChosenCard, ChosenExercise, position_of
from plybook.site.paper.views import CardSideView, KeyView, StarsView, TaskView, WrongView
from plybook.site.wording.movetext import plain_line_html, written_html
from plybook.site.wording.prose import plain_text
from plybook.site.wording.words import Words, position_words, turn_words
from plybook.text.exercise_checks import CheckJudged, CheckTruth, read_check
from plybook.text.model import Comment, ExerciseDraft, MovetextDraft, Reference, WrongTry

__all__ = ["Writer"]

#: How the solution is known, by the reach of its verdict: keys of `Words.known`.
_KINDS: Final = {
    Reach.PROVED: "proved",
    Reach.HOLDS: "holds",
    Reach.COACHS_WORD: "word",
    Reach.NOT_SETTLED: "open",
}
#: An answer that is a count, or the kind of a pin.
_ONE_WORD: Final = re.compile(r"\w+")
#: Characters of a task beyond which it is set in smaller letters.
_LONG_TASK: Final = 190
#: Characters that a card takes in its usual letters: beside a board, and without one.
_ROOM: Final = {True: 90, False: 170}


class Writer:
    """Writes what stands on the papers of one bundle; each board gets ids of its own."""

    def __init__(self, edition: Edition, bundle: Bundle) -> None:
        self._edition = edition
        self._bundle = bundle
        self.language = bundle.lesson.draft.language if bundle.lesson else None
        self._boards = 0
        self._texts: dict[str, Hypertext] = {}

    @property
    def words(self) -> Words:
        """The words of the papers."""
        return self._edition.words(self.language)

    def tasks(self) -> tuple[TaskView, ...]:
        """Return the exercises as pupils see them, numbered from 1."""
        return tuple(
            self._task(number, one) for number, one in enumerate(self._bundle.exercises, start=1)
        )

    def keys(self) -> tuple[KeyView, ...]:
        """Return the exercises with their solutions, under the numbers of the sheet."""
        return tuple(
            self._key(number, one) for number, one in enumerate(self._bundle.exercises, start=1)
        )

    def fronts(self) -> tuple[CardSideView, ...]:
        """Return the questions of the cards, numbered from 1."""
        return tuple(
            self._side(number, one, one.draft.question, one.draft.question_board)
            for number, one in enumerate(self._bundle.cards, start=1)
        )

    def backs(self) -> tuple[CardSideView, ...]:
        """Return the answers of the cards in the order of their questions."""
        return tuple(
            self._side(number, one, one.draft.answer, one.draft.answer_board)
            for number, one in enumerate(self._bundle.cards, start=1)
        )

    # ---------------------------------------------------------------- exercises

    def _task(self, number: int, one: ChosenExercise) -> TaskView:
        position = position_of(self._edition.course, one.lesson, one.draft.board)
        assert position is not None  # chosen for having one
        is_truth = isinstance(read_check(one.draft.check), CheckTruth)
        is_ticked = is_truth and not self._is_count(one.draft)
        return TaskView(
            number=number,
            board=self._board(position),
            turn=turn_words(position, self.words),
            side=position.turn,
            stars=self._stars(one),
            task=self._text(one.lesson).text(one.draft.task),
            begins=_begins(position) if one.draft.answers and not is_truth else "",
            choices=tuple(word.rstrip(".") for word in self.words.truths.values())
            if is_ticked
            else (),
            is_long=len(one.draft.task) > _LONG_TASK,
        )

    def _key(self, number: int, one: ChosenExercise) -> KeyView:
        draft, text = one.draft, self._text(one.lesson)
        words = draft.answer_text or self.words.truths.get(draft.check.strip(), "")
        return KeyView(
            task=self._task(number, one),
            answers=tuple(self._played(one.lesson, movetext) for movetext in draft.answers),
            said=text.text(words) if words else Markup(),
            wrong=tuple(self._wrong(one, wrong) for wrong in draft.wrong),
            hints=tuple(map(text.text, draft.hints)),
            known=self._known(one),
            origin="" if self._bundle.lesson else one.lesson.draft.title,
        )

    def _is_count(self, draft: ExerciseDraft) -> bool:
        """Return whether the answer is one word or number that is neither true nor false."""
        said = (draft.answer_text or "").rstrip(".").lower()
        truths = {
            *self.words.truths,
            *(it.rstrip(".").lower() for it in self.words.truths.values()),
        }
        return bool(_ONE_WORD.fullmatch(said)) and said not in truths

    def _known(self, one: ChosenExercise) -> str:
        """Return how the solution is known: proved, to a depth, or on the coach's word."""
        check = read_check(one.draft.check)
        if isinstance(check, CheckJudged):
            return f"{self.words.known['word']}: {check.reason}"
        solved = self._solved(one)
        if solved is None or solved.verdict.reach not in _KINDS:
            return ""
        kind = _KINDS[solved.verdict.reach]
        return self.words.known[kind].format(depth=solved.verdict.depth)

    def _solved(self, one: ChosenExercise) -> Solved | None:
        return self._edition.course.exercises.get((one.lesson.slug, one.draft.name))

    def _wrong(self, one: ChosenExercise, wrong: WrongTry) -> WrongView:
        text = self._text(one.lesson)
        line = one.lesson.answers.get(wrong.move.main.span)
        solved = self._solved(one)
        choice: Choice | None = None
        if line and line.plies and solved and solved.turns:  # the first turn is the position
            tries = (it for it in solved.turns[0].choices if it.judgement is Judgement.WRONG)
            choice = next((it for it in tries if it.move.san == line.plies[0].san), None)
        reply, cost = Markup(), ""
        if line and choice and choice.reply:
            reply = Markup(  # a move of ours in its letters
                written_html(_reply_label(line.plies[0], choice.reply.san), text.letters)
            )
            if choice.is_mated:
                cost = self.words.say("That is mate.")
            elif choice.loses:
                cost = cost_words(choice.loses, self.words)
        return WrongView(
            moves=self._played(one.lesson, wrong.move),
            why=text.text(wrong.feedback),
            reply=reply,
            cost=cost,
        )

    def _stars(self, one: ChosenExercise) -> StarsView:
        """Return the level of an exercise, or of its lesson, by its place among the levels."""
        located = one.draft.level or one.lesson.draft.level
        levels = self._edition.course.file.levels
        if located is None or located.value not in levels:
            return StarsView(level="", filled=0, total=0)
        at = levels.index(located.value)
        return StarsView(level=located.value, filled=at + 1, total=len(levels))

    def _played(self, lesson: Lesson, movetext: MovetextDraft) -> Markup:
        line = lesson.answers.get(movetext.main.span)
        if line is None:
            return Markup()
        text = self._text(lesson)

        def remark(comment: Comment) -> str:  # without links: paper cannot follow them
            said = plain_text(comment.prose) if comment.prose.tokens else comment.text
            return str(text.text(said))

        return plain_line_html(line, letters=text.letters, words=self.words, remark=remark)

    # ---------------------------------------------------------------- cards

    def _side(
        self, number: int, one: ChosenCard, text: str, reference: Reference | None
    ) -> CardSideView:
        position = position_of(self._edition.course, one.lesson, reference)
        return CardSideView(
            number=number,
            text=self._text(one.lesson).text(text),
            board=self._board(position) if position else Markup(),
            turn=turn_words(position, self.words) if position else "",
            side=position.turn if position else "white",
            is_long=len(text) > _ROOM[position is not None],
        )

    # ---------------------------------------------------------------- both

    def _board(self, position: Position) -> Markup:
        self._boards += 1
        return Markup(  # the label is escaped there, the rest is ours
            standalone_svg(
                position,
                seen_from=position.turn,
                label=position_words(position, self.words),
                small=True,
                pieces=self._edition.theme.pieces,
                tokens=self._edition.theme.light,
                prefix=f"b{self._boards}-",
            ).rstrip()
        )

    def _text(self, lesson: Lesson) -> Hypertext:
        """Return the text of a lesson, in its letters and with its quotation marks."""
        found = self._texts.get(lesson.slug)
        if found is None:
            found = self._texts[lesson.slug] = Hypertext(
                self._edition,
                file=lesson.draft.file,
                root="",
                language=lesson.draft.language,
                lesson=lesson,
            )
        return found


def _reply_label(ply: Ply, san: str) -> str:
    """Return the answer to a move with its number: `6...Be6`, or `9.Bxe5`."""
    return f"{ply.number}...{san}" if ply.mover == "white" else f"{ply.number + 1}.{san}"


def _begins(position: Position) -> str:
    """Return how an answer begins that is written down: `9.`, or `8…` for Black."""
    number = position.fen.rpartition(" ")[2]
    return f"{number}{'.' if position.turn == 'white' else '…'}"
