"""Games that could become a lesson: a principle is broken in them, and soon punished."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from plybook.board import Line, Side, ledger, open_place
from plybook.course.evidence import Findings
from plybook.course.ledgers import Ledgers
from plybook.course.model import Evidence, Lesson, Place
from plybook.diagnostics import Span
from plybook.text.model import EMPTY_PROSE, LessonDraft, PrincipleDraft

__all__ = ["Candidate", "candidates_in", "rules_of"]

_SLUG: Final = "game"
_MATE: Final = 100  # more than any men are worth together
_WINS: Final = frozenset(
    {ledger.FactKind.WINS_MATERIAL, ledger.FactKind.FILE_WINS, ledger.FactKind.THREATENS}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A breach of a principle and its punishment in one game.

    `fen` is the position in which the punishment is to be found. `gain` is what it wins or
    threatens to win, in pawns, mate 100; `gap` how many plies lie between the two moves.
    """

    principle: str
    breach: str  # `4...Qh4`
    told: str  # why it is a breach
    punishment: str
    answer: str  # why it punishes
    fen: str
    gain: int
    gap: int
    ply: int  # of the punishment, from 1

    @property
    def rank(self) -> tuple[int, int, int]:
        """Sorts the best first: what wins most, then the quickest, then the earliest."""
        return (-self.gain, self.gap, self.ply)


def rules_of(principles: tuple[PrincipleDraft, ...]) -> Mapping[str, PrincipleDraft]:
    """Return the principles that a game can break and punish, by slug, without their prose."""
    return {
        one.slug: PrincipleDraft(
            slug=one.slug,
            file=one.file,
            title=one.title,
            short=one.short,
            since=None,
            kept_by=one.kept_by,
            broken_by=one.broken_by,
            justified_by=one.justified_by,
            punished_by=one.punished_by,
            prose=EMPTY_PROSE,
            span=one.span,
        )
        for one in principles
        if one.broken_by and one.punished_by
    }


def candidates_in(
    line: Line, principles: Mapping[str, PrincipleDraft], *, within: int
) -> tuple[Candidate, ...]:
    """Return, for each principle, the best punishment in a line's moves, at most one each.

    The punishing move comes no more than `within` plies after the breach, by the other side. What
    breaks and what punishes is what the pages of the course say too.
    """
    findings = Findings(Ledgers([_lesson_of(line)]), principles)
    found = []
    for slug in principles:
        pairs = sorted(_pairs(line, findings[slug], within), key=lambda one: one.rank)
        found += pairs[:1]
    return tuple(found)


def _pairs(line: Line, evidence: tuple[Evidence, ...], within: int) -> Iterator[Candidate]:
    breaches = [one for one in evidence if one.verb == "broken"]
    for punishment in evidence:
        if punishment.verb != "punished":
            continue
        at = punishment.place.index
        near = [
            one
            for one in breaches
            if 0 < at - one.place.index <= within and _mover(line, one) != _mover(line, punishment)
        ]
        if near:
            yield _candidate(line, near[-1], punishment)


def _mover(line: Line, evidence: Evidence) -> Side:
    return line.plies[evidence.place.index - 1].mover


def _candidate(line: Line, breach: Evidence, punishment: Evidence) -> Candidate:
    at = punishment.place.index
    return Candidate(
        principle=breach.principle,
        breach=line.plies[breach.place.index - 1].label,
        told=breach.told(),
        punishment=line.plies[at - 1].label,
        answer=punishment.told(),
        fen=open_place(line, at - 1).fen,
        gain=max(map(_gain, punishment.facts), default=0),
        gap=at - breach.place.index,
        ply=at,
    )


def _gain(fact: ledger.Fact) -> int:
    if fact.kind is ledger.FactKind.GIVES_MATE:
        return _MATE
    return (fact.amount or 0) if fact.kind in _WINS else 0


def _lesson_of(line: Line) -> Lesson:
    """Return a lesson that holds nothing but a line of moves without variations."""
    span = Span.of_file(_SLUG)
    draft = LessonDraft(
        slug=_SLUG,
        file=_SLUG,
        title=_SLUG,
        subtitle=None,
        level=None,
        minutes=None,
        needs=(),
        teaches=(),
        practises=(),
        language=None,
        letters=None,
        hides_next=False,
        is_draft=False,
        changed=None,
        prose=EMPTY_PROSE,
        blocks=(),
        span=span,
    )
    nothing: Mapping[Place, tuple[()]] = MappingProxyType({})
    return Lesson(
        draft=draft,
        number=1,
        lines={line.name: line},
        targets={},
        mentions={},
        marks={},
        sets=nothing,
        answers={},
    )
