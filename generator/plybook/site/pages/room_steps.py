"""A lesson in short steps for the projector: what each press of a key shows.

Nothing is given away: a position stands without its marks first, a question without its answer,
and a line move by move.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Any, Final

from markupsafe import Markup

from plybook.board import open_place
from plybook.board.claims import Reach
from plybook.board.model import Line, Mark, Ply, Position
from plybook.course.model import Lesson, Place
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.lesson_blocks import claim_words, legend_of
from plybook.site.pages.room_views import RoomStepView
from plybook.site.wording.movetext import (
    GLYPHS,
    move_sign,
    plain_line_html,
    replies_html,
    written_html,
)
from plybook.site.wording.prose import Setting, render_prose
from plybook.site.wording.sentences import (
    length_of,
    part_of,
    passages_of,
    tables_of,
    without_notes,
)
from plybook.site.wording.tree import sideline_letters, walk
from plybook.site.wording.typography import set_text
from plybook.site.wording.words import after, turn_words
from plybook.text.mentions import find_mentions
from plybook.text.model import (
    CardDraft,
    CardsDraft,
    ClaimsDraft,
    DiagramDraft,
    ExerciseDraft,
    MovesDraft,
    Reference,
)

__all__ = ["RoomStep", "Shown", "room_steps"]

_SHORT: Final = 90  # characters; up to them the text is largest
_MIDDLE: Final = 220
_LEGEND: Final = 30  # as many characters a row of the legend takes the place of


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What stands on the board. `place` is None in an answer, which is no line of the course."""

    placement: str
    place: Place | None
    caption: str  # "After 4…g6"
    last: tuple[str, str] | None = None
    is_turned: bool = False
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomStep:
    """One step; `shown` is None where the board stays as it is."""

    view: RoomStepView
    shown: Shown | None


def room_steps(edition: Edition, lesson: Lesson, text: Hypertext) -> tuple[RoomStep, ...]:
    """Return the steps of a lesson in the order of its text."""
    writer = _RoomWriter(edition, lesson, text)
    writer.title()
    writer.prose()
    return tuple(writer.steps)


@dataclass
class _RoomWriter:
    edition: Edition
    lesson: Lesson
    text: Hypertext
    steps: list[RoomStep] = field(default_factory=list)
    _part: str = ""
    _exercises: int = 0

    # ---------------------------------------------------------------- steps

    def _add(
        self,
        kind: str,
        *,
        shown: Shown | None = None,
        text: Markup | None = None,
        length: int | None = None,
        over: str = "",
        move: str = "",
        depth: int = 0,
        begins: bool = False,
        turn: Position | None = None,
    ) -> None:
        said = text or Markup()
        legend = legend_of(shown.marks if shown else (), self.text.words)
        count = len(said.striptags()) if length is None else length
        count += _LEGEND * len(legend)
        size = "short" if count <= _SHORT else "middle" if count <= _MIDDLE else "long"
        view = RoomStepView(
            kind=kind,
            part=self._part,
            over=over,
            depth=depth,
            begins=begins,
            move=Markup(move),  # made by move_sign
            turn=turn_words(turn, self.text.words) if turn else "",
            turn_side=turn.turn if turn else "white",
            text=said,
            size=size,
            legend=legend,
        )
        self.steps.append(RoomStep(view=view, shown=shown))

    def title(self) -> None:
        """Begin with the name of the lesson."""
        self._part = self.lesson.draft.title
        self._add("title", text=Markup.escape(self.lesson.draft.subtitle or ""))

    # ---------------------------------------------------------------- prose

    def prose(self) -> None:
        """Walk through the text: headings, passages, list items, tables and blocks."""
        tokens = self.lesson.draft.prose.tokens
        at = 0
        numbers: list[int] = []  # of the lists that are open; 0 for one without numbers
        while at < len(tokens):
            token = tokens[at]
            if token.type == "heading_open":
                self._heading(tokens[at + 1])
                at += 2
            elif token.type in {"table_open", "footnote_block_open"}:
                end = _end_of(tokens, at)
                if token.type == "table_open":
                    for table in tables_of(tokens[at : end + 1]):
                        self._add_tokens("text", table)
                at = end
            elif token.type in {"bullet_list_open", "ordered_list_open"}:
                numbers.append(int(token.attrGet("start") or 1) if token.tag == "ol" else 0)
            elif token.type in {"bullet_list_close", "ordered_list_close"}:
                numbers.pop()
            elif token.type == "list_item_open":
                self._item(tokens[at : _end_of(tokens, at)], numbers)
            elif token.type == "inline" and not numbers:
                for passage in passages_of(token):
                    self._add_tokens("text", [passage])
            elif token.type == "fence":
                self._fence(token)
            at += 1

    def _heading(self, inline: Any) -> None:
        self._part = str(self._rendered([inline]).striptags()).strip()
        # Two headings without a word between them: the first is not shown alone.
        if self.steps and self.steps[-1].view.kind == "part":
            self.steps.pop()
        self._add("part")

    def _item(self, tokens: Sequence[Any], numbers: list[int]) -> None:
        """Add the first text of a list item; a list in it follows by itself."""
        inline = next((token for token in tokens if token.type == "inline"), None)
        if inline is None:
            return
        number = ""
        if numbers[-1]:
            number = f"{numbers[-1]}. "
            numbers[-1] += 1
        text = Markup.escape(number) + self._rendered([without_notes(inline)])
        self._add("text", text=text, shown=self._spoken_of([inline]))

    def _add_tokens(self, kind: str, tokens: Sequence[Any]) -> None:
        text, length = self._rendered(tokens), length_of(tokens)
        self._add(kind, text=text, length=length, shown=self._spoken_of(tokens))

    def _spoken_of(self, tokens: Sequence[Any]) -> Shown | None:
        """Return the last position that a text names: the board follows what is said."""
        prose = self.lesson.draft.prose
        found: Place | None = None
        for token in chain.from_iterable(one.children or () for one in tokens):
            if token.type == "mention":
                place = self.lesson.mentions.get(prose.mentions[token.meta["mention"]].span)
            elif token.type == "link_open":
                reference = prose.links[token.meta["link"]].reference
                place = self.text.place_of(reference) if reference else None
            else:
                continue
            found = place or found
        return self._shown(found) if found and found.lesson in self.edition.course.lessons else None

    def _rendered(self, tokens: Sequence[Any]) -> Markup:
        return render_prose(part_of(self.lesson.draft.prose, tokens), self._setting())

    def _setting(self) -> Setting:
        """Return the page's setting; in the room nothing is pressed, so there is no link."""
        page = self.text.setting(lambda _: "")
        letters = self.text.letters
        return Setting(
            mention=lambda _, text: f'<b class="mt">{written_html(text, letters)}</b>',
            anchor=lambda _: None,
            picture=page.picture,
            block=page.block,
            quotes=page.quotes,
            top_heading=page.top_heading,
        )

    # ---------------------------------------------------------------- blocks

    def _fence(self, token: Any) -> None:
        index = (token.meta or {}).get("block")
        if index is None:
            self._add_tokens("text", [token])
            return
        match self.lesson.draft.blocks[index]:
            case MovesDraft() as block if block.name in self.lesson.lines:
                self._moves(self.edition.sheet(self.lesson.slug, block.name))
            case DiagramDraft() as block:
                self._diagram(index, block)
            case ClaimsDraft() as block:
                self._claims(block)
            case ExerciseDraft() as block:
                self._exercise(block)
            case CardsDraft() as block:
                self._part = self.text.words.say("Do you remember?")
                for card in block.cards:
                    self._card(card)
            case _:
                pass  # a tag is the coach's remark on a move; a coach block is for nobody here

    def _shown(self, place: Place, *, marks: tuple[Mark, ...] = ()) -> Shown:
        sheet = self.edition.sheet_of(place)
        ply = sheet.ply(place.index)
        return Shown(
            # Not the position: to open one at every move of a line would cost more than the page.
            placement=sheet.placements[place.index],
            place=place,
            caption=after(ply, self.text.words, letters=sheet.letters),
            last=(ply.origin, ply.target) if ply else None,
            is_turned=sheet.view == "black",
            marks=marks,
        )

    def _diagram(self, index: int, block: DiagramDraft) -> None:
        place = self.text.place_of(block.place)
        if place is None:
            return
        marks = self.lesson.marks.get(index, ())
        bare, marked = self._shown(place), self._shown(place, marks=marks)
        self._add("look", shown=bare, over=bare.caption, turn=self.edition.position(place))
        if marks or block.caption:
            text = render_prose(block.caption, self._setting()) if block.caption else Markup()
            self._add("look", shown=marked, text=text, over=bare.caption)

    def _claims(self, block: ClaimsDraft) -> None:
        place = self.text.place_of(block.place)
        if place is None:
            return
        words, shown = self.text.words, self._shown(place)
        question = Markup.escape(words.say("What is true here?"))
        self._add("look", shown=shown, over=shown.caption, text=question)
        for claim in block.claims:
            settled = self.edition.course.verdicts[claim.span]
            sentence = claim_words(settled, placement=shown.placement, words=words)
            if settled.verdict.reach is Reach.COACHS_WORD:
                said = set_text(sentence, self.text.quotes)
                sentence = words.say("The coach believes: {sentence}", sentence=said)
            said_html = self._sentence(sentence, self.edition.sheet_of(place).letters)
            self._add("answer", shown=shown, over=shown.caption, text=said_html)

    def _sentence(self, sentence: str, letters: str) -> Markup:
        """Return a claim with its moves set as moves."""
        parts: list[str] = []
        done = 0
        for found in find_mentions(sentence):
            parts.append(replies_html(sentence[done : found.start], letters))
            parts.append(written_html(sentence[found.start : found.end], letters))
            done = found.end
        parts.append(replies_html(sentence[done:], letters))
        return Markup("".join(parts))

    def _moves(self, sheet: Sheet) -> None:
        words, line = self.text.words, sheet.line
        letters = sideline_letters(line)
        side = ""
        start = Place(sheet.lesson, line.name, 0)
        title = Markup.escape(sheet.title)
        self._add("line", shown=self._shown(start), text=title, turn=line.start)
        for _, begins, ply in walk(line):
            if begins and ply.depth == 1:
                side = words.sideline.format(letter=letters[ply.index])
            place = Place(sheet.lesson, line.name, ply.index)
            shown = self._shown(place, marks=self.lesson.sets.get(place, ()))
            over = side if ply.depth else sheet.title
            self._add_ply("move", ply, shown, over=over, letters=sheet.letters, begins=begins)

    def _add_ply(
        self, kind: str, ply: Ply, shown: Shown, *, over: str, letters: str, begins: bool = False
    ) -> None:
        remarks = [self._remark(comment.prose, comment.text) for comment in ply.comments_before]
        remarks += [
            Markup.escape(self.text.words.nag(n)) for n in ply.nags if n and n not in GLYPHS
        ]
        remarks += [self._remark(comment.prose, comment.text) for comment in ply.comments]
        self._add(
            kind,
            shown=shown,
            over=over,
            move=move_sign(ply, letters),
            depth=ply.depth,
            begins=begins,
            text=Markup(" ").join(remarks),
        )

    def _remark(self, prose: Any, text: str) -> Markup:
        return render_prose(prose, self._setting()) if prose.tokens else self.text.text(text)

    # ---------------------------------------------------------------- questions

    def _exercise(self, block: ExerciseDraft) -> None:
        place = self.text.place_of(block.board)
        if place is None:
            return
        words = self.text.words
        self._exercises += 1
        self._part = words.say("Your move {number}", number=self._exercises)
        position = self.edition.position(place)
        shown = replace(self._shown(place), is_turned=position.turn == "black")
        task = self.text.text(block.task)
        self._add("task", shown=shown, over=shown.caption, text=task, turn=position)
        for number, hint in enumerate(block.hints, start=1):
            over = words.say("Hint {number}", number=number)
            self._add("hint", shown=shown, over=over, text=self.text.text(hint))
        said = block.answer_text or words.truths.get(block.check.strip(), "")
        if said:
            over = words.say("Answer")
            self._add("answer", shown=shown, over=over, text=self.text.text(said))
        lines = [
            line
            for movetext in block.answers
            if (line := self.lesson.answers.get(movetext.main.span)) is not None and line.plies
        ]
        if lines:
            self._answer(lines, is_turned=shown.is_turned)

    def _answer(self, lines: Sequence[Line], *, is_turned: bool) -> None:
        """Add the moves of the first answer; the others follow in words."""
        words, letters = self.text.words, self.text.letters
        for ply in lines[0].plies:
            shown = Shown(
                placement=open_place(lines[0], ply.index).placement,
                place=None,
                caption=after(ply, words, letters=letters),
                last=(ply.origin, ply.target),
                is_turned=is_turned,
            )
            self._add_ply("answer", ply, shown, over=words.say("Answer"), letters=letters)
        for line in lines[1:]:
            moves = plain_line_html(line, letters=letters, words=words, remark=self.text.remark)
            self._add("answer", over=words.say("Also right"), text=moves)

    def _card(self, card: CardDraft) -> None:
        asked = self._card_board(card.question_board)
        self._add("card", shown=asked, text=self.text.text(card.question))
        over = self.text.words.say("Answer")
        shown = self._card_board(card.answer_board) or asked
        self._add("answer", shown=shown, over=over, text=self.text.text(card.answer))

    def _card_board(self, reference: Reference | None) -> Shown | None:
        place = self.text.place_of(reference) if reference else None
        return self._shown(place) if place else None


def _end_of(tokens: Sequence[Any], at: int) -> int:
    """Return the index of the token that closes the one at `at`."""
    depth = 0
    for index in range(at, len(tokens)):
        depth += tokens[index].nesting
        if depth == 0:
            return index
    raise AssertionError("the parser closes what it opens")
