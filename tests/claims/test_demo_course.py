"""What the demo course says of its positions is true."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from plybook.board.claims import Budget, ClaimRequest, Verdict, settle_claims
from plybook.board.model import Line
from plybook.course import Course, assemble
from plybook.diagnostics import Report
from plybook.text import read_course_folder
from plybook.text.claim_model import ThreatensMate, ThreatensWin
from plybook.text.claims import read_claim
from plybook.text.model import ClaimsDraft, MovesDraft, Reference

COURSE = Path(__file__).resolve().parents[2] / "curriculum"
SLUGS = sorted(path.stem.partition("-")[2] for path in (COURSE / "lessons").glob("*.md"))


@cache
def course() -> Course:
    report = Report()
    found = assemble(read_course_folder(COURSE, report=report), report=report, checks_lock=False)
    assert report.errors == 0, report.sorted()
    return found


def lead(lesson: str, name: str) -> tuple[tuple[Line, int], ...]:
    """Return the lines that a line was started from, outermost first."""
    for block in course().lessons[lesson].draft.blocks:
        if isinstance(block, MovesDraft) and block.name == name:
            if not isinstance(block.start, Reference):
                return ()
            place = course().lessons[lesson].targets[block.start]
            return (*lead(place.lesson, place.line), (course().line(place), place.index))
    raise KeyError(name)


def claims_of(slug: str) -> list[tuple[str, ClaimRequest]]:
    lesson = course().lessons[slug]
    found = []
    for block in lesson.draft.blocks:
        if not isinstance(block, ClaimsDraft):
            continue
        place = lesson.targets[block.place]
        threat = None
        for draft in block.claims:
            claim = read_claim(draft, report=Report())
            assert claim is not None, draft.text
            request = ClaimRequest(
                claim=claim,
                line=course().line(place),
                place=place.index,
                lead=lead(place.lesson, place.line),
                lines=tuple(lesson.lines.values()),
                threat=threat,
            )
            found.append((f"{block.place}: {draft.text}", request))
            if isinstance(claim, ThreatensMate | ThreatensWin):
                threat = claim
    return found


@pytest.mark.parametrize("slug", SLUGS)
def test_every_claim_of_a_lesson_stands(slug: str) -> None:
    rows = claims_of(slug)
    verdicts = settle_claims([request for _, request in rows], budget=Budget())
    wrong: list[tuple[str, Verdict]] = [
        (sentence, verdict)
        for (sentence, _), verdict in zip(rows, verdicts, strict=True)
        if not verdict.reach.is_good
    ]
    assert not wrong, "\n".join(f"{sentence} -> {verdict.text}" for sentence, verdict in wrong)
