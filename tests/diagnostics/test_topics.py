"""The pages on the blocks of a lesson: their examples are one lesson without a fault."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from diagnostics.folder import check, write
from plybook.desk.pages_of_codes import TOPICS, explained_topics, explanation
from plybook.text.claim_patterns import ENGLISH

_EXAMPLE = re.compile(r"^~~~~\n(.*?)^~~~~$", re.DOTALL | re.MULTILINE)
BLOCKS = ("moves", "diagram", "tags", "exercise", "cards", "coach")


def example(topic: str) -> str:
    found = _EXAMPLE.search(explanation(topic))
    assert found, topic
    return found[1]


def test_the_examples_together_are_a_clean_lesson(tmp_path: Path) -> None:
    head = example("lesson").replace("needs: [two-pawns]\n", "")
    head = head.replace("title: Count the guards", "title: Count the guards")
    text = head + "\n" + "\n".join(example(topic) for topic in BLOCKS)
    course = "title: A course\nlevels: [First steps]\n"
    write(tmp_path, {"course.yaml": course, "lessons/01-example.md": text})
    assert [(found.code, found.message) for found in check(tmp_path)] == []


@pytest.mark.parametrize("topic", TOPICS)
def test_a_topic_is_read_in_a_terminal(topic: str) -> None:
    page = explanation(topic)
    assert page.startswith(f"# {topic}\n\n")
    assert all(len(line) <= 100 for line in page.split("\n"))


def test_the_page_on_claims_prints_every_sentence() -> None:
    page = explanation("claims")
    assert [pattern.example for pattern in ENGLISH.patterns if pattern.example not in page] == []


def test_every_block_word_has_a_page() -> None:
    from plybook.text.blocks import WORDS

    assert set(WORDS) <= {name for name, _ in explained_topics()}
