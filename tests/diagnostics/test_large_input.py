"""Much of one thing costs its length and not its square."""

from __future__ import annotations

import difflib
import json
import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import pytest

from diagnostics.folder import HEAD, LESSON
from plybook.diagnostics import Report
from plybook.site.inspection.replayed import DATA_ID, stepping_faults
from plybook.site.inspection.strict_html import Page
from plybook.text.claim_patterns import ENGLISH
from plybook.text.claims import _masked, nearest_example
from plybook.text.lesson import read_lesson

#: Seconds for each of these; they take one or two, and took half a minute where it was the square.
BOUND: Final = 12.0

_START: Final = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1"


@contextmanager
def bounded() -> Iterator[None]:
    begin = time.process_time()
    yield
    assert time.process_time() - begin < BOUND


def test_many_equal_headings_cost_their_number() -> None:
    with bounded():
        lesson = read_lesson(HEAD + "## A\n" * 15_000, slug="a", file=LESSON, report=Report())
    assert lesson.prose.headings[:3] == ("h-a", "h-a-2", "h-a-3")
    assert len(set(lesson.prose.headings)) == 15_000


def test_a_numbered_heading_takes_no_name_that_is_taken() -> None:
    text = HEAD + "## A\n\n## A 2\n\n## A\n\n## A 2\n"
    lesson = read_lesson(text, slug="a", file=LESSON, report=Report())
    assert lesson.prose.headings == ("h-a", "h-a-2", "h-a-3", "h-a-2-2")


def test_many_lines_of_a_page_cost_their_number() -> None:
    lines = [
        {"name": f"l{at}", "fen": _START, "from": "." * 64, "moves": "", "turn": "w", "say": []}
        for at in range(12_000)
    ]
    ids = tuple(f"l{at}@start" for at in range(12_000))
    data = json.dumps({"at": ids[0], "lines": lines})
    page = Page(faults=(), ids=ids, references=(), paints=(), data=((DATA_ID, data),), head=())
    with bounded():
        faults = list(stepping_faults(page))
    assert len(faults) == 12_000, "an empty board is not the one of the FEN"


def test_many_sentences_that_are_no_claims_cost_their_number() -> None:
    with bounded():
        for at in range(10_000):
            nearest_example(f"the {'abcdefgh'[at % 8]}night of {at:b} forks x{at}")


def test_a_very_long_sentence_costs_no_more_than_a_long_one() -> None:
    with bounded():
        nearest_example("the knight forks " * 5_000)


@pytest.mark.parametrize(
    "text",
    ["the nite on e5 is pinned", "white is down a pawn", "e4 fork", "x", "", "mate at 3 moves"],
)
def test_the_nearest_sentence_is_that_of_the_plain_comparison(text: str) -> None:
    """The slow twin compares with each sentence in full: letters, and words that tell."""

    def telling(words: str) -> set[str]:
        return set(re.findall(r"[a-z]{3,}", words)) - {"the", "and", "white", "black"}

    def likeness(example: str) -> float:
        asked, offered = _masked(text), _masked(example)
        shared = len(telling(asked) & telling(offered)) / max(2 * len(telling(asked)), 1)
        return difflib.SequenceMatcher(None, asked, offered).ratio() + shared

    assert nearest_example(text) == max((row.example for row in ENGLISH.patterns), key=likeness)
