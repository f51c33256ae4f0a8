"""What the demo course shows of claims: every sentence, twins, and a trap that needs its lines."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from plybook.board import open_place
from plybook.board.claims import Reach
from plybook.course import Course
from plybook.desk.work import CHECK, Work, run
from plybook.diagnostics import Report
from plybook.site.wording.claims import claim_sentence
from plybook.site.wording.languages import words_for
from plybook.text.claim_model import Claim
from plybook.text.claim_patterns import ENGLISH
from plybook.text.claims import read_claim

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 120  # characters of a sentence that a child reads in one go


@cache
def course() -> Course:
    work = run(CHECK, Work(folder=ROOT / "curriculum"))
    assert work.course is not None
    assert work.report.sorted() == ()
    return work.course


def reach_of(reference: str, sentence: str) -> Reach:
    """Return how a sentence at a place is known."""
    (reach,) = [
        settled.verdict.reach
        for settled in course().verdicts.values()
        if (str(settled.reference), settled.claim.text) == (reference, sentence)
    ]
    return reach


def test_every_kind_of_sentence_stands_in_the_course() -> None:
    def kind(claim: Claim | None) -> str:
        """A class, and for the one with two sentences which of them."""
        assert claim is not None
        return f"{type(claim).__name__} {getattr(claim, 'side', 0) is None}"

    read = [
        kind(read_claim(settled.claim, report=Report())) for settled in course().verdicts.values()
    ]
    assert len(set(read)) == len(ENGLISH.patterns)


def test_every_claim_of_the_course_is_good_as_it_stands() -> None:
    assert all(settled.verdict.reach.is_good for settled in course().verdicts.values())


@pytest.mark.parametrize("language", ["en", "de", "es", "fr", "ru"])
def test_no_claim_of_the_course_is_a_long_sentence(language: str) -> None:
    words = words_for(language)
    for settled in course().verdicts.values():
        position = open_place(course().line(settled.place), settled.place.index)
        told = claim_sentence(settled.read, placement=position.placement, words=words)
        assert len(told) <= LONGEST, told


def test_the_twins_are_answered_in_opposite_ways() -> None:
    first, second = "6.Bxf7+ wins 1 or more, depth 3", "6.Bxf7+ does not win 1, depth 3, because"
    assert reach_of("lets-go@5...a6", first) is Reach.HOLDS
    assert reach_of("one-guard@5...Nc6", f"{second} 6...Kxf7") is Reach.HOLDS


def test_the_trap_holds_by_its_lines_and_not_by_search_alone(tmp_path: Path) -> None:
    """Without the lines the search does not come so far: the lesson says so."""
    sentence = "5.dxe5 wins 1 or more by the lines given"
    assert reach_of("right-time@4...Be7", sentence) is Reach.HOLDS
    lesson = ROOT / "curriculum/lessons/05-queen-waits.md"
    block = lesson.read_text(encoding="utf-8").split("```moves right-time\n")[1].split("```")[0]
    start = block.split("5. dxe5")[0].split("1. e4")[1]
    short = f"1. e4{start}5. dxe5 Nxe5\n"
    (tmp_path / "lessons").mkdir()
    (tmp_path / "course.yaml").write_text("title: Trial\n", encoding="utf-8")
    (tmp_path / "lessons/01-short.md").write_text(
        f"---\ntitle: Short\n---\n\n```moves right-time\n{short}```\n\n"
        f"```claims right-time@4...Be7\n{sentence}\n```\n",
        encoding="utf-8",
    )
    work = run(CHECK, Work(folder=tmp_path))
    assert [fault.code for fault in work.report] == ["false-claim"]
