"""What was cut out of a file is found again in it: fences and running text, however nested."""

from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import FILE, steady, under
from plybook.diagnostics import Report
from plybook.text.markdown import read_prose
from plybook.text.model import Prose
from plybook.text.source import excerpt_of_file

#: What a list or a quotation writes before its first line, and before the others.
CONTAINERS = (("> ", "> "), ("- ", "  "), ("12. ", "    "), ("*\t", "\t"), ("", ""))

WORDS = st.text(alphabet="ab é♞=`\t(", max_size=12)


def nested(lines: list[str], containers: list[tuple[str, str]]) -> str:
    """Return lines inside lists and quotations, the first container outermost."""
    for first, rest in reversed(containers):
        lines = [(rest if row else first) + text for row, text in enumerate(lines)]
    return "\n".join(lines) + "\n"


def read(text: str) -> tuple[Prose, str]:
    return read_prose(excerpt_of_file(FILE, text), has_mentions=True, report=Report())[0], text


# ---------------------------------------------------------------------- fences


@steady(200)
@given(
    lines=st.lists(WORDS, max_size=4),
    containers=st.lists(st.sampled_from(CONTAINERS), max_size=4),
    above=st.sampled_from(["", "text\n\n", "# Head\n\n> quoted\n\n"]),
)
def test_each_character_of_a_fence_is_found_again_in_the_file(
    lines: list[str], containers: list[tuple[str, str]], above: str
) -> None:
    text = above + nested(["~~~moves name", *lines, "~~~"], containers)
    _, fences = read_prose(excerpt_of_file(FILE, text), has_mentions=True, report=Report())
    (fence,) = fences
    rows = text.split("\n")
    for offset, character in enumerate(fence.body.text):
        if not character.isspace():  # spaces may stand for half a tab
            line, column = fence.body.place(offset)
            assert rows[line - 1][column - 1] == character


def test_a_tab_cut_in_two_by_a_list_moves_no_column() -> None:
    text = "- x\n\n  ```moves name\n\t1. e4\n  ```\n"
    _, (fence,) = read_prose(excerpt_of_file(FILE, text), has_mentions=True, report=Report())
    assert fence.body.text == "  1. e4"
    assert fence.body.place(fence.body.text.index("1")) == (4, 2)


@steady(100)
@given(st.lists(st.text(alphabet="ab\n", max_size=8), min_size=1, max_size=5), st.data())
def test_a_part_of_an_excerpt_points_where_the_whole_does(
    pieces: list[str], data: st.DataObject
) -> None:
    whole = excerpt_of_file(FILE, "".join(pieces))
    ends = [0, *accumulate(map(len, pieces))]
    start, end = sorted(data.draw(st.lists(st.sampled_from(ends), min_size=2, max_size=2)))
    part = whole.part(start, end)
    assert part.text == whole.text[start:end]
    for offset in range(len(part.text) + 1):
        assert part.place(offset) == whole.place(start + offset)


# ---------------------------------------------------------------------- running text

PIECES = (
    "a word",
    "5.Nf3",
    "4...g6!",
    "6.Bxf7+ Ke7",
    "`5.Nf3 in code`",
    "``4...g6``",
    "[the 5.Nf3 point](a@5.Nf3)",
    "[words](a@4...g6)",
    "*5.Nf3*",
    "**bold**",
    "\n",
    "\n   ",
    "\\*\\_",
    "&amp; &#42;",
    "5.Nf3,",
)


@steady(300)
@given(
    pieces=st.lists(st.sampled_from(PIECES), min_size=1, max_size=9),
    containers=st.lists(st.sampled_from(CONTAINERS[:3]), max_size=3),
    above=st.sampled_from(["", "## 5.Nf3\n\n"]),
)
def test_a_move_in_running_text_is_found_again_in_the_file(
    pieces: list[str], containers: list[tuple[str, str]], above: str
) -> None:
    paragraph = [row for row in " ".join(pieces).split("\n") if row.strip()] or ["x"]
    text = above + nested(["x " + paragraph[0], *paragraph[1:]], containers)
    prose, _ = read(text)
    written = [
        child.content
        for token in prose.tokens
        for child in token.children or ()
        if child.type == "mention"
    ]
    assert [under(mention.span, text) for mention in prose.mentions] == written
    spans = [mention.span for mention in prose.mentions]
    assert spans == sorted(set(spans)), "each stands behind the one before it"


@pytest.mark.parametrize(
    ("text", "target"),
    [
        ("see [this](a@5.Nf3).\n", "a@5.Nf3"),
        ("> - [x](a@4...g6) and `a@5.Nf3`\n", "a@4...g6"),
        ("![a board](images/board.png)\n", "images/board.png"),
        ("a@5.Nf3 then [x](a@5.Nf3)\n", "a@5.Nf3"),
    ],
    ids=["link", "nested", "image", "words-before"],
)
def test_a_link_points_at_its_address(text: str, target: str) -> None:
    prose, _ = read(text)
    (link,) = prose.links
    assert under(link.span, text) == target
