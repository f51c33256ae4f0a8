"""The claims of the course, settled: read, put to the board with their lines, reported."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from plybook.board import Doubt, Line, Opinion, open_place
from plybook.board.claims import (
    Budget,
    ClaimRequest,
    Reach,
    Tell,
    Verdict,
    VerdictCache,
    settle_claims,
)
from plybook.course.model import Lesson, Place, Settled
from plybook.diagnostics import Report, shown
from plybook.kept import Ask, Kept
from plybook.text.claim_model import Claim, ThreatensMate, ThreatensWin, WinsByLines
from plybook.text.claims import read_claim
from plybook.text.model import ClaimDraft, ClaimsDraft, MovesDraft, Reference

__all__ = ["ClaimReader", "GiveOpinions", "settle_lessons"]

#: Returns the opinions there are on sentences that are believed or not settled.
GiveOpinions = Callable[[Sequence[Doubt]], Mapping[Doubt, Opinion]]

_DOUBTFUL = frozenset({Reach.COACHS_WORD, Reach.NOT_SETTLED})

_NOTED = 5  # moves of an answering line that a note holds


@dataclass(frozen=True, slots=True)
class _Asked:
    """A claim of the course and what the board is asked."""

    draft: ClaimDraft
    place: Place
    reference: Reference
    request: ClaimRequest

    def doubt(self) -> Doubt:
        """Return what an engine would be asked about this claim."""
        position = open_place(self.request.line, self.request.place)
        return Doubt(position=position.fen, question=self.draft.text)


def settle_lessons(
    lessons: Sequence[Lesson],
    *,
    cache: VerdictCache | None,
    jobs: int,
    opinions: GiveOpinions | None,
    report: Report,
    kept: Kept | None = None,
    tell: Tell | None = None,
) -> tuple[Settled, ...]:
    """Return the verdict on every claim of the lessons, in reading order.

    `opinions` is asked once about all claims on which nothing is proved; no verdict depends on it.
    `tell` hears how many claims of those that are settled anew are done.
    A false claim and one that has no meaning are errors, one that is not settled is a warning.
    A claim about a position that could not be reached is left out: that has been reported.
    """
    kept = kept or Kept()
    asked = _asked_by_lesson(lessons, kept, report)
    answers = _answered(asked, kept, cache=cache, jobs=jobs, tell=tell)
    doubts = [doubt for of_lesson in answers.values() for _, doubt in of_lesson if doubt]
    given = opinions(doubts) if opinions else {}
    settled: list[Settled] = []
    for slug, of_lesson in answers.items():
        told = tuple(given.get(doubt) if doubt else None for _, doubt in of_lesson)
        settled += kept.take(
            "settled",
            slug,
            (asked[slug], of_lesson, told),
            partial(_told, asked[slug], of_lesson, told),
            report=report,
        )
    return tuple(settled)


#: A verdict, and what an engine would be asked where nothing is proved.
_Answer = tuple[Verdict, Doubt | None]


def _asked_by_lesson(
    lessons: Sequence[Lesson], kept: Kept, report: Report
) -> dict[str, tuple[_Asked, ...]]:
    """Return what is asked of the board, by lesson; lessons without a claim are left out."""
    known = {lesson.slug: lesson for lesson in lessons}
    for kind in ("asked", "answers", "settled"):
        kept.only(kind, known)
    read = {
        slug: kept.trace("asked", slug, known.get, partial(_read, slug), report=report)
        for slug in known
    }
    return {slug: asked for slug, asked in read.items() if asked}


def _read(slug: str, found: Report, ask: Ask) -> tuple[_Asked, ...]:
    return tuple(ClaimReader(ask(slug), ask, found).asked())


def _answered(
    asked: Mapping[str, tuple[_Asked, ...]],
    kept: Kept,
    *,
    cache: VerdictCache | None,
    jobs: int,
    tell: Tell | None,
) -> dict[str, tuple[_Answer, ...]]:
    """Return the answers by lesson. What is asked anew is settled in one go, so that it is shared
    among the processes."""
    new = [slug for slug in asked if not kept.has("answers", slug, (asked[slug],))]
    requests = [one.request for slug in new for one in asked[slug]]
    verdicts = iter(settle_claims(requests, budget=Budget(), cache=cache, jobs=jobs, tell=tell))
    return {
        slug: kept.take(
            "answers", slug, (every,), partial(_answers, every, verdicts), report=Report()
        )
        for slug, every in asked.items()
    }


def _answers(
    asked: tuple[_Asked, ...], verdicts: Iterator[Verdict], _: Report
) -> tuple[_Answer, ...]:
    """Return the answers to what is asked: the next of the verdicts, in order."""
    return tuple(_answer(one, next(verdicts)) for one in asked)


def _answer(one: _Asked, verdict: Verdict) -> _Answer:
    return verdict, one.doubt() if verdict.reach in _DOUBTFUL else None


def _told(
    asked: tuple[_Asked, ...],
    answers: tuple[_Answer, ...],
    told: tuple[Opinion | None, ...],
    report: Report,
) -> tuple[Settled, ...]:
    """Return the claims with their verdicts, and report those that do not hold."""
    settled = []
    for one, (verdict, _), opinion in zip(asked, answers, told, strict=True):
        settled.append(
            Settled(
                place=one.place,
                reference=one.reference,
                claim=one.draft,
                read=one.request.claim,
                verdict=verdict,
                opinion=opinion,
            )
        )
        _report(one.draft, verdict, opinion, report)
    return tuple(settled)


class ClaimReader:
    """Reads the claims of one lesson and finds the lines they rest on.

    `is_whole` says whether all its lines are: only then may a claim rest on the lines given.
    """

    def __init__(self, lesson: Lesson, ask: Ask, report: Report) -> None:
        self._lesson = lesson
        self._ask = ask
        self._report = report
        written = sum(isinstance(block, MovesDraft) for block in lesson.draft.blocks)
        self.is_whole = len(lesson.lines) == written and all(
            line.is_whole for line in lesson.lines.values()
        )

    def asked(self) -> Iterator[_Asked]:
        for block in self._lesson.draft.blocks:
            if isinstance(block, ClaimsDraft):
                yield from self._block(block)

    def _block(self, block: ClaimsDraft) -> Iterator[_Asked]:
        place = self._lesson.targets.get(block.place)
        threat: ThreatensMate | ThreatensWin | None = None
        for draft in block.claims:
            claim = read_claim(draft, report=self._report)
            if claim is None or place is None:
                continue
            if isinstance(claim, WinsByLines) and not self.is_whole:
                continue  # a line that is not whole would be blamed for what it does not answer
            yield _Asked(draft, place, block.place, self.request(claim, place, threat))
            if isinstance(claim, ThreatensMate | ThreatensWin):
                threat = claim

    def request(
        self, claim: Claim, place: Place, threat: ThreatensMate | ThreatensWin | None = None
    ) -> ClaimRequest:
        """Return what is asked of a claim about a place of the course."""
        line = self.line(place)
        return ClaimRequest(
            claim=claim,
            line=line,
            place=place.index,
            lead=self._lead(place),
            lines=tuple(other for other in self._lesson.lines.values() if other is not line),
            threat=threat,
        )

    def line(self, place: Place) -> Line:
        """Return the line of a place of the course."""
        lesson: Lesson = self._ask(place.lesson)
        return lesson.lines[place.line]

    def _lead(self, place: Place) -> tuple[tuple[Line, int], ...]:
        """Return the lines that led to the start of a place's line, outermost first."""
        lead: list[tuple[Line, int]] = []
        while (before := self._start_of(place)) is not None:
            lead.insert(0, (self.line(before), before.index))
            place = before
        return tuple(lead)

    def _start_of(self, place: Place) -> Place | None:
        lesson: Lesson = self._ask(place.lesson)
        for block in lesson.draft.blocks:
            if isinstance(block, MovesDraft) and block.name == place.line:
                if isinstance(block.start, Reference):
                    return lesson.targets.get(block.start)
                return None
        return None


def _report(draft: ClaimDraft, verdict: Verdict, opinion: Opinion | None, report: Report) -> None:
    notes = [verdict.text] if verdict.text else []
    sentence = shown(draft.text, limit=50)
    match verdict.reach:
        case Reach.FALSE:
            if verdict.counter:
                line = " ".join(
                    move.label if at == 0 or move.mover == "white" else move.san
                    for at, move in enumerate(verdict.counter[:_NOTED])
                )
                notes += [f"the line: {line}"] if line not in verdict.text else []
            report.add(
                "false-claim",
                draft.span,
                f"not true: {sentence}",
                notes=notes,
                help="correct it; or give it as your own word: `believe: …`",
            )
        case Reach.CANNOT_BE_ASKED:
            report.add(
                "claim-not-askable",
                draft.span,
                f"this cannot be asked here: {sentence}",
                notes=notes,
                help="speak of another position, or use another sentence",
            )
        case Reach.NOT_SETTLED:
            notes += [opinion.text] if opinion else []
            report.add(
                "claim-not-settled",
                draft.span,
                f"not settled: {sentence}",
                notes=notes,
                help="add the line that shows it, lower the claim, or write `believe: …`",
            )
        case _:
            pass
