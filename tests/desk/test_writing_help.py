"""What helps a coach to write: new pages, the keys of heads for editors, words for a shell."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any, Final

import pytest
from jsonschema import Draft202012Validator

from diagnostics.folder import moves, write
from diagnostics.run import plybook
from plybook.diagnostics import Report
from plybook.text.heads import read_yaml
from plybook.text.source import excerpt_of_file

DEMO: Final = Path(__file__).resolve().parents[2] / "curriculum"


@pytest.fixture
def course(tmp_path: Path) -> Path:
    return write(tmp_path / "course", moves("1. e4 e5"))


def test_a_new_lesson_comes_last_and_passes_the_check(course: Path) -> None:
    ran = plybook("new", course, "--lesson", "Pins: a *start*")
    assert ran.out.split() == [str(course / "lessons/02-pins-a-start.md")]
    assert plybook("check", course, "--strict").code == 0


def test_what_new_makes_is_laid_out_already(tmp_path: Path) -> None:
    folder = tmp_path / "new"
    plybook("new", folder)
    plybook("new", folder, "--lesson", "Another")
    ran = plybook("format", folder, "--look")
    assert (ran.code, ran.out) == (0, "")


def test_a_new_course_has_a_principle_that_games_can_be_searched_for(tmp_path: Path) -> None:
    plybook("new", tmp_path / "new")
    games = tmp_path / "games.pgn"
    games.write_text("1. e4 e5 *\n", encoding="utf-8")
    ran = plybook("import", games, "--punished", "--course", tmp_path / "new", "--jobs", "1")
    assert ran.code == 0, ran.err
    assert "0 games found: no breach of `centre` is punished within 6 half-moves" in ran.err


def test_a_new_principle_passes_the_check(course: Path) -> None:
    plybook("new", course, "--principle", "Null")
    assert (course / "principles/null.md").is_file()
    assert plybook("check", course, "--strict").code == 0


def test_nothing_is_written_over_a_page_that_is_there(course: Path) -> None:
    before = (course / "lessons/01-example.md").read_bytes()
    ran = plybook("new", course, "--lesson", "Example")
    assert (ran.code, ran.out) == (2, "")
    assert (course / "lessons/01-example.md").read_bytes() == before
    assert len(list((course / "lessons").iterdir())) == 1


def test_a_name_is_taken_by_the_whole_of_another_not_by_its_end(course: Path) -> None:
    plybook("new", course, "--principle", "Men out")
    assert plybook("new", course, "--principle", "Out").code == 0
    assert (course / "principles/out.md").is_file()


def test_a_title_without_a_latin_letter_is_answered_with_what_to_do(course: Path) -> None:
    ran = plybook("new", course, "--lesson", "Вилка")
    assert ran.code == 2
    assert "Latin letters" in ran.err


def head_of(path: Path) -> dict[str, Any]:
    """Return the values of a head as `check` reads them."""
    text = path.read_text(encoding="utf-8").split("---\n")[1]
    head = read_yaml(excerpt_of_file(path.name, text), report=Report())
    assert head is not None
    return head.values


def schema(name: str) -> Draft202012Validator:
    document = json.loads(plybook("schema", name).out)
    Draft202012Validator.check_schema(document)
    return Draft202012Validator(document)


@pytest.mark.parametrize("kind", ["lesson", "principle"])
def test_the_heads_of_the_demo_fit_their_schema(kind: str) -> None:
    validator = schema(kind)
    for path in sorted((DEMO / f"{kind}s").glob("*.md")):
        found = [error.message for error in validator.iter_errors(head_of(path))]
        assert found == [], path.name


def test_the_schema_refuses_an_unknown_key_and_a_wrong_type() -> None:
    validator = schema("lesson")
    assert not validator.is_valid({"title": "A", "titel": "A"})
    assert not validator.is_valid({"title": "A", "minutes": "many"})
    assert not validator.is_valid({"minutes": 5})
    assert validator.is_valid({"title": "A", "changed": "2024-02-29"})
    assert not validator.is_valid({"title": "A", "changed": "yesterday"})


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_completion_of_a_shell_is_a_script_it_can_read(shell: str, tmp_path: Path) -> None:
    ran = plybook("completion", shell)
    assert (ran.code, ran.err) == (0, "")
    assert "_PLYBOOK_COMPLETE" in ran.out
    program = shutil.which(shell)
    if program is None:
        return  # click's own tests run its scripts in every shell
    script = tmp_path / "script"
    script.write_text(ran.out, encoding="utf-8")
    assert subprocess.run([program, "-n", script], check=False).returncode == 0


def test_words_are_completed() -> None:
    ran = plybook(
        environment={
            "_PLYBOOK_COMPLETE": "bash_complete",
            "COMP_WORDS": "plybook ch",
            "COMP_CWORD": "1",
        }
    )
    assert "plain,check" in ran.out.split()
