"""What leaves the course room: the course with every reference resolved and every mark tested."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass

from plybook.board import Opinion, ledger
from plybook.board.claims import Verdict
from plybook.board.exercises import Solved
from plybook.board.model import Line, Mark, Ply
from plybook.diagnostics import Span
from plybook.text.claim_model import Claim
from plybook.text.model import ClaimDraft, CourseFile, LessonDraft, PrincipleDraft, Reference

__all__ = [
    "Course",
    "Evidence",
    "EvidenceTable",
    "Lesson",
    "Meeting",
    "Part",
    "Place",
    "PrincipleUse",
    "Settled",
    "Tagged",
]


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """One position of the course: a lesson's slug, a line's name, a place in the line."""

    lesson: str
    line: str
    index: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """A lesson with its lines played.

    `number` counts the published lessons from 1. `targets` holds the place of every reference that
    stands anywhere in the lesson; `mentions` the place of each move in prose by the span of the
    mention, or no entry where it stands in no line; `marks` the tested marks of a diagram block
    by the block's index; `sets` the tested marks of the stepping board by place; `answers` the
    played movetext of an exercise by the span of its movetext.
    """

    draft: LessonDraft
    number: int
    lines: Mapping[str, Line]
    targets: Mapping[Reference, Place]
    mentions: Mapping[Span, Place]
    marks: Mapping[int, tuple[Mark, ...]]
    sets: Mapping[Place, tuple[Mark, ...]]
    answers: Mapping[Span, Line]

    @property
    def slug(self) -> str:
        """The lesson's id and address."""
        return self.draft.slug


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the course with its lessons' slugs. `title` is empty for lessons in no part."""

    title: str
    lessons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tagged:
    """A move that a `tags` block connects with a principle."""

    place: Place  # the place after the move
    verb: str
    principle: str
    reason: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrincipleUse:
    """Where a principle is taught, practised and shown, each in course order."""

    taught: tuple[str, ...]
    practised: tuple[str, ...]
    tagged: tuple[Tagged, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """A place where a principle is kept, broken, justified or punished.

    `place` is the one after the move. `justified` is a breach with a reason: a fact that the
    principle takes as one, or the coach's `anyway`, which then stands in `because`. A tag may have
    neither facts nor reason: then it is the coach's word.
    """

    place: Place
    principle: str
    verb: str  # kept, broken, justified, punished
    facts: tuple[ledger.Fact, ...]  # what was found, the reason last
    is_tagged: bool  # said by the coach in a tags block, which goes before what is computed
    because: str  # the coach's reason, "" without one

    def told(self, words: ledger.Words = ledger.ENGLISH) -> str:
        """Return what was found, else what the coach says; no capital, no full stop."""
        return "; ".join(ledger.say(fact, words=words) for fact in self.facts) or self.because


class EvidenceTable(Mapping[str, tuple[Evidence, ...]]):
    """Evidence by principle that can be asked for that of one move, without going through all."""

    @abstractmethod
    def at(self, before: bytes, after: bytes) -> tuple[Evidence, ...]:
        """Return what the move between two positions shows, by principle and lesson in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A position that stands in more than one line, at its places in course order."""

    key: bytes
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A claim of a lesson with its verdict. `place` is the position it speaks of.

    `claim` is the sentence as the coach wrote it, `read` what it says. Where nothing is proved or
    refuted, an engine's opinion may stand beside the verdict.
    """

    place: Place
    reference: Reference
    claim: ClaimDraft
    read: Claim
    verdict: Verdict
    opinion: Opinion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The whole course. Drafts (`draft: true`) are not in it."""

    file: CourseFile
    lessons: Mapping[str, Lesson]  # by slug, in order
    principles: Mapping[str, PrincipleDraft]  # by slug, in order of title
    parts: tuple[Part, ...]
    uses: Mapping[str, PrincipleUse]  # by principle slug
    meetings: tuple[Meeting, ...]  # at most a chosen number, most telling first
    images: tuple[str, ...]
    targets: Mapping[Reference, Place]  # of references on the pages of principles
    evidence: Mapping[str, tuple[Evidence, ...]]  # by principle slug, same positions merged
    ledgers: Mapping[tuple[str, str], ledger.Ledger]  # by lesson slug and line name
    verdicts: Mapping[Span, Settled]  # of each claim, by its place in the file, in reading order
    exercises: Mapping[tuple[str, str], Solved]  # by lesson slug and name, in reading order

    def line(self, place: Place) -> Line:
        """Return the line a place stands in."""
        return self.lessons[place.lesson].lines[place.line]

    def ply(self, place: Place) -> Ply | None:
        """Return the move that leads to a place, None at the start."""
        return self.line(place).plies[place.index - 1] if place.index else None
