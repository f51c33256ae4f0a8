"""One move in one position, praised at one place of the course and condemned at another."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Final

from plybook.board import Line
from plybook.board.claims import Reach
from plybook.course.model import Lesson, Settled
from plybook.diagnostics import Report, Span, shown
from plybook.kept import Kept
from plybook.text.claim_model import Wins, WinsByLines, WinsNot
from plybook.text.claims import read_claim
from plybook.text.model import TagsDraft

__all__ = ["find_contradictions"]

_PRAISED: Final = frozenset({1, 3})  # ! and !!
_MARKS: Final = {1: "!", 2: "?", 3: "!!", 4: "??"}
_GOES_ON: Final = frozenset({Reach.PROVED, Reach.HOLDS, Reach.NOT_SETTLED})


def find_contradictions(
    lessons: Iterable[Lesson],
    settled: Iterable[Settled],
    *,
    report: Report,
    kept: Kept | None = None,
) -> None:
    """Report, at the later of two places, what the earlier one says otherwise.

    Compared are `!` with `?`, `obeys` with `breaks` where neither has a reason, and `wins` with
    `does not win`, each of one move in one position, wherever it stands.
    """
    kept = kept or Kept()
    known = {lesson.slug: lesson for lesson in lessons}
    for kind, told in (("glyphs", _told_by_glyphs), ("tags", _told_by_tags)):
        kept.only(kind, known)
        sayings = _Sayings(report)
        for slug, lesson in known.items():
            for one in kept.take(kind, slug, (lesson,), partial(told, lesson), report=report):
                sayings.say(one.thing, is_good=one.is_good, words=one.words, span=one.span)
    _compare_claims(known, settled, report)


@dataclass(frozen=True, slots=True)
class _Saying:
    """What one place says of a thing."""

    thing: Hashable
    is_good: bool
    words: str
    span: Span


class _Sayings:
    """What has been said of each thing so far, for and against."""

    def __init__(self, report: Report) -> None:
        self._report = report
        self._said: dict[tuple[Hashable, bool], tuple[Span, str]] = {}

    def say(self, thing: Hashable, *, is_good: bool, words: str, span: Span) -> None:
        """Take note of a saying; report it when the opposite was said before."""
        against = self._said.get((thing, not is_good))
        if against is not None:
            _report((span, words), against, self._report)
        self._said.setdefault((thing, is_good), (span, words))


def _step(line: Line, place: int) -> tuple[bytes, str]:
    """Return what is equal for one move in one position: the position before it, and the move."""
    ply = line.plies[place - 1]
    return line.key(ply.parent), ply.san.rstrip("+#")


def _told_by_glyphs(lesson: Lesson, _: Report) -> tuple[_Saying, ...]:
    return tuple(
        _Saying(
            _step(line, ply.index), nag in _PRAISED, f"`{ply.label}` has `{_MARKS[nag]}`", ply.span
        )
        for line in lesson.lines.values()
        for ply in line.plies
        for nag in ply.nags
        if nag in _MARKS
    )


def _told_by_tags(lesson: Lesson, _: Report) -> tuple[_Saying, ...]:
    sayings = []
    for block in lesson.draft.blocks:
        for tag in block.tags if isinstance(block, TagsDraft) else ():
            place = lesson.targets.get(tag.place)
            if place is None or tag.reason or tag.verb == "punishes":
                continue
            step = _step(lesson.lines[place.line], place.index)
            words = f"it {tag.verb} `{shown(tag.principle)}`"
            sayings.append(_Saying((step, tag.principle), tag.verb == "obeys", words, tag.span))
    return tuple(sayings)


def _compare_claims(
    lessons: Mapping[str, Lesson], settled: Iterable[Settled], report: Report
) -> None:
    """Compare `wins x` with `does not win y`: both cannot be when x is y or more.

    A claim that is known to be false is left out: it has been reported.
    """
    said: dict[tuple[bytes, str], list[tuple[Settled, bool, int]]] = {}
    for one in settled:
        if one.verdict.reach not in _GOES_ON or " win" not in one.claim.text:
            continue
        claim = read_claim(one.claim, report=Report())
        if not isinstance(claim, Wins | WinsByLines | WinsNot):
            continue
        wins = not isinstance(claim, WinsNot)
        key = lessons[one.place.lesson].lines[one.place.line].key(one.place.index)
        earlier = said.setdefault((key, claim.move.san.rstrip("+#")), [])
        for other, has_won, worth in earlier:
            most, least = (claim.worth, worth) if wins else (worth, claim.worth)
            if has_won is not wins and most >= least:
                _report(
                    (one.claim.span, _words(wins, claim.worth)),
                    (other.claim.span, _words(has_won, worth)),
                    report,
                )
                break
        earlier.append((one, wins, claim.worth))


def _words(wins: bool, worth: int) -> str:
    return f"it {'wins' if wins else 'does not win'} {worth}"


def _report(here: tuple[Span, str], elsewhere: tuple[Span, str], report: Report) -> None:
    span, words = here
    where, other = elsewhere
    report.add(
        "contradiction",
        span,
        f"here {words}, elsewhere {other}",
        notes=(f"elsewhere: {where.file}:{where.line}", "position and move are the same"),
        help="let both places say the same",
    )
