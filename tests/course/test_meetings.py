"""Positions that several lines share: transpositions meet, a shared way is told once."""

from __future__ import annotations

from pathlib import Path

from helpers import check_course, lesson, moves

SPANISH = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4"


def meetings(folder: Path, *lessons: str) -> list[list[str]]:
    """Return the places of each meeting, as `lesson/line@index`."""
    files = {
        f"lessons/0{at}-{'abc'[at - 1]}.md": lesson(body) for at, body in enumerate(lessons, 1)
    }
    checked = check_course(folder, files)
    assert not checked.found
    return [
        [f"{place.lesson}/{place.line}@{place.index}" for place in meeting.places]
        for meeting in checked.course.meetings
    ]


def test_lines_that_transpose_meet(tmp_path: Path) -> None:
    one = moves("one", "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. d3")
    two = moves("two", "1. Nf3 Nc6 2. e4 e5 3. Bb5 a6 4. O-O")
    assert meetings(tmp_path, one, two) == [["a/one@6", "b/two@6"]]


def test_of_a_shared_way_only_the_last_position_is_kept(tmp_path: Path) -> None:
    one, two = moves("one", f"{SPANISH} Nf6"), moves("two", f"{SPANISH} b5")
    assert meetings(tmp_path, one + two) == [["a/one@7", "a/two@7"]]


def test_what_every_game_passes_is_no_meeting(tmp_path: Path) -> None:
    one, two = moves("one", "1. e4 e5 2. Nf3 Nc6"), moves("two", "1. e4 e5 2. Nf3 d6")
    assert meetings(tmp_path, one + two) == []


def test_lines_part_where_one_goes_another_way_in_a_variation(tmp_path: Path) -> None:
    one = moves("one", "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 (3... Nf6 4. O-O) 4. Ba4")
    two = moves("two", "1. e4 e5 2. Nf3 Nc6 3. Bb5 Nf6 4. d3")
    assert meetings(tmp_path, one + two) == [["a/one@7", "a/two@6"]]


def test_a_third_line_that_leaves_earlier_has_its_own_meeting(tmp_path: Path) -> None:
    one, two = moves("one", f"{SPANISH} Nf6"), moves("two", f"{SPANISH} b5")
    three = moves("three", "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6")
    assert meetings(tmp_path, one + two, three) == [
        ["a/one@6", "a/two@6", "b/three@6"],
        ["a/one@7", "a/two@7"],
    ], "positions of several lessons come first"


def test_a_line_meets_the_line_it_starts_from(tmp_path: Path) -> None:
    one = moves("one", f"{SPANISH} Nf6 5. O-O")
    two = moves("two", "4. Bxc6 dxc6", from_="one@3...a6")
    assert meetings(tmp_path, one + two) == [["a/one@6", "a/two@0"]]


def test_a_partial_board_meets_nothing(tmp_path: Path) -> None:
    board = {"from_": "fen 8/8/8/3N4/8/8/8/8 w - - 0 9", "partial": "true"}
    assert meetings(tmp_path, moves("one", "", **board) + moves("two", "", **board)) == []
