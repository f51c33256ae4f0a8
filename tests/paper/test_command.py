"""The command `sheet`: which files it writes, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner, Result

from browser.tools import missing, need_module
from paper.trial import GATES, write_course
from plybook.desk.command import cli
from plybook.site.inspection.privacy import leaks
from plybook.text.people import People


def called(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, ["sheet", *map(str, words)], standalone_mode=False)


@pytest.fixture
def course(tmp_path: Path) -> Path:
    return write_course(tmp_path / "course")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_lesson_is_named_by_its_slug_or_by_its_file(course: Path, tmp_path: Path) -> None:
    for at, name in enumerate(("gates", "01-gates.md", "01-gates", "lessons/01-gates.md")):
        out = tmp_path / f"out{at}"
        told = called(name, "--course", course, "--out", out)
        assert told.return_value == 0
        assert names(out) == ["gates-key.html", "gates-sheet.html"]
        written = [row.partition(": written")[0] for row in told.stdout.splitlines()]
        assert written == [str(out / "gates-sheet.html"), str(out / "gates-key.html")]


def test_the_folder_of_the_course_may_stand_before_the_lessons(
    course: Path, tmp_path: Path
) -> None:
    assert called(course, "gates", "--out", tmp_path / "o", "--no-key").return_value == 0
    assert names(tmp_path / "o") == ["gates-sheet.html"]


def test_without_a_course_the_ways_to_name_it_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    told = called("gates")
    assert told.return_value == 2
    assert "`--course DIR`" in told.stderr


def test_without_a_lesson_all_are_taken_and_an_empty_one_is_named(course: Path) -> None:
    told = called("--course", course, "--no-key")
    assert told.return_value == 0
    assert names(course.parent / "paper") == ["gates-sheet.html", "ladders-sheet.html"]
    assert told.stderr == "words: no exercises, so no sheet\n"


def test_cards_are_written_on_request(course: Path, tmp_path: Path) -> None:
    assert called("gates", "ladders", "--course", course, "--out", tmp_path / "o", "--cards").stderr
    assert "gates-cards.html" in names(tmp_path / "o")
    assert "ladders-cards.html" not in names(tmp_path / "o")


def test_a_mixed_sheet_is_one_set_of_files(course: Path, tmp_path: Path) -> None:
    called("--course", course, "--out", tmp_path / "o", "--mixed", "--per-page", "8")
    assert names(tmp_path / "o") == ["mixed-key.html", "mixed-sheet.html"]
    sheet = BeautifulSoup((tmp_path / "o" / "mixed-sheet.html").read_text(), "html.parser")
    assert len(sheet.select(".it")) == 5


def test_the_same_course_gives_the_same_bytes(course: Path, tmp_path: Path) -> None:
    for out in ("a", "b"):
        called("--course", course, "--out", tmp_path / out, "--cards")
    for name in names(tmp_path / "a"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_an_unknown_lesson_is_told_with_the_nearest_one(course: Path) -> None:
    told = called("gate", "--course", course)
    assert told.return_value == 2
    assert told.stderr == "plybook: there is no lesson `gate`; did you mean `gates`?\n"


def test_a_course_with_a_fault_prints_nothing(tmp_path: Path) -> None:
    course = write_course(tmp_path / "course", gates=("4. Qxf7#\nwrong", "4. Qxf8#\nwrong"))
    told = called("gates", "--course", course, "--out", tmp_path / "o")
    assert told.return_value == 1
    assert "illegal-move" in told.stderr
    assert not (tmp_path / "o").exists()


@pytest.mark.parametrize(
    "own",
    [
        "my own notes",
        "my own notes on plybook",
        '<!doctype html>\n<html lang="en">\n<p>plybook makes sheets',
        '<html data-paper="trial"><meta name="generator" content="plybook 1">',
        "",
    ],
)
def test_a_file_that_is_not_ours_is_never_written_over(
    course: Path, tmp_path: Path, own: str
) -> None:
    out = tmp_path / "o"
    out.mkdir()
    (out / "gates-key.html").write_text(own)
    told = called("gates", "--course", course, "--out", out)
    assert told.return_value == 2
    assert "gates-key.html is no earlier file of this kind from plybook" in told.stderr
    assert names(out) == ["gates-key.html"]
    assert (out / "gates-key.html").read_text() == own


def test_a_sheet_of_another_course_is_never_written_over(course: Path, tmp_path: Path) -> None:
    out = tmp_path / "o"
    called("gates", "--course", course, "--out", out)
    before = (out / "gates-sheet.html").read_bytes()
    other = write_course(tmp_path / "other", course=("id: trial", "id: second"))
    assert called("gates", "--course", other, "--out", out).return_value == 2
    assert (out / "gates-sheet.html").read_bytes() == before


def test_a_page_of_the_course_is_no_sheet_of_it(course: Path, tmp_path: Path) -> None:
    out = tmp_path / "o"
    out.mkdir()
    page = (
        '<!doctype html>\n<html lang="en" data-course="trial">\n<head>\n'
        '<meta name="generator" content="plybook 1">'
    )
    (out / "gates-sheet.html").write_text(page)
    assert called("gates", "--course", course, "--out", out).return_value == 2
    assert (out / "gates-sheet.html").read_text() == page


def test_an_old_sheet_gives_way_to_the_new_one(course: Path, tmp_path: Path) -> None:
    out = tmp_path / "o"
    called("gates", "--course", course, "--out", out)
    before = (out / "gates-sheet.html").read_bytes()
    (course / "lessons" / "01-gates.md").write_text(GATES.replace("Bring a", "Please bring a"))
    assert called("gates", "--course", course, "--out", out).return_value == 0
    assert (out / "gates-sheet.html").read_bytes() != before


def test_an_old_pdf_gives_way_to_the_new_one(course: Path, tmp_path: Path) -> None:
    need_module("weasyprint", of="weasyprint")
    out = tmp_path / "o"
    first = called("gates", "--course", course, "--out", out, "--pdf", "--no-key")
    if "Pango" in first.stderr:
        missing(first.stderr)
    assert names(out) == ["gates-sheet.html", "gates-sheet.pdf"]
    before = (out / "gates-sheet.pdf").read_bytes()
    again = called("gates", "--course", course, "--out", out, "--pdf", "--no-key")
    assert again.return_value == 0
    assert again.stdout.count("as it was") == 2
    (course / "lessons" / "01-gates.md").write_text(GATES.replace("Bring a", "Please bring a"))
    changed = called("gates", "--course", course, "--out", out, "--pdf", "--no-key")
    assert changed.return_value == 0, changed.stderr
    assert (out / "gates-sheet.pdf").read_bytes() != before
    other = write_course(tmp_path / "other", course=("id: trial", "id: second"))
    for name in names(out):
        if name.endswith(".html"):
            (out / name).unlink()
    before = (out / "gates-sheet.pdf").read_bytes()
    told = called("gates", "--course", other, "--out", out, "--pdf", "--no-key")
    assert told.return_value == 2
    assert (out / "gates-sheet.pdf").read_bytes() == before


@pytest.mark.parametrize(
    ("planted", "code"),
    [
        ("Bring a knight out with Linnet.", "withheld-name"),
        ("Bring a knight out. Ask linnet@birchall.example.", "address-in-text"),
        ("Bring a knight out. Ring +44 20 7946 0958.", "phone-in-text"),
    ],
)
def test_what_is_held_back_is_not_printed(
    course: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, planted: str, code: str
) -> None:
    """The number is one of those kept free for fiction (Ofcom, numbers for drama use)."""
    (tmp_path / "names.txt").write_text("Birchall, Linnet\n")
    monkeypatch.setenv("PLYBOOK_WITHHELD", str(tmp_path / "names.txt"))
    lesson = course / "lessons" / "01-gates.md"
    assert called("gates", "--course", course, "--out", tmp_path / "free").return_value == 0
    lesson.write_text(GATES.replace("Bring a knight out.", planted))
    told = called("gates", "--course", course, "--out", tmp_path / "o")
    assert told.return_value == 1
    assert code in told.stderr
    assert "01-gates.md" in told.stderr
    assert not (tmp_path / "o").exists()


def test_letters_of_a_font_are_no_name() -> None:
    page = b"<html><style>@font-face{src:url(data:font/woff2;base64,AA/Eve+1)}</style><p>%s"
    people = People(["Eve"])
    assert leaks({"a.html": page % b"nobody"}, people) == ()
    assert [leak.text for leak in leaks({"a.html": page % b"Eve"}, people)] == ["Eve"]


def test_without_the_extra_html_alone_is_asked_for(
    course: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "weasyprint", None)
    told = called("gates", "--course", course, "--out", tmp_path / "o", "--pdf")
    assert told.return_value == 2
    assert told.stderr.count("\n") == 1
    assert not (tmp_path / "o").exists()
