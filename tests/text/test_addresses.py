"""Where an address inside the course leads: divided first, its percent signs read afterwards."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnostics.folder import BASE, LESSON, PICTURE, body, check, write
from plybook.desk.work import CHECK, Work, draw_pages, run
from plybook.site.inspection.validate import validate
from plybook.text.addresses import Target, target_of


@pytest.mark.parametrize(
    ("address", "path", "heading"),
    [
        ("../images/board%231.png", "images/board#1.png", ""),
        ("02-b.md#h-one", "lessons/02-b.md", "h-one"),
        ("02-b.md#x%23y", "lessons/02-b.md", "x#y"),
        ("#h-one", LESSON, "h-one"),
        ("a%20b.md#", "lessons/a b.md", ""),
        ("50%25.md", "lessons/50%.md", ""),
        ("./../principles/centre.md", "principles/centre.md", ""),
    ],
)
def test_an_address_is_divided_before_its_percent_signs_are_read(
    address: str, path: str, heading: str
) -> None:
    assert target_of(address, file=LESSON) == Target(path, heading)


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("board#1.png", "../images/board%231.png"),
        ("my photo.png", "<../images/my photo.png>"),
        ("50%.png", "../images/50%25.png"),
        ("50%25.png", "../images/50%2525.png"),
        ("Königin.png", "../images/Königin.png"),
        ("q&'a.png", "../images/q&'a.png"),
    ],
)
def test_a_picture_of_any_name_is_built_into_a_fair_page(
    tmp_path: Path, name: str, written: str
) -> None:
    course = write(
        tmp_path,
        {f"images/{name}": BASE[PICTURE], **body(f"![A board]({written})\n")},
    )
    work = run(CHECK, Work(folder=course))
    assert work.report.sorted() == ()
    files = draw_pages(work).files
    assert validate(files) == ()
    (page,) = (path for path in files if path.endswith("example.html"))
    assert b"<img" in files[page]


def test_an_https_address_with_a_name_before_the_host_is_no_reference(tmp_path: Path) -> None:
    assert check(write(tmp_path, body("[a](HTTPS://coach@club.example)\n"))) == ()
