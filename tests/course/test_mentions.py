"""Moves in running text: which line and which place each of them means."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import Checked, check_course, check_lesson, lesson, moves, under

FIRST = moves("first", "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6")
SECOND = moves("second", "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5")
FORKED = moves(
    "forked", "1. e4 e5 (1... c5 2. Nf3 d6) (1... e6 2. Nf3 d5) 2. Nc3 (2. d4 d5) 2... Nf6"
)


def pressed(checked: Checked, slug: str = "a") -> list[str]:
    """Return `words -> line@index` of each move that became a control, in reading order."""
    one = checked.course.lessons[slug]
    text = checked.draft.sources[one.draft.file]
    return [
        f"{under(span, text)} -> {place.line}@{place.index}"
        for span, place in sorted(one.mentions.items())
    ]


@pytest.mark.parametrize(
    ("body", "found"),
    [
        (FIRST + "Play 3.Bb5!\n", ["3.Bb5! -> first@5"]),
        (FIRST + SECOND + "Play 2.Nf3.\n", ["2.Nf3 -> second@3"]),
        (FIRST + "Play 2.Nf3.\n" + SECOND, ["2.Nf3 -> first@3"]),
        ("Play 2.Nf3.\n" + FIRST + SECOND, ["2.Nf3 -> first@3"]),
        (FIRST + SECOND + "Play 3.Bb5.\n", ["3.Bb5 -> first@5"]),
        (FIRST + "Play 3.Bc4.\n" + SECOND, ["3.Bc4 -> second@5"]),
        (FIRST + "`3.Bb5` and [3.Bb5](first@3.Bb5)\n", []),
    ],
    ids=[
        "above",
        "nearest-above",
        "not-below",
        "below",
        "further-up",
        "last-below",
        "code-and-link",
    ],
)
def test_a_move_is_looked_up_in_the_nearest_block_above_first(
    tmp_path: Path, body: str, found: list[str]
) -> None:
    checked = check_lesson(tmp_path, body)
    assert pressed(checked) == found
    assert not checked.found


def test_a_run_is_looked_up_as_a_whole(tmp_path: Path) -> None:
    text = "So 2.Nf3 Nc6 3.Bb5 a6 is one line, and 2.Nf3 d6 another.\n"
    checked = check_lesson(tmp_path, FIRST + text)
    assert pressed(checked) == [
        "2.Nf3 -> first@3",
        "Nc6 -> first@4",
        "3.Bb5 -> first@5",
        "a6 -> first@6",
        "2.Nf3 -> first@3",
    ], "a reply without a number is a control only where it goes on"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1...c5 2.Nf3 d6", ["1...c5 -> forked@3", "2.Nf3 -> forked@4", "d6 -> forked@5"]),
        ("1...e6 2.Nf3", ["1...e6 -> forked@6", "2.Nf3 -> forked@7"]),
        ("2.Nf3 d5", ["2.Nf3 -> forked@7", "d5 -> forked@8"]),
        ("1...e6, then 2.Nf3", ["1...e6 -> forked@6", "2.Nf3 -> forked@7"]),
        ("2.Nc3 d5 is wrong", ["2.Nc3 -> forked@9"]),
        ("2.d4 d5", ["2.d4 -> forked@10", "d5 -> forked@11"]),
    ],
    ids=["run", "other-run", "longest", "goes-on-from-the-last", "no-such-reply", "reply"],
)
def test_the_longest_match_counts_then_what_follows_on(
    tmp_path: Path, text: str, found: list[str]
) -> None:
    checked = check_lesson(tmp_path, FORKED + text + "\n")
    assert pressed(checked) == found
    assert not checked.found


def test_a_move_of_several_sidelines_is_warned_of_with_chains(tmp_path: Path) -> None:
    checked = check_lesson(tmp_path, FORKED + "Now 2.Nf3 comes.\n")
    assert checked.codes == ["ambiguous-mention"]
    assert checked.under("ambiguous-mention") == "2.Nf3"
    assert "forked@1...c5>2.Nf3" in checked.the("ambiguous-mention").help[0]
    assert "forked@1...e6>2.Nf3" in checked.the("ambiguous-mention").help[1]
    assert pressed(checked) == ["2.Nf3 -> forked@4"]


def test_the_main_line_comes_before_its_sidelines(tmp_path: Path) -> None:
    body = moves("m", "1. e4 c5 (1... e5 2. Nf3) (1... e6 2. Nf3) 2. Nf3") + "Now 2.Nf3 comes.\n"
    checked = check_lesson(tmp_path, body)
    assert pressed(checked) == ["2.Nf3 -> m@7"]
    assert not checked.found


def test_places_that_transpose_are_no_choice(tmp_path: Path) -> None:
    body = moves(
        "m", "1. a3 a6 (1... h6 2. h3 a6 3. c3) (1... b6 2. h3) 2. h3 (2. b3) 2... h6 3. c3"
    )
    checked = check_lesson(tmp_path, body + "Then 3.c3.\n")
    assert not checked.found


# ---------------------------------------------------------------------- comments and captions


def test_a_comment_speaks_of_its_own_line(tmp_path: Path) -> None:
    own = moves("own", "1. e4 e5 2. Nf3 {now 2...Nc6 and 3.Bb5} 2... Nc6 3. Bb5")
    assert pressed(check_lesson(tmp_path, own + FIRST)) == ["2...Nc6 -> own@4", "3.Bb5 -> own@5"]


def test_a_comment_in_a_sideline_goes_on_in_that_sideline(tmp_path: Path) -> None:
    body = moves("m", "1. e4 e5 (1... c5 {and 2.Nf3} 2. Nf3) (1... e6 {and 2.Nf3} 2. Nf3) 2. Nc3")
    checked = check_lesson(tmp_path, body)
    assert pressed(checked) == ["2.Nf3 -> m@4", "2.Nf3 -> m@6"]
    assert not checked.found


def test_a_caption_speaks_of_the_line_of_its_diagram(tmp_path: Path) -> None:
    diagram = "\n```diagram first@2...Nc6\ncaption: now 2.Nf3 is played and 3.Bb5 comes\n```\n"
    checked = check_lesson(tmp_path, FIRST + SECOND + diagram)
    assert pressed(checked) == ["2.Nf3 -> first@3", "3.Bb5 -> first@5"]


# ---------------------------------------------------------------------- what stands in no line


def test_a_move_in_no_line_is_warned_of_with_its_neighbours(tmp_path: Path) -> None:
    checked = check_lesson(tmp_path, FIRST + "Not 3.Bc4 here.\n")
    assert checked.codes == ["move-not-in-lesson"]
    assert checked.under("move-not-in-lesson") == "3.Bc4"
    assert "`3.Bb5`" in checked.the("move-not-in-lesson").help[0]
    assert pressed(checked) == []


@pytest.mark.parametrize(
    ("block", "code"),
    [
        (moves("m", "1. e4 e5 2. Nf6 Nc6"), "illegal-move"),
        (moves("", "1. e4 e5"), "missing-block-name"),
        (moves("m", "1. e4", from_="fen 8/8/8/8/8/8/8/8 w - - 0 1"), "impossible-position"),
    ],
    ids=["broken-off", "no-name", "no-start"],
)
def test_nothing_is_missed_while_a_line_is_not_whole(tmp_path: Path, block: str, code: str) -> None:
    assert check_lesson(tmp_path, block + "Then 3.Bb5 comes.\n").codes == [code]


def test_a_move_means_a_line_of_its_own_lesson(tmp_path: Path) -> None:
    files = {"lessons/01-a.md": lesson(FIRST), "lessons/02-b.md": lesson("Play 3.Bb5.\n")}
    assert check_course(tmp_path, files).codes == ["move-not-in-lesson"]


def test_a_page_of_a_principle_has_no_moves_to_press(tmp_path: Path) -> None:
    page = "---\ntitle: Rule\nshort: In short.\n---\nPlay 3.Bb5.\n"
    checked = check_course(tmp_path, {"lessons/01-a.md": lesson(FIRST), "principles/r.md": page})
    assert not checked.found
    assert checked.draft.principles[0].prose.mentions == ()
