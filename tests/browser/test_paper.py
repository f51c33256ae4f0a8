"""On A4 paper: every diagram whole, no sheet wasted, no control, no solution."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser

from browser.kinds import pages_of
from browser.reader import Reader, reading
from browser.told import ToldLesson
from browser.tools import need_module

SHEET: Final = (595, 842)  # A4 in points
#: Share of a sheet's height with something printed: below it the sheet holds five lines at most.
LEAST: Final = 0.08
BAND: Final = 14  # points: a line of text


@pytest.fixture(scope="module", params=["press", "slate", "trial"])
def paper(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path]
) -> Iterator[Reader]:
    with reading(browser, sites[request.param]) as reader:
        yield reader


def sheets(reader: Reader) -> list[Any]:
    """Return the printed sheets of the open page."""
    need_module("pypdfium2", of="pypdfium2")
    import pypdfium2  # type: ignore[import-untyped]  # it ships no types

    document = pypdfium2.PdfDocument(reader.page.pdf(format="A4", prefer_css_page_size=True))
    return list(document)


def printed_share(sheet: Any) -> float:  # pypdfium2 is optional
    """Return the share of lines of a sheet that hold any ink."""
    picture = sheet.render(scale=0.5, grayscale=True)
    rows = bytes(picture.buffer)
    height, step = picture.height, BAND // 2
    bands = [
        min(
            min(rows[y * picture.stride : y * picture.stride + picture.width])
            for y in range(top, min(top + step, height))
        )
        for top in range(0, height, step)
    ]
    return sum(darkest < 160 for darkest in bands) / len(bands)


def test_no_sheet_is_nearly_empty(paper: Reader) -> None:
    thin = {}
    for path in pages_of(paper.site):
        paper.open(path, whole=True)
        for number, sheet in enumerate(sheets(paper), 1):
            assert tuple(round(side) for side in sheet.get_size()) == SHEET
            share = printed_share(sheet)
            # The views for a projector and the keys are for the coach, however short they end;
            # a search is nothing on paper.
            if share < LEAST and not path.startswith(("room/", "paper/", "search.html")):
                thin[f"{path}, sheet {number}"] = round(share, 2)
    assert thin == {}


DRAWN: Final = """() => [...document.querySelectorAll('main svg.bd')]
    .filter((svg) => !svg.closest('#plate, details')).map((svg) => {
        const box = svg.getBoundingClientRect();
        let kept = false;
        for (let around = svg; around; around = around.parentElement) {
            kept ||= getComputedStyle(around).breakInside === 'avoid';
        }
        return [probe.shown(svg) && box.width > 70, box.width <= innerWidth, kept,
                svg.getAttribute('aria-label')];
    })"""


GONE: Final = [
    "#plate",
    ".nav",
    "#prv",
    "#nxt",
    ".sl",
    ".tools",
    ".lamp",
    "header nav",
    ".skip",
    ".ex details",
    ".cards details",
    ".ft",
]
SEEN: Final = """(wanted) => wanted.filter(
    (one) => [...document.querySelectorAll(one)].some(probe.shown))"""


@pytest.fixture(scope="module")
def laid(paper: Reader) -> Mapping[str, tuple[list[list[Any]], list[str]]]:
    """By page, as the tree is laid out for print: its pictures, and what should be gone."""
    paper.page.emulate_media(media="print")
    found = {}
    for path in pages_of(paper.site):
        paper.open(path)
        found[path] = (paper.all(DRAWN), paper.all(SEEN, GONE))
    paper.page.emulate_media(media="null")
    return found


def test_every_diagram_is_printed_and_kept_whole(
    laid: Mapping[str, tuple[list[list[Any]], list[str]]],
) -> None:
    """A picture is never torn between two sheets, nor wider than one."""
    count = 0
    for path, (pictures, _) in laid.items():
        for is_drawn, is_inside, kept, label in pictures:
            assert (is_drawn, is_inside, kept) == (True, True, True), (path, label)
            count += 1
    assert count >= 5


def test_controls_and_solutions_stay_off_the_paper(
    laid: Mapping[str, tuple[list[list[Any]], list[str]]],
) -> None:
    assert {path: seen for path, (_, seen) in laid.items() if seen} == {}


def test_captions_of_diagrams_are_on_paper(
    browser: Browser, sites: Mapping[str, Path], demo_told: Mapping[str, ToldLesson]
) -> None:
    with reading(browser, sites["press"]) as reader:
        for slug in demo_told:
            reader.open(f"lessons/{slug}.html", whole=True)
            captions = reader.page.locator(".dg figcaption").all_inner_texts()
            text = " ".join(sheet.get_textpage().get_text_range() for sheet in sheets(reader))
            printed = unspaced(text)
            for caption in captions:
                assert unspaced(caption) in printed, (slug, caption)


def unspaced(text: str) -> str:
    """Return text without spaces and hyphens, which a printed line adds and loses."""
    return re.sub(r"[\s\u00ad\u2010\ufffe-]", "", text)


def test_an_opened_solution_is_not_printed(browser: Browser, sites: Mapping[str, Path]) -> None:
    """Also where the reader has just looked at the answers."""
    with reading(browser, sites["trial"]) as reader:
        reader.open("lessons/special.html", whole=True)
        for details in reader.page.locator("details").all():
            details.evaluate("(details) => { details.open = true; }")
        text = " ".join(sheet.get_textpage().get_text_range() for sheet in sheets(reader))
        assert "Black to move and mate." in text
        assert "The king has a draughty corner" not in text
        assert "A pawn is slow" not in text


def test_the_current_move_is_not_marked_on_paper(paper: Reader) -> None:
    paper.page.emulate_media(media="print")
    paper.open("lessons/special.html" if "trial" in paper.site.name else "lessons/men-out.html")
    paper.focus(paper.page.locator(".mv > a.m[id]").nth(0).get_attribute("id") or "")
    paper.press("Enter")
    looks = paper.all(
        "[...document.querySelectorAll('.mv > a.m')].slice(0, 2).map((link) => {"
        " const look = getComputedStyle(link);"
        " return [look.color, look.backgroundColor, look.borderBottomWidth, look.boxShadow]; })"
    )
    paper.page.emulate_media(media="null")
    assert looks[0] == looks[1]
