"""Papers on the site: those that course.yaml names, and no others."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from paper.trial import FILES, write_course
from plybook.desk.work import CHECK, Work, draw_pages, run
from plybook.site.inspection.validate import validate
from plybook.site.paper.chosen import choose


def worked(folder: Path, line: str) -> Work:
    write_course(folder)
    (folder / "course.yaml").write_text(FILES["course.yaml"] + line)
    return run(CHECK, Work(folder=folder))


def links(page: bytes) -> list[str]:
    soup = BeautifulSoup(page.decode(), "html.parser")
    return [str(a["href"]) for a in soup.select("a") if "paper/" in str(a["href"])]


def test_a_site_holds_no_paper_unless_asked_for(tmp_path: Path) -> None:
    files = draw_pages(worked(tmp_path, "")).files
    assert [path for path in files if "paper" in path] == []
    assert links(files["lessons/gates.html"]) == []


def test_a_site_holds_the_papers_that_are_named_and_links_to_them(tmp_path: Path) -> None:
    files = draw_pages(worked(tmp_path, "paper: [sheet, cards]\n")).files
    papers = sorted(path for path in files if path.startswith("paper/"))
    assert papers == [
        "paper/gates-cards.html",
        "paper/gates-sheet.html",
        "paper/ladders-sheet.html",
    ]
    assert links(files["lessons/gates.html"]) == [
        "../paper/gates-sheet.html",
        "../paper/gates-cards.html",
    ]
    assert links(files["lessons/ladders.html"]) == ["../paper/ladders-sheet.html"]
    assert links(files["lessons/words.html"]) == []


def test_papers_of_a_site_are_sound_and_share_one_style_sheet(tmp_path: Path) -> None:
    files = draw_pages(worked(tmp_path, "paper: [sheet, key, cards]\n")).files
    assert validate(files) == ()
    sheets = {
        str(link["href"])
        for path, content in files.items()
        if path.startswith("paper/")
        for link in BeautifulSoup(content.decode(), "html.parser").select("link")
    }
    (address,) = sheets
    assert address.removeprefix("../") in files


def test_a_paper_of_the_site_and_one_from_the_command_carry_the_same_code(tmp_path: Path) -> None:
    work = draw_pages(worked(tmp_path, "paper: [sheet]\n"))
    assert work.course is not None
    code = choose(work.course, "gates").code
    page = BeautifulSoup(work.files["paper/gates-sheet.html"].decode(), "html.parser")
    assert [found.get_text() for found in page.select(".run .code")] == [code]


@pytest.mark.parametrize("line", ["paper: [sheets]\n", "paper: [sheet, poster]\n"])
def test_a_paper_that_there_is_not_is_told_at_its_place(line: str, tmp_path: Path) -> None:
    (fault,) = worked(tmp_path, line).report.sorted()
    assert (fault.code, fault.span.file) == ("bad-value", "course.yaml")
    assert fault.span.line == FILES["course.yaml"].count("\n") + 1
    assert "names no such thing" in fault.message
