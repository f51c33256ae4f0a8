"""The commands: what they write and where, what they leave alone, the same bytes everywhere."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Final

import pytest
from click.testing import CliRunner, Result

from handouts.conftest import picture
from plybook.desk.command import cli
from small_course import write_course

NAMES: Final = {
    "page": "harbour.html",
    "epub": "harbour.epub",
    "zip": "harbour.zip",
    "pgn": "harbour.pgn",
}


def run(*arguments: object) -> Result:
    return CliRunner().invoke(cli, [str(each) for each in arguments], standalone_mode=False)


def digests(folder: Path) -> Mapping[str, str]:
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.iterdir())
    }


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """A small course, alone in its folder."""
    folder = tmp_path / "home" / "course"
    folder.mkdir(parents=True)
    write_course(folder)
    (folder / "images" / "board.png").write_bytes(picture())
    return folder


def edit(folder: Path, before: str, after: str) -> None:
    """Change a lesson of the course."""
    lesson = folder / "lessons" / "01-forks.md"
    text = lesson.read_text(encoding="utf-8")
    assert before in text
    lesson.write_text(text.replace(before, after), encoding="utf-8")


@pytest.mark.parametrize("form", NAMES)
def test_a_hand_out_goes_beside_the_course_and_may_be_made_again(copied: Path, form: str) -> None:
    done = run("pack", form, copied)
    target = copied.parent / NAMES[form]
    assert done.return_value == 0, done.output
    assert f"{target}: written" in done.output
    assert sorted(path.name for path in copied.parent.iterdir()) == sorted(["course", target.name])
    again = run("pack", form, copied)
    assert f"{target}: as it was" in again.output
    edit(copied, "3. Nc3 $1 $22", "3. Nc3 $1 $22 Qd8")
    assert f"{target}: written" in run("pack", form, copied).output


@pytest.mark.parametrize("form", NAMES)
def test_a_file_of_somebody_else_is_left_alone(copied: Path, form: str, tmp_path: Path) -> None:
    target = tmp_path / "mine"
    for content in (b"my own notes", b"PK\x03\x04 broken", b""):
        target.write_bytes(content)
        done = run("pack", form, copied, "--out", target)
        assert done.return_value == 2
        assert target.read_bytes() == content


@pytest.mark.parametrize("form", NAMES)
def test_the_hand_out_of_another_course_is_left_alone(
    copied: Path, form: str, tmp_path: Path
) -> None:
    target = tmp_path / "handed"
    assert run("pack", form, copied, "--out", target).return_value == 0
    before = target.read_bytes()
    settings = copied / "course.yaml"
    text = settings.read_text(encoding="utf-8")
    text = text.replace("id: harbour", "id: second").replace("Harbour lessons", "Others")
    settings.write_text(text, encoding="utf-8")
    assert run("pack", form, copied, "--out", target).return_value == 2
    assert target.read_bytes() == before


@pytest.mark.parametrize("form", NAMES)
def test_a_course_with_a_fault_is_not_handed_out(copied: Path, form: str, tmp_path: Path) -> None:
    edit(copied, "3. Nc3 $1 $22", "3. Kd3")
    done = run("pack", form, copied, "--out", tmp_path / "out")
    assert done.return_value == 1
    assert not (tmp_path / "out").exists()


def test_warnings_stop_a_strict_hand_out(copied: Path, tmp_path: Path) -> None:
    done = run("pack", "pgn", copied, "--strict", "--out", tmp_path / "out")  # it has no part
    assert done.return_value == 1
    assert not (tmp_path / "out").exists()


def test_build_writes_a_single_file_of_the_course_or_a_lesson(copied: Path, tmp_path: Path) -> None:
    assert run("build", copied, "--single-file", "--out", tmp_path / "out").return_value == 0
    done = run("build", copied, "--single-file", "--lesson", "pins", "--out", tmp_path / "out")
    assert done.return_value == 0
    assert [path.name for path in sorted((tmp_path / "out").iterdir())] == [
        "harbour.html",
        "pins.html",
    ]


def test_an_unknown_lesson_is_a_wrong_use_with_a_near_name(copied: Path, tmp_path: Path) -> None:
    done = run("pack", "page", copied, "--lesson", "pin", "--out", tmp_path / "out")
    assert done.return_value == 2
    assert "did you mean `pins`?" in done.output


def test_a_place_that_is_not_there_is_a_wrong_use(copied: Path, tmp_path: Path) -> None:
    done = run("pack", "pgn", copied, "--out", tmp_path / "nowhere" / "out.pgn")
    assert done.return_value == 2
    assert "cannot write" in done.output


def test_a_link_in_the_place_of_the_file_is_not_followed(copied: Path, tmp_path: Path) -> None:
    (tmp_path / "own").write_text("my own notes")
    (tmp_path / "out").symlink_to(tmp_path / "own")
    assert run("pack", "pgn", copied, "--out", tmp_path / "out").return_value != 0
    assert (tmp_path / "own").read_text() == "my own notes"


def test_the_same_course_gives_the_same_bytes_everywhere(copied: Path, tmp_path: Path) -> None:
    """Hash seed, time zone, language of the system, folder and its name must not matter."""
    moved = Path(shutil.copytree(copied, tmp_path / "Elsewhere #2" / "другой"))
    found = []
    for number, (course, seed, zone) in enumerate(
        ((copied, "1", "Pacific/Auckland"), (moved, "77", "America/Lima"))
    ):
        out = tmp_path / f"out-{number}"
        out.mkdir()
        environment = {
            **{name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"},
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "LC_ALL": ("C", "de_DE.UTF-8")[number],
        }
        for form in NAMES:
            command = [sys.executable, "-m", "plybook", "pack", form, course, "--out", out]
            subprocess.run(
                command, env=environment, cwd=out.parent, check=True, capture_output=True
            )
        found.append(digests(out))
    assert sorted(found[0]) == sorted(NAMES.values())
    assert found[0] == found[1]
