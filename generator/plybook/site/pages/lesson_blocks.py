"""The blocks of a lesson as HTML, one after the other in the order of the text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, cast

from markupsafe import Markup, escape

from plybook.board.claims import Reach
from plybook.board.model import Line, Mark, Side
from plybook.course.evidence import verb_of
from plybook.course.model import Lesson, Place, Settled
from plybook.course.places import matches
from plybook.course.recall import items_of
from plybook.site.drawing.marks import ROLE_NAMES, legend_picture
from plybook.site.pages.chart import chart_words, is_telling, still_chart
from plybook.site.pages.coach import coach_note
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.exercise_trial import trial_view
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.levels import level_html
from plybook.site.pages.views import (
    CardView,
    ClaimView,
    DiagramView,
    ExerciseView,
    LegendView,
    LineView,
    LinkView,
    TagView,
)
from plybook.site.wording.claims import claim_sentence
from plybook.site.wording.movetext import (
    line_html,
    move_link,
    plain_line_html,
    replies_html,
    written_html,
)
from plybook.site.wording.words import Words, turn_words
from plybook.text.mentions import find_mentions
from plybook.text.model import (
    CardDraft,
    CardsDraft,
    ClaimDraft,
    ClaimsDraft,
    CoachDraft,
    DiagramDraft,
    ExerciseDraft,
    MovesDraft,
    MovetextDraft,
    Reference,
    TagDraft,
    TagsDraft,
)

__all__ = ["BlockWriter", "claim_words", "legend_of"]

#: The sign of a verdict on the page. A claim that is false, or has no meaning, has none here.
_KINDS: Final = {
    Reach.PROVED: "proved",
    Reach.HOLDS: "holds",
    Reach.COACHS_WORD: "word",
    Reach.NOT_SETTLED: "open",
}
#: Where many lessons pass one position, a list of all of them would drown the line.
_MOST_ELSEWHERE: Final = 5


def legend_of(marks: Iterable[Mark], words: Words) -> tuple[LegendView, ...]:
    """Return the legend of some marks, each role once, in the order of the roles."""
    used = {(mark.is_arrow, mark.role) for mark in marks}
    return tuple(
        LegendView(
            role=role,
            name=words.term(name, context="legend"),
            picture=legend_picture(role, is_arrow),
        )
        for (is_arrow, role), name in ROLE_NAMES.items()
        if (is_arrow, role) in used
    )


def claim_words(settled: Settled, *, placement: str, words: Words) -> str:
    """Return a claim as a page says it. One that does not hold stays as the coach wrote it: only
    the coach sees it, and has to find it again."""
    if settled.verdict.reach not in _KINDS:
        return settled.claim.text
    return claim_sentence(settled.read, placement=placement, words=words)


class BlockWriter:
    """Writes the blocks of one lesson page; it counts diagrams and exercises on its way."""

    def __init__(
        self,
        edition: Edition,
        lesson: Lesson,
        text: Hypertext,
        *,
        elsewhere: Mapping[str, tuple[LinkView, ...]],
    ) -> None:
        self._edition = edition
        self._lesson = lesson
        self._text = text
        self._words = text.words
        self._elsewhere = elsewhere
        self._diagrams = 0
        self.signs: dict[str, None] = {}  # kinds of verdict that the page shows
        self._exercises = 0
        self.has_trials = False  # whether the page shows an exercise that can be tried
        self._items = {item.block.span: item for item in items_of(lesson)}

    def write(self, index: int) -> str:
        """Return the HTML of a block by its index; a coach block has one for the coach alone."""
        block = self._lesson.draft.blocks[index]
        match block:
            case MovesDraft():
                return self._moves(block)
            case DiagramDraft():
                return self._diagram(index, block)
            case ClaimsDraft():
                return self._claims(block)
            case TagsDraft():
                return self._tags(block)
            case ExerciseDraft():
                return self._exercise(block)
            case CardsDraft():
                cards = tuple(map(self._card, block.cards))
                return self._block("cards", cards)
            case CoachDraft() if self._edition.is_for_coach:
                return coach_note(block, self._text)
        return ""

    def _block(self, macro: str, *values: object) -> str:
        """Return a block by its macro, in the lesson's language."""
        return self._edition.block(macro, *values, language=self._lesson.draft.language)

    # ---------------------------------------------------------------- lines and pictures

    def _moves(self, block: MovesDraft) -> str:
        if block.name not in self._lesson.lines:
            return ""
        sheet = self._edition.sheet(self._lesson.slug, block.name)
        view = LineView(
            name=block.name,
            title=sheet.title,
            start_href=f"#{sheet.fragments[0]}",
            moves=self._movetext(sheet),
            chart=self._chart(sheet),
            source=block.source or "",
            pgn_href="" if sheet.line.start.is_partial else f"{self._lesson.slug}.pgn",
            elsewhere=self._elsewhere.get(block.name, ())[:_MOST_ELSEWHERE],
        )
        return self._block("line", view)

    def _movetext(self, sheet: Sheet) -> Markup:
        if not sheet.line.plies:  # a board that is only shown
            return self._edition.board(Place(sheet.lesson, sheet.line.name, 0), self._words)
        return line_html(
            sheet.line,
            sheet.fragments,
            letters=sheet.letters,
            words=self._words,
            remark=self._text.remark,
        )

    def _chart(self, sheet: Sheet) -> Markup:
        ledger = self._edition.ledger(sheet)
        if not is_telling(sheet.line, ledger):
            return Markup()
        told = chart_words(sheet.line, ledger, self._words, letters=sheet.letters)
        return still_chart(sheet.line, ledger, label=told)

    def _diagram(self, index: int, block: DiagramDraft) -> str:
        place = self._text.place_of(block.place)
        if place is None:
            return ""
        self._diagrams += 1
        marks = self._lesson.marks.get(index, ())
        position = self._edition.position(place)
        view = DiagramView(
            number=self._diagrams,
            board=self._edition.board(
                place,
                self._words,
                marks=marks,
                seen_from=cast("Side | None", block.view),
                alt=block.alt,
            ),
            href=self._fragment_here(place),
            place=self._edition.place_words(place, self._words),
            turn=turn_words(position, self._words),
            caption=self._text.inline(block.caption) if block.caption else Markup(),
            legend=legend_of(marks, self._words),
        )
        return self._block("diagram", view)

    def _fragment_here(self, place: Place) -> str:
        address = self._text.address(place)
        return address if address.startswith("#") else ""

    # ---------------------------------------------------------------- what is said of positions

    def _claims(self, block: ClaimsDraft) -> str:
        place = self._text.place_of(block.place)
        if place is None:
            return ""
        items = tuple(self._claim(claim, place) for claim in block.claims)
        said = self._edition.place_words(place, self._words)
        return self._block("claims", self._text.address(place), said, items)

    def _claim(self, claim: ClaimDraft, place: Place) -> ClaimView:
        settled = self._edition.course.verdicts[claim.span]
        verdict = settled.verdict
        kind = _KINDS.get(verdict.reach, "false")
        placement = self._edition.sheet_of(place).placements[place.index]
        sentence = claim_words(settled, placement=placement, words=self._words)
        if kind == "false":  # such a lesson is not published: only the coach sees it
            known = self._words.say("refuted")
        else:
            known = self._words.known[kind].format(depth=verdict.depth)
            self.signs.setdefault(kind)
        return ClaimView(sentence=self._said(sentence, place), kind=kind, known=known)

    def _said(self, sentence: str, place: Place) -> Markup:
        """Return a claim with its moves as controls, where they follow the position in its line."""
        sheet = self._edition.sheet_of(place)
        here, done = place.index, 0
        parts: list[str] = []
        for found in find_mentions(sentence):
            parts.append(replies_html(sentence[done : found.start], sheet.letters))
            written = written_html(sentence[found.start : found.end], sheet.letters)
            children = sheet.line.children(here)
            child = next((c for c in children if matches(sheet.line.plies[c - 1], found.step)), 0)
            if child:
                here = child
                href = escape(self._text.address(Place(place.lesson, place.line, child)))
                written = f'<a class="m s" href="{href}">{written}</a>'
            parts.append(written)
            done = found.end
        return Markup("".join([*parts, replies_html(sentence[done:], sheet.letters)]))

    def _tags(self, block: TagsDraft) -> str:
        items = [view for tag in block.tags if (view := self._tag(tag)) is not None]
        return self._block("tags", items) if items else ""

    def _tag(self, tag: TagDraft) -> TagView | None:
        place = self._text.place_of(tag.place)
        principle = self._edition.course.principles.get(tag.principle)
        if place is None or principle is None:
            return None
        sheet = self._edition.sheet_of(place)
        ply = sheet.ply(place.index)
        if ply is None:
            return None
        return TagView(
            move=move_link(ply, self._text.address(place), letters=sheet.letters),
            verb=self._words.verbs[verb_of(tag, ply)],
            principle=LinkView(
                href=f"{self._text.root}principles/{principle.slug}.html", text=principle.title
            ),
            reason=tag.reason or "",
        )

    # ---------------------------------------------------------------- exercises and cards

    def _exercise(self, block: ExerciseDraft) -> str:
        place = self._text.place_of(block.board)
        if place is None:
            return ""
        self._exercises += 1
        position = self._edition.position(place)
        trial = trial_view(self._edition, self._lesson, block, place, self._text)
        self.has_trials |= bool(trial.kind)
        view = ExerciseView(
            ident=block.name,
            number=self._exercises,
            board=self._edition.board(
                place, self._words, seen_from=position.turn, live=trial.kind == "moves"
            ),
            trial=trial,
            place=self._edition.place_words(place, self._words),
            turn=turn_words(position, self._words),
            turn_side=position.turn,
            task=self._text.text(block.task),
            hints=tuple(map(self._text.text, block.hints)),
            answer=self._answer(block),
            wrong=tuple(
                (self._played(attempt.move), self._text.text(attempt.feedback))
                for attempt in block.wrong
            ),
            level=level_html(self._edition, block.level, self._words),
        )
        return self._block("exercise", view)

    def _answer(self, block: ExerciseDraft) -> Markup:
        parts = [self._played(movetext) for movetext in block.answers]
        moves = Markup(f" {self._words.or_else} ").join(parts)
        words = block.answer_text or self._words.truths.get(block.check.strip(), "")
        said = self._text.text(words) if words else Markup()
        return moves + (" " if moves and said else "") + said

    def _played(self, movetext: MovetextDraft) -> Markup:
        """Return an answer's moves; they have no place on the page to go to."""
        line: Line | None = self._lesson.answers.get(movetext.main.span)
        if line is None:
            return Markup()
        return plain_line_html(
            line, letters=self._text.letters, words=self._words, remark=self._text.remark
        )

    def _card(self, card: CardDraft) -> CardView:
        item = self._items[card.span]
        return CardView(
            ident=item.ident,
            name=item.name,
            question=self._text.text(card.question),
            answer=self._text.text(card.answer),
            question_board=self._card_board(card.question_board),
            answer_board=self._card_board(card.answer_board),
        )

    def _card_board(self, reference: Reference | None) -> Markup:
        place = self._text.place_of(reference) if reference else None
        return self._edition.board(place, self._words, small=True) if place else Markup()
