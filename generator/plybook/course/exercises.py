"""The exercises of the course, settled: put to the board with their lines, reported."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from plybook.board import Line, Ply
from plybook.board.claims import Budget, ClaimRequest, Tell, VerdictCache
from plybook.board.exercises import ExerciseRequest, Finding, Solved, gives_away
from plybook.board.exercises import settle_exercises as settle
from plybook.course.claims import ClaimReader
from plybook.course.model import Lesson, Place
from plybook.diagnostics import Report, Span
from plybook.kept import Ask, Kept
from plybook.text.claim_model import Claim, WinsByLines
from plybook.text.claims import read_claim
from plybook.text.exercise_checks import CheckTruth, read_check
from plybook.text.model import ClaimDraft, ExerciseDraft

__all__ = ["settle_exercises"]

#: What stands before a statement in a task, and the full stop behind it.
_ASKS = re.compile(r"(?:.*\?|[^:]*:)?\s*(.*?)\.?")


@dataclass(frozen=True, slots=True)
class _Asked:
    """An exercise of the course and what the board is asked."""

    draft: ExerciseDraft
    request: ExerciseRequest


def settle_exercises(
    lessons: Sequence[Lesson],
    *,
    cache: VerdictCache | None,
    jobs: int,
    report: Report,
    kept: Kept,
    tell: Tell | None = None,
) -> dict[tuple[str, str], Solved]:
    """Return what is found of every exercise, by lesson slug and name, in reading order.

    An exercise whose position or answer could not be played is left out: that has been reported.
    `tell` hears how many of those that are looked into anew are done.
    """
    known = {lesson.slug: lesson for lesson in lessons}
    for kind in ("posed", "solved"):
        kept.only(kind, known)
    read = {
        slug: kept.trace("posed", slug, known.get, partial(_read, slug), report=report)
        for slug in known
    }
    asked = {slug: posed for slug, posed in read.items() if posed}
    new = [slug for slug in asked if not kept.has("solved", slug, (asked[slug],))]
    requests = [one.request for slug in new for one in asked[slug]]
    settled = iter(settle(requests, budget=Budget(), cache=cache, jobs=jobs, tell=tell))
    found: dict[tuple[str, str], Solved] = {}
    for slug, every in asked.items():
        solved = kept.take(
            "solved", slug, (every,), partial(_solved, every, settled), report=report
        )
        found.update(
            ((slug, one.draft.name), each) for one, each in zip(every, solved, strict=True)
        )
    return found


def _read(slug: str, found: Report, ask: Ask) -> tuple[_Asked, ...]:
    return tuple(_Reader(ask(slug), ask, found).asked())


def _solved(
    asked: tuple[_Asked, ...], settled: Iterator[Solved], report: Report
) -> tuple[Solved, ...]:
    """Return the next of what is settled for each exercise, and report its faults."""
    found = []
    for one in asked:
        solved = next(settled)
        found.append(solved)
        for finding in solved.findings:
            _report(one, finding, report)
        _look_at_hints(one, report)
    return tuple(found)


class _Reader:
    """Reads the exercises of one lesson and finds their lines."""

    def __init__(self, lesson: Lesson, ask: Ask, report: Report) -> None:
        self._lesson = lesson
        self._report = report
        self._claims = ClaimReader(lesson, ask, report)

    def asked(self) -> Iterator[_Asked]:
        for block in self._lesson.draft.blocks:
            if isinstance(block, ExerciseDraft):
                request = self._request(block)
                if request is not None:
                    yield _Asked(block, request)

    def _request(self, block: ExerciseDraft) -> ExerciseRequest | None:
        place = self._lesson.targets.get(block.board)
        check = read_check(block.check)
        answers = [self._lesson.answers.get(moves.main.span) for moves in block.answers]
        if place is None or check is None or not all(map(_is_played, answers)):
            return None
        claim: Claim | None = None
        claim_text = ""
        if isinstance(check, CheckTruth):
            claim, claim_text, is_readable = self._claim(block)
            if not is_readable:
                return None
        wrong = [(self._lesson.answers.get(one.move.main.span), one) for one in block.wrong]
        tried = [(line, one.feedback) for line, one in wrong if line and _is_played(line)]
        replies = [self._lesson.answers.get(moves.main.span) for moves in block.replies]
        twin = self._lesson.targets.get(block.twin) if block.twin else None
        return ExerciseRequest(
            line=self._claims.line(place),
            place=place.index,
            check=check,
            answers=tuple(line for line in answers if line),
            wrong=tuple(line for line, _ in tried),
            feedback=tuple(feedback for _, feedback in tried),
            replies=tuple(line for line in replies if line and _is_played(line)),
            answer_text=block.answer_text,
            claim=self._put(claim, place),
            claim_text=claim_text,
            twin=(self._claims.line(twin), twin.index) if twin else None,
            claim_at_twin=self._put(claim, twin),
            lines=tuple(self._lesson.lines.values()),
        )

    def _put(self, claim: Claim | None, place: Place | None) -> ClaimRequest | None:
        return self._claims.request(claim, place) if claim and place else None

    def _claim(self, block: ExerciseDraft) -> tuple[Claim | None, str, bool]:
        """Return the claim of a true-or-false task, its text, and False after a report.

        It is written behind `claim:`, or the task itself reads as one.
        """
        if block.claim is not None:
            draft = ClaimDraft(text=block.claim.value, span=block.claim.span)
            claim = read_claim(draft, report=self._report)
            is_whole = self._claims.is_whole or not isinstance(claim, WinsByLines)
            return claim, draft.text, claim is not None and is_whole
        found = _ASKS.fullmatch(block.task)
        text = found[1] if found else ""
        claim = read_claim(ClaimDraft(text=text, span=block.task_span), report=Report())
        return claim, text if claim else "", True


def _is_played(line: Line | None) -> bool:
    return line is not None and line.is_whole and bool(line.plies)


# ---------------------------------------------------------------------- reporting


def _report(asked: _Asked, finding: Finding, report: Report) -> None:
    report.add(
        finding.code,
        _span(asked, finding),
        finding.message,
        notes=finding.notes,
        help=finding.help,
    )


def _span(asked: _Asked, finding: Finding) -> Span:
    """Return the smallest text that shows a fault."""
    draft, request = asked.draft, asked.request
    about = finding.about
    match finding.code:
        case "answer-fails" | "exercise-short" if about is not None:
            return request.written[about].plies[finding.ply].span
        case "wrong-try-works" if about is not None:
            return request.wrong[about].plies[finding.ply].span
        case "twin-agrees" if draft.twin is not None:
            return draft.twin.span
        case "no-claim" if draft.claim is not None:
            return draft.claim.span
        case _:
            return draft.check_span


def _look_at_hints(asked: _Asked, report: Report) -> None:
    """Report the hints that hold a move of the answer."""
    moves = tuple(_pupil_moves(asked.request))
    for hint, span in zip(asked.draft.hints, asked.draft.hint_spans, strict=True):
        ply = gives_away(hint, moves)
        if ply is not None:
            report.add(
                "hint-gives-away",
                span,
                f"this hint gives the answer away: `{ply.label}`",
                help="say where to look, not where to go",
            )


def _pupil_moves(request: ExerciseRequest) -> Iterator[Ply]:
    for line in request.answers:
        mover = line.plies[0].mover
        yield from (ply for ply in line.plies if ply.mover == mover)
