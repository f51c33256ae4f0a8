"""Exit codes tell a slip of the coach from a wrong command and from a fault of ours."""

from __future__ import annotations

import errno
import gc
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from diagnostics.folder import PICTURE, body, moves, write
from diagnostics.run import plybook
from plybook.desk import command, work
from plybook.site.publishing import publish
from plybook.site.publishing.refusals import PublishError

GENERATOR = Path(command.__file__).resolve().parents[2]
WARNING = body("A <b>bold</b> start.\n")

needs_full_disk = pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")


@pytest.fixture(autouse=True)
def _collection() -> Iterator[None]:
    """The command turns the garbage collection off for the short time that it lives."""
    yield
    gc.enable()


def leave(monkeypatch: pytest.MonkeyPatch, *arguments: str | Path) -> int:
    """Return the exit code of the whole program, run in this process."""
    monkeypatch.setattr(sys, "argv", ["plybook", *map(str, arguments)])
    with pytest.raises(SystemExit) as left:
        command.main()
    assert isinstance(left.value.code, int)
    return left.value.code


def breaking(error: BaseException) -> object:
    def broken(*_: object, **__: object) -> None:
        raise error

    return broken


# ---------------------------------------------------------------------- our own fault


@pytest.mark.parametrize("error", [ZeroDivisionError("broken"), OSError(errno.ENOSPC, "x", "file")])
def test_3_and_the_whole_story_for_a_fault_of_ours(
    error: Exception,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(work, "read_course_folder", breaking(error))
    assert leave(monkeypatch, "check", write(tmp_path, {})) == 3
    told = capsys.readouterr().err
    assert "Traceback" in told
    assert type(error).__name__ in told


def test_an_interrupted_run_claims_nothing_about_the_site(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It may have been stopped after the new site took the place of the old one."""
    course = write(tmp_path / "course", {})
    monkeypatch.setattr(publish, "_tidy", breaking(KeyboardInterrupt()))
    assert leave(monkeypatch, "build", course) == 130
    assert (tmp_path / "site" / "index.html").is_file()
    assert capsys.readouterr().err.strip() == "stopped"


# ---------------------------------------------------------------------- output that goes nowhere


def run_to(out: int, *arguments: str) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "-m", "plybook", *arguments],
        env={**os.environ, "PYTHONPATH": str(GENERATOR)},
        stdout=out,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )
    return done.returncode, done.stderr.decode()


@needs_full_disk
@pytest.mark.parametrize("arguments", [["explain"], ["--help"], ["explain", "illegal-move"]])
def test_a_full_disk_under_the_output_is_one_line_and_3(arguments: list[str]) -> None:
    with open("/dev/full", "wb") as full:
        code, told = run_to(full.fileno(), *arguments)
    assert (code, told) == (3, "plybook: cannot print: no space left on device\n")


@pytest.mark.skipif(sys.platform == "win32", reason="a broken pipe has another number there")
def test_a_reader_who_has_gone_ends_the_run_quietly() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        assert run_to(writing, "explain") == (141, "")
    finally:
        os.close(writing)


# ---------------------------------------------------------------------- folders that are none


@pytest.mark.parametrize(
    "arguments",
    [["check", ""], ["build", ""], ["build", "--out", ""], ["verdicts", ""], ["new", ""]],
)
def test_an_empty_word_is_no_folder(arguments: list[str], tmp_path: Path) -> None:
    """It comes from a shell variable that is not set, and would mean the folder one is in."""
    write(tmp_path, {})
    before = sorted(tmp_path.rglob("*"))
    ran = plybook(*arguments, within=tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert "an empty word is no folder" in ran.err
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("name", ["x" * 300, "x/" * 3000])
@pytest.mark.parametrize("verb", ["check", "build", "new"])
def test_a_path_too_long_for_the_disk_is_wrong_usage(
    verb: str, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert leave(monkeypatch, verb, name) == 2


@pytest.mark.skipif(sys.platform == "win32", reason="a folder in use is not removed there")
@pytest.mark.parametrize("verb", ["check", "build", "verdicts"])
def test_a_folder_that_was_removed_meanwhile_is_wrong_usage(
    verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert leave(monkeypatch, verb) == 2


# ---------------------------------------------------------------------- refused publications


def test_what_was_found_is_told_before_a_refusal(tmp_path: Path) -> None:
    course = write(tmp_path / "course", WARNING)
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "letter.txt").write_text("precious", encoding="utf-8")
    ran = plybook("build", course)
    assert ran.code == 2
    assert "warning[raw-html]" in ran.err
    assert "1 warning" in ran.out
    assert ran.err.index("raw-html") < ran.err.index("letter.txt")


def test_a_target_that_holds_the_course_is_wrong_usage(tmp_path: Path) -> None:
    course = write(tmp_path / "course", {})
    assert plybook("build", course, "--out", course).code == 2
    assert plybook("build", course, "--out", tmp_path / "no" / "site").code == 2


def test_two_names_that_meet_on_a_stick_are_a_fault_of_the_course(tmp_path: Path) -> None:
    pictures = {PICTURE: write_picture(), PICTURE.replace(".png", ".PNG"): write_picture()}
    text = "![A](../images/board.png)\n\n![A](../images/board.PNG)\n"
    course = write(tmp_path / "course", {**body(text), **pictures})
    assert plybook("build", course).code == 1


def write_picture() -> bytes:
    """Return the picture of the smallest course."""
    from diagnostics.folder import BASE

    content = BASE[PICTURE]
    assert isinstance(content, bytes)
    return content


def test_a_disk_that_refuses_is_no_fault_of_the_course(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publish, "publish", breaking(PublishError("the disk is full", "make room")))
    assert leave(monkeypatch, "build", write(tmp_path / "course", {})) == 3


def test_strict_publishes_nothing_while_there_are_warnings(tmp_path: Path) -> None:
    course = write(tmp_path / "course", WARNING)
    assert plybook("build", course, "--strict").code == 1
    assert not (tmp_path / "site").exists()
    assert plybook("build", course).code == 0
    assert (tmp_path / "site").exists()


# ---------------------------------------------------------------------- accepting


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_accepting_writes_through_no_link_and_over_no_strangers_file(tmp_path: Path) -> None:
    course = write(tmp_path / "course", moves("1. e4 e5"))
    victim = tmp_path / "victim"
    victim.write_bytes(b"precious")
    (course / ".positions.lock.new").symlink_to(victim)
    (course / ".positions.lock.0.new").write_bytes(b"mine")
    ran = plybook("check", course, "--accept")
    assert (ran.code, ran.err) == (0, "positions.lock holds the positions of 1 line\n")
    assert victim.read_bytes() == b"precious"
    assert (course / ".positions.lock.new").is_symlink()
    assert (course / ".positions.lock.0.new").read_bytes() == b"mine"
    assert not (course / "positions.lock").is_symlink()
