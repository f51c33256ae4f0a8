"""Putting the course together: lines played, references resolved, drawings tested, indexes made."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from plybook.board import Line, Mark, open_place, play_line, try_drawings
from plybook.board.claims import Tell, VerdictCache
from plybook.course.checks import check_heads, check_links, sort_parts
from plybook.course.claims import GiveOpinions, settle_lessons
from plybook.course.contradictions import find_contradictions
from plybook.course.evidence import Findings
from plybook.course.exercises import settle_exercises
from plybook.course.indexes import find_meetings, find_uses
from plybook.course.ledgers import Ledgers
from plybook.course.lines import Lines, play_lines
from plybook.course.lock import compare_lock, lock_text
from plybook.course.mentions import resolve_mentions
from plybook.course.model import Course, Lesson, Place
from plybook.course.tags import check_tags
from plybook.diagnostics import Diagnostic, Report, Span
from plybook.kept import Ask, Kept
from plybook.text.model import (
    CardsDraft,
    ClaimsDraft,
    CourseDraft,
    DiagramDraft,
    ExerciseDraft,
    LessonDraft,
    MovesDraft,
    MovetextDraft,
    PrincipleDraft,
    Reference,
    TagsDraft,
)
from plybook.text.walk import proses_of

__all__ = ["assemble", "lock_of"]


def assemble(
    draft: CourseDraft,
    *,
    report: Report,
    checks_lock: bool = True,
    cache: VerdictCache | None = None,
    jobs: int = 1,
    opinions: GiveOpinions | None = None,
    kept: Kept | None = None,
    shows_drafts: bool = False,
    tell: Tell | None = None,
) -> Course:
    """Return the course; what does not hang together is reported and left out.

    With `checks_lock` the positions are compared with positions.lock, where there is one. Verdicts
    on claims are taken from `cache` and put there; `jobs` processes settle the others, and `tell`
    hears how far they are. `opinions` is asked about claims without proof. What `kept` holds of
    earlier runs is taken up. With `shows_drafts` drafts are in too, and the report is the same.
    """
    kept = kept or Kept()
    lines = play_lines(draft.lessons, report=report, kept=kept)
    check_heads(draft, lines.aliases, report=report)
    check_links(draft, report=report, kept=kept)
    built = _build_lessons(draft, lines, kept, report)
    settled = settle_lessons(
        built, cache=cache, jobs=jobs, opinions=opinions, report=report, kept=kept, tell=tell
    )
    exercises = settle_exercises(built, cache=cache, jobs=jobs, report=report, kept=kept, tell=tell)
    lessons = {each.slug: each for each in built if shows_drafts or not each.draft.is_draft}
    if checks_lock:
        _compare_lock(draft, lines, report, kept)
    principles = _by_title(draft)
    ledgers = Ledgers(built, kept=kept)
    findings = Findings(ledgers, principles, kept=kept, shown=lessons)
    check_tags(findings, report=report)
    find_contradictions(built, settled, report=report, kept=kept)
    return Course(
        file=draft.file,
        lessons=lessons,
        principles=principles,
        parts=sort_parts(draft, list(lessons), lines.aliases, report=report),
        uses=find_uses(lessons, principles),
        meetings=find_meetings(lessons, kept=kept),
        images=draft.images,
        targets=_targets(draft, lines, report),
        evidence=findings,
        ledgers=ledgers.of(lessons),
        verdicts={one.claim.span: one for one in settled},
        exercises={key: solved for key, solved in exercises.items() if key[0] in lessons},
    )


def _build_lessons(
    draft: CourseDraft, lines: Lines, kept: Kept, report: Report
) -> tuple[Lesson, ...]:
    """Return the lessons with all they refer to, those taken up that ask for nothing new."""
    drafts = {one.slug: one for one in draft.lessons}
    numbers: dict[str, int] = {}
    published = 0
    for one in draft.lessons:
        numbers[one.slug] = published + 1
        published += not one.is_draft

    names = kept.same("names", (lines.aliases, lines.drafts))
    tables: dict[str, Mapping[str, object]] = {
        "names": {"": names},
        "number": numbers,
        "draft": drafts,
        "lines": lines.by_lesson,
    }

    def answer(name: tuple[str, str]) -> object:
        table, key = name
        return tables[table].get(key)

    def make(slug: str) -> Callable[[Report, Ask], Lesson]:
        return lambda found, ask: _Builder(drafts[slug], lines, found, ask).build(
            number=ask(("number", slug))
        )

    kept.only("lesson", drafts)
    return tuple(
        kept.trace("lesson", slug, answer, make(slug), report=report, holds=_speaks_of_its_own)
        for slug in drafts
    )


def _speaks_of_its_own(found: Diagnostic) -> bool:
    """Return whether a fault depends on nothing but what its lesson asked for.

    A line that is not there is looked for in every other lesson.
    """
    return found.code != "unknown-line"


def _compare_lock(draft: CourseDraft, lines: Lines, report: Report, kept: Kept) -> None:
    """Compare the lines with positions.lock, where there is one."""
    if draft.lock is not None:
        compare_lock(
            draft.lock,
            _by_lesson(lines),
            broken=lines.broken,
            unread=lines.unread,
            report=report,
            kept=kept,
        )


def _by_title(draft: CourseDraft) -> dict[str, PrincipleDraft]:
    """Return the principles in order of title."""
    pages = sorted(draft.principles, key=lambda page: (page.title.casefold(), page.slug))
    return {page.slug: page for page in pages}


def _targets(draft: CourseDraft, lines: Lines, report: Report) -> dict[Reference, Place]:
    """Return the places that the pages of principles refer to."""
    targets = {}
    for principle in draft.principles:
        for link in principle.prose.links:
            if link.reference is not None:
                place = lines.resolve(link.reference, lesson=None, report=report)
                if place is not None:
                    targets[link.reference] = place
    return targets


def lock_of(draft: CourseDraft) -> str:
    """Return the text of positions.lock for a course folder as it stands.

    Drafts are locked too. A line that cannot be played keeps its row of the old lock.
    """
    lines = play_lines(draft.lessons, report=Report())
    return lock_text(_by_lesson(lines), broken=lines.broken, unread=lines.unread, kept=draft.lock)


def _by_lesson(lines: Lines) -> dict[str, tuple[Line, ...]]:
    return {slug: tuple(played.values()) for slug, played in lines.by_lesson.items()}


class _Builder:
    """Resolves everything one lesson refers to."""

    def __init__(self, draft: LessonDraft, lines: Lines, report: Report, ask: Ask) -> None:
        self._draft = draft
        self._all = lines
        self._ask = ask
        for name in (("names", ""), ("draft", draft.slug), ("lines", draft.slug)):
            ask(name)
        self._lines = lines.by_lesson[draft.slug]
        self._report = report
        self._targets: dict[Reference, Place] = {}
        self._marks: dict[int, tuple[Mark, ...]] = {}
        self._sets: dict[Place, tuple[Mark, ...]] = {}
        self._answers: dict[Span, Line] = {}

    def build(self, *, number: int) -> Lesson:
        for prose in proses_of(self._draft):
            for link in prose.links:
                if link.reference is not None:
                    self._resolve(link.reference)
        for index, block in enumerate(self._draft.blocks):
            match block:
                case MovesDraft():
                    self._moves(block)
                case DiagramDraft():
                    self._diagram(index, block)
                case ExerciseDraft():
                    self._exercise(block)
                case ClaimsDraft():
                    self._resolve(block.place)
                case TagsDraft():
                    self._tags(block)
                case CardsDraft():
                    for card in block.cards:
                        for board in (card.question_board, card.answer_board):
                            if board is not None:
                                self._resolve(board)
                case _:
                    pass  # a coach block refers to nothing; a broken block is reported
        return Lesson(
            draft=self._draft,
            number=number,
            lines=self._lines,
            targets=self._targets,
            mentions=resolve_mentions(self._draft, self._lines, self._targets, report=self._report),
            marks=self._marks,
            sets=self._sets,
            answers=self._answers,
        )

    def _resolve(self, reference: Reference) -> Place | None:
        other = self._all.aliases.get(reference.lesson or "")
        if other is not None:
            self._ask(("draft", other))
            self._ask(("lines", other))
        place = self._all.resolve(reference, lesson=self._draft.slug, report=self._report)
        if place is not None:
            self._targets[reference] = place
        return place

    def _line(self, place: Place) -> Line:
        return self._all.by_lesson[place.lesson][place.line]

    def _moves(self, block: MovesDraft) -> None:
        if isinstance(block.start, Reference) and block.name in self._lines:
            self._resolve(block.start)
        if block.name not in self._lines:
            return
        for placed in block.drawings:
            place = self._resolve(placed.place)
            if place is not None:
                line = self._line(place)
                marks = try_drawings(
                    open_place(line, place.index),
                    placed.drawings,
                    place=_words(line, place.index),
                    report=self._report,
                )
                self._sets[place] = self._sets.get(place, ()) + marks

    def _tags(self, block: TagsDraft) -> None:
        """Resolve the moves of a `tags` block, unless its line is not there: that is one fault."""
        line = Reference(lesson=None, line=block.line, edge="start", span=block.line_span)
        if self._all.resolve(line, lesson=self._draft.slug, report=self._report) is None:
            return
        for tag in block.tags:
            self._resolve(tag.place)

    def _diagram(self, index: int, block: DiagramDraft) -> None:
        place = self._resolve(block.place)
        if place is None:
            return
        line = self._line(place)
        marks = try_drawings(
            open_place(line, place.index),
            block.drawings,
            place=_words(line, place.index),
            report=self._report,
        )
        self._marks[index] = marks
        if place.lesson == self._draft.slug:
            known = self._sets.get(place, ())
            self._sets[place] = known + tuple(mark for mark in marks if mark not in known)

    def _exercise(self, block: ExerciseDraft) -> None:
        if block.twin is not None:
            self._resolve(block.twin)
        place = self._resolve(block.board)
        if place is None:
            return
        start = open_place(self._line(place), place.index)
        for movetext in (*block.answers, *(attempt.move for attempt in block.wrong)):
            self._answers[movetext.main.span] = play_line(
                block.name, movetext, start=start, span=block.span, report=self._report
            )
        first = self._answers.get(block.answers[0].main.span) if block.answers else None
        if first and first.plies:
            for movetext in block.replies:
                self._reply(block, first, movetext)

    def _reply(self, block: ExerciseDraft, answer: Line, movetext: MovetextDraft) -> None:
        """Play the opponent's reply after the first move of the answer."""
        self._answers[movetext.main.span] = play_line(
            block.name,
            movetext,
            start=open_place(answer, 1),
            span=block.span,
            report=self._report,
        )


def _words(line: Line, place: int) -> str:
    return f"after {line.plies[place - 1].label}" if place else f"at the start of {line.name}"
