"""Each code has a page, and the page's example is what it says."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import cycle, islice
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import (
    HEAD,
    LESSON,
    PICTURE,
    Content,
    body,
    check,
    look,
    moves,
    place,
    write,
)
from diagnostics.pages import FOLDER, read_page
from plybook.codes import CODES
from plybook.diagnostics import Diagnostic


def too_many_moves() -> str:
    """Return movetext of 2,001 moves: knights out and home, on one line."""
    sans = islice(cycle(("Nf3", "Nf6", "Ng1", "Ng8")), 2001)
    return " ".join(f"{at // 2 + 1}. {san}" if at % 2 == 0 else san for at, san in enumerate(sans))


#: Examples that a page cannot show as text, by code.
MADE: Final[dict[str, dict[str, Content]]] = {
    "not-utf8": {LESSON: "---\ntitle: Züge\n---\n".encode("latin-1")},
    "file-too-large": body("Much too long.\n" * 41_000),
    "line-too-long": body("x" * 70_000),
    "control-character": body("A first\u202e lesson.\n"),
    "head-too-large": {LESSON: f"---\ntitle: Example\n{('# ' + 'x' * 50 + chr(10)) * 400}---\n"},
    "comment-too-long": moves(f"1. e4 {{{'x' * 9_000}}} 1... e5"),
    "stray-character": moves("1. e4\u00a0e5"),
    "too-many-moves": moves(too_many_moves()),
    "bad-image": {PICTURE: "A line of text.\n"},
}


def link_away(folder: Path) -> None:
    """Make the example lesson a link to a file beside the course."""
    elsewhere = folder.parent / "elsewhere.md"
    elsewhere.write_text(HEAD, encoding="utf-8")
    (folder / LESSON).unlink()
    (folder / LESSON).symlink_to(elsewhere)


def empty_lessons(folder: Path) -> None:
    """Take the only lesson away."""
    (folder / LESSON).unlink()


#: Examples that need more than files, by code.
DONE: Final[dict[str, Callable[[Path], None]]] = {
    "unreadable-file": link_away,
    "empty-course": empty_lessons,
}


@pytest.fixture(autouse=True)
def _withheld(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a name be withheld that stands in one example alone."""
    path = tmp_path_factory.mktemp("withheld") / "names.txt"
    path.write_text("Alderwick, Linnet\n", encoding="utf-8")
    monkeypatch.setenv("PLYBOOK_WITHHELD", str(path))


def found_in(course: Path, code: str) -> tuple[Diagnostic, ...]:
    """Return what `check` reports, or what is found in the finished pages."""
    return look(course) if CODES[code].room == "site" else check(course)


def test_every_code_has_a_page_and_every_page_a_code() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*")) == sorted(CODES)


@pytest.mark.parametrize("code", CODES)
def test_a_page_has_the_name_of_its_code_and_one_plain_sentence(code: str) -> None:
    page = read_page(code)
    assert page.code == code
    assert re.fullmatch(r"[^\n]+[^.:]\.", page.sentence)
    assert ". " not in page.sentence
    assert len(page.sentence) <= 110
    text = (FOLDER / f"{code}.md").read_text(encoding="utf-8")
    assert all(len(line) <= 100 for line in text.split("\n"))


#: Codes whose example would take minutes to run; tests/course/test_claims.py shows the code.
LONG: Final = frozenset({"claim-not-settled"})


@pytest.mark.parametrize("code", [code for code in CODES if code not in LONG])
def test_the_wrong_example_gives_its_code_once_at_its_place_and_nothing_else(
    code: str, tmp_path: Path
) -> None:
    page = read_page(code)
    assert bool(page.wrong) != (code in MADE or code in DONE)
    course = write(tmp_path / "course", page.wrong or MADE.get(code, {}))
    if code in DONE:
        DONE[code](course)
    found = found_in(course, code)
    assert [(fault.code, place(fault)) for fault in found] == [(code, page.place)]
    assert found[0].severity.value == CODES[code].severity


@pytest.mark.parametrize("code", CODES)
def test_the_right_example_is_clean(code: str, tmp_path: Path) -> None:
    assert found_in(write(tmp_path, read_page(code).right), code) == ()


@pytest.mark.parametrize("code", CODES)
def test_a_message_is_short_and_plain(code: str, tmp_path: Path) -> None:
    course = write(tmp_path / "course", read_page(code).wrong or MADE.get(code, {}))
    if code in DONE:
        DONE[code](course)
    for fault in found_in(course, code):
        assert len(fault.message) <= 72
        assert not fault.message.endswith(".")
        assert fault.notes or fault.help
