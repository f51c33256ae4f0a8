"""`plybook format`: other spaces and line ends, the same moves, remarks and brackets."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.folder import moves, write
from diagnostics.run import plybook
from helpers import codes, play, steady
from plybook.diagnostics import Report
from plybook.text.layout import lay_out_lesson, lay_out_moves
from plybook.text.lesson import read_lesson
from plybook.text.model import MovesDraft
from text.trees import Move, flat, trees
from text.trees import write as written

DEMO: Final = Path(__file__).resolve().parents[2] / "curriculum" / "lessons"


@steady(120)
@given(trees())
def test_the_tree_is_the_same_as_before(tree: tuple[str, list[Move]]) -> None:
    fen, line = tree
    laid_out = lay_out_moves(written(fen, line))
    played, found = play(laid_out, fen=fen)
    assert not found, laid_out
    assert [
        (ply.parent, ply.depth, ply.san, ply.nags, tuple(note.text for note in ply.comments))
        for ply in played.plies
    ] == flat(line)


@steady(60)
@given(trees())
def test_laid_out_once_it_stays_so(tree: tuple[str, list[Move]]) -> None:
    once = lay_out_moves(written(*tree))
    assert lay_out_moves(once) == once


@steady(60)
@given(trees())
def test_how_it_was_typed_says_nothing(tree: tuple[str, list[Move]]) -> None:
    """Without remarks, whose inside is the coach's, every way to type a line gives one layout."""
    fen, line = tree
    text = written(fen, line)
    if "{" not in text:
        assert lay_out_moves(text.replace(" ", "\n\t ")) == lay_out_moves(text)


@pytest.mark.parametrize(
    ("typed", "laid_out"),
    [
        ("1.e4 e5 2.Nf3", "1. e4 e5 2. Nf3"),
        ("1. e4 1... e5 2. Nf3", "1. e4 e5 2. Nf3"),
        ("1. e4 $1 e5 $6 $14", "1. e4! e5?! $14"),
        ("1. e4! $1", "1. e4! $1"),
        ("1. e4 {good} e5 2. Nf3", "1. e4 {good}\ne5 2. Nf3"),
        ("1. e4 e5 ( 1... c5 ) 2. Nf3 1-0", "1. e4 e5\n(1... c5)\n2. Nf3 1-0"),
        ("1. e4 {two\n  lines} 1... e5", "1. e4 {two\n  lines}\n1... e5"),
    ],
)
def test_layout_is_as_described(typed: str, laid_out: str) -> None:
    assert lay_out_moves(typed) == laid_out


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.md")), ids=lambda path: path.stem)
def test_nothing_outside_the_moves_is_touched(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    after = lay_out_lesson(text, file=f"lessons/{path.name}")
    assert "".join(after.split()) == "".join(text.split())
    assert lay_out_lesson(after, file=f"lessons/{path.name}") == after


QUOTED: Final = """---
title: A
---

> - In a list in a quotation:
>
>   ```moves a
>   title: One
>
>   1.e4   e5 (1... c5) 2. Nf3
>   ```
>
> And on.
"""


def test_a_block_in_a_list_or_quotation_keeps_its_margin() -> None:
    assert lay_out_lesson(QUOTED, file="lessons/01-a.md") == QUOTED.replace(
        ">   1.e4   e5 (1... c5) 2. Nf3", ">   1. e4 e5\n>   (1... c5)\n>   2. Nf3"
    )


def test_a_block_with_a_fault_is_left_alone(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1.e4   e5 {never closed"))
    before = (course / "lessons/01-example.md").read_bytes()
    assert plybook("format", course).code == 0
    assert (course / "lessons/01-example.md").read_bytes() == before


def test_look_shows_and_leaves_with_code_one(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1.e4   e5"))
    before = (course / "lessons/01-example.md").read_bytes()
    ran = plybook("format", course, "--look")
    assert ran.code == 1
    assert "+1. e4 e5" in ran.out.splitlines()
    assert (course / "lessons/01-example.md").read_bytes() == before
    plybook("format", course)
    assert plybook("format", course, "--look").code == 0


#: Blocks that check clean although their rows do not begin alike: each stays the same lesson.
UNEVEN: Final = (
    "- text\n\n  ```moves main\n\n  1. e4   e5\n  2. Nf3\n  ```\n",
    "> ```moves main\n>1. e4   e5\n>2. Nf3\n> ```\n",
    "> ```moves main\n>1.e4 {a remark}\n> 1...e5   2. Nf3\n> ```\n",
    "-\t```moves main\n\t1. e4   e5\n\t2. Nf3\n\t```\n",
    "   ```moves main\n   1. e4   e5\n 2. Nf3\n   ```\n",
    " ```moves main\n1.e4 e5\n  2. Nf3 (2. Nc3\n ) 2... Nc6\n ```\n",
    "1. a\n\n   > ```moves main\n   > title: A\n   >\n   > 1.e4   e5\n   > ```\n",
)


def said(text: str) -> list[object]:
    report = Report()
    draft = read_lesson(text, slug="a", file="lessons/01-a.md", report=report)
    moves = [
        [
            (ply.text, [comment.text for comment in ply.comments])
            for ply in block.movetext.main.plies
        ]
        for block in draft.blocks
        if isinstance(block, MovesDraft)
    ]
    return [*moves, *codes(report)]


@pytest.mark.parametrize("block", UNEVEN)
@pytest.mark.parametrize("end", ["", "\nAnd on.\n"])
def test_a_block_with_an_uneven_margin_stays_the_same_lesson(block: str, end: str) -> None:
    text = f"---\ntitle: C\n---\n\n{block}{end}"
    after = lay_out_lesson(text, file="lessons/01-a.md")
    assert said(after) == said(text)
    assert after.endswith(end)
    assert "  e5" not in after.replace(">", "").replace("\t", "").split("moves main")[1].strip(
        " \n"
    )


#: What stands before a block in a list or quotation, and the margin of its rows.
FRAMES: Final = (
    ("", ""),
    ("- text\n\n", "  "),
    ("-\ttext\n\n", "\t"),
    ("> text\n>\n", "> "),
    ("1. text\n\n   > text\n   >\n", "   > "),
)


@steady(60)
@given(trees(), st.sampled_from(FRAMES), st.integers(1, 3))
def test_no_margin_changes_what_a_lesson_says(
    tree: tuple[str, list[Move]], frame: tuple[str, str], more: int
) -> None:
    """Random lines on many rows, some of them further in than others."""
    (before, margin), (fen, line) = frame, tree
    rows = written(fen, line).replace(" ", "\n", 3 * more).split("\n")
    inside = ["```moves main", f"from: fen {fen}", "", *rows, "```"]
    uneven = [
        (margin + " " * (at * more % 3 if 2 < at < len(inside) - 1 else 0) + row).rstrip()
        for at, row in enumerate(inside)
    ]
    text = f"---\ntitle: C\n---\n\n{before}" + "\n".join(uneven) + "\n"
    assert said(lay_out_lesson(text, file="lessons/01-a.md")) == said(text)


def test_a_lesson_that_cannot_be_read_does_not_stop_the_others(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1.e4   e5"))
    (course / "lessons/00-link.md").symlink_to("01-example.md")
    (course / "lessons/02-bytes.md").write_bytes(b"\xff\xfe")
    assert plybook("format", course).code == 0
    assert "1. e4 e5" in (course / "lessons/01-example.md").read_text(encoding="utf-8")
