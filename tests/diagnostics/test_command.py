"""The command line: exit codes, where it may be started, `new`, `explain`, and the lock."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from diagnostics.folder import COURSE, HEAD, LESSON, body, check, moves, place, write
from diagnostics.pages import FOLDER, read_page
from diagnostics.run import plybook
from plybook.codes import CODES
from plybook.desk import command
from plybook.desk.command import cli
from plybook.desk.pages_of_codes import explained_codes

WARNING = body("A <b>bold</b> start.\n")


def test_0_for_a_clean_course(tmp_path: Path) -> None:
    ran = plybook("check", write(tmp_path, {}))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == "1 lesson, 0 lines, 0 plies played: nothing to mend\n"


def test_1_for_a_fault(tmp_path: Path) -> None:
    assert plybook("check", write(tmp_path, moves("1. Ke2"))).code == 1


def test_warnings_count_as_faults_only_when_asked(tmp_path: Path) -> None:
    course = write(tmp_path, WARNING)
    assert plybook("check", course).code == 0
    assert plybook("check", course, "--strict").code == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ["chekc"],
        ["check", "--no-such-option"],
        ["check", "--format", "xml"],
        ["check", "no-such-folder"],
        ["check", "."],
        ["explain", "no-such-code"],
        ["new"],
    ],
)
def test_2_for_wrong_usage_said_in_one_breath(arguments: list[str], tmp_path: Path) -> None:
    ran = plybook(*arguments, within=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err
    assert "Traceback" not in ran.err


# ---------------------------------------------------------------------- where it is started


@pytest.mark.parametrize("below", [".", "lessons", "images"])
def test_a_course_is_found_from_any_folder_in_it(below: str, tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. Ke2"))
    ran = plybook("check", within=course / below)
    assert ran.code == 1
    assert ran.err.startswith(f"{LESSON}:6:4: error[illegal-move]")


def test_a_course_beside_is_found_under_its_usual_name(tmp_path: Path) -> None:
    write(tmp_path / "curriculum", {})
    assert plybook("check", within=tmp_path).code == 0


def test_a_course_is_named_from_anywhere(tmp_path: Path) -> None:
    write(tmp_path / "here", {})
    (tmp_path / "there").mkdir()
    assert plybook("check", "../here", within=tmp_path / "there").code == 0


# ---------------------------------------------------------------------- new


def test_a_new_course_is_clean_and_a_second_one_is_refused(tmp_path: Path) -> None:
    made = plybook("new", "club", within=tmp_path)
    assert made.code == 0
    assert check(tmp_path / "club") == ()
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    again = plybook("new", "club", within=tmp_path)
    assert again.code == 2
    assert "not empty" in again.err
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_new_course_goes_into_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "club").mkdir()
    assert plybook("new", tmp_path / "club").code == 0
    assert plybook("check", tmp_path / "club", "--strict").code == 0


def test_the_demonstration_is_clean(tmp_path: Path) -> None:
    assert plybook("new", "--demo", tmp_path / "demo").code == 0
    assert check(tmp_path / "demo") == ()


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "club").write_text("mine", encoding="utf-8")
    assert plybook("new", tmp_path / "club").code == 2
    assert (tmp_path / "club").read_text(encoding="utf-8") == "mine"


# ---------------------------------------------------------------------- explain


def test_explain_prints_the_page(tmp_path: Path) -> None:
    ran = plybook("explain", "illegal-move", within=tmp_path)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == (FOLDER / "illegal-move.md").read_text(encoding="utf-8")


def test_explain_offers_the_nearest_code() -> None:
    assert "did you mean `illegal-move`?" in plybook("explain", "ilegal-move").err


def test_explain_lists_every_code_with_its_sentence() -> None:
    assert [name for name, _ in explained_codes()] == sorted(CODES)
    for name, sentence in explained_codes():
        assert f"{sentence}." == read_page(name).sentence


# ---------------------------------------------------------------------- the lock


def accept(course: Path) -> int:
    """Run `check --accept` in this process and return the exit code."""
    ran = CliRunner().invoke(cli, ["check", str(course), "--accept"], standalone_mode=False)
    code: int = ran.return_value
    return code


def lock_of(course: Path) -> str:
    """Return the lock of a course."""
    return (course / "positions.lock").read_text(encoding="utf-8")


def test_accepting_writes_a_lock_and_an_edited_legal_move_breaks_it(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5"))
    assert plybook("check", course, "--accept").code == 0
    assert re.fullmatch(
        r"# plybook positions 1\nexample/open [0-9a-f]{32} e4 e5 Nf3 Nc6 Bc4 Bc5\n", lock_of(course)
    )
    assert check(course) == ()

    write(tmp_path, moves("1. e4 e5 2. Nf3 Nc6 3. Bb5 Bc5"))
    ran = plybook("check", course)
    assert ran.code == 1
    assert f"{LESSON}:5:1: error[positions-changed]" in ran.err
    assert "  note: before: … e5 Nf3 Nc6 Bc4 Bc5\n" in ran.err
    assert "  note: after:  … e5 Nf3 Nc6 Bb5 Bc5\n" in ran.err

    assert plybook("check", course, "--accept").code == 0
    assert check(course) == ()
    assert lock_of(course).endswith("e4 e5 Nf3 Nc6 Bb5 Bc5\n")


def test_words_may_change_under_a_lock(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4 e5 2. Nf3"))
    accept(course)
    write(tmp_path, moves("title: Again\n\n1. e4! {Now with words.} 1... e5 $14\n2. Nf3"))
    assert check(course) == ()


def test_a_variation_is_under_the_lock_too(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4 e5 (1... c5 2. Nf3) 2. Nf3"))
    accept(course)
    write(tmp_path, moves("1. e4 e5 (1... c5 2. Nc3) 2. Nf3"))
    (found,) = check(course)
    assert found.code == "positions-changed"


def test_a_line_at_fault_keeps_its_row_and_a_whole_line_gets_one(tmp_path: Path) -> None:
    one = "```moves one\n1. {} e5\n```\n\n```moves two\n1. d4 d5\n```\n"
    course = write(tmp_path, body(one.format("e4")))
    accept(course)
    before = lock_of(course)
    write(tmp_path, body(one.format("e5") + "\n```moves three\n1. c4\n```\n"))
    assert accept(course) == 1
    assert [row for row in lock_of(course).split("\n") if "three" not in row] == before.split("\n")
    assert "example/three " in lock_of(course)


def test_a_lesson_that_cannot_be_read_keeps_its_rows(tmp_path: Path) -> None:
    course = write(tmp_path, {**moves("1. e4"), "lessons/02-more.md": HEAD})
    accept(course)
    before = lock_of(course)
    (course / LESSON).write_bytes(b"\xff")
    assert [(found.code, place(found)) for found in check(course)] == [
        ("not-utf8", f"{LESSON}:1:1-2")
    ]
    accept(course)
    assert lock_of(course) == before


def test_a_course_without_a_lock_is_fine(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4"))
    assert check(course) == ()
    assert not (course / "positions.lock").exists()
    assert (course / COURSE).exists()


def test_every_command_of_the_list_can_be_asked_for_help() -> None:
    listed = [row.split()[0] for row in plybook("--help").out.split("Commands:\n")[1].splitlines()]
    assert len(listed) == len(set(listed))
    for name in listed:
        ran = plybook(name, "--help")
        assert (ran.code, ran.err) == (0, ""), name
        assert ran.out.startswith(f"Usage: python -m plybook {name}"), name


def test_no_command_is_missing_from_the_list() -> None:
    modules = {
        path.stem.removeprefix("commands_")
        for path in Path(command.__file__).parent.glob("commands_*.py")
    }
    assert {*cli.commands, *modules} == set(cli.list_commands(click.Context(cli)))
