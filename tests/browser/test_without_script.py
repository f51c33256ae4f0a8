"""Without JavaScript everything can be read, and nothing pretends to work."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.reader import Reader, reading
from browser.told import ToldLesson

PROBE = Path(__file__).with_name("probe.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module", params=["press", "slate"])
def still(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path]
) -> Iterator[Reader]:
    """A reader whose browser runs no script of the page."""
    with reading(browser, sites[request.param], java_script_enabled=False) as reader:
        yield reader


def open_still(reader: Reader, slug: str) -> None:
    """Open a lesson; the probe is no script of the page and is brought in by the test."""
    reader.open(f"lessons/{slug}.html", whole=True)
    reader.page.evaluate(f"{PROBE}; 0")


def test_no_dead_control_is_seen(still: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    for slug in demo_told:
        open_still(still, slug)
        controls = "button, input, [role=slider], [aria-disabled]"
        seen = still.all(
            "(wanted) => [...document.querySelectorAll(wanted)].filter(probe.shown)"
            ".map((control) => control.outerHTML)",
            controls,
        )
        assert seen == []


def test_every_move_can_be_read(still: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    for slug, lesson in demo_told.items():
        open_still(still, slug)
        texts = still.all(
            "Object.fromEntries([...document.querySelectorAll('a.m[id]')].filter(probe.shown)"
            ".map((link) => [link.id, link.innerText]))"
        )
        moves = {key: place.san for key, place in lesson.places.items() if place.san}
        assert list(texts) == list(moves)
        for fragment, san in moves.items():
            assert san in re.sub(r"[!?]+$", "", texts[fragment]), fragment


def test_every_picture_is_drawn(still: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    for slug, lesson in demo_told.items():
        open_still(still, slug)
        sizes = still.all(
            "[...document.querySelectorAll('.dg svg.bd, .exb svg.bd, #plate svg.bd')]"
            ".map((svg) => Math.round(svg.getBoundingClientRect().width))"
        )
        blocks = lesson.text.count("```diagram ") + lesson.text.count("```exercise ")
        assert len(sizes) == blocks + 1
        assert min(sizes) >= 180


def test_answers_open_without_a_script(still: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    for slug, lesson in demo_told.items():
        open_still(still, slug)
        answers = still.page.locator(".ex details.sol")
        assert answers.count() == lesson.text.count("```exercise ") > 0
        text = answers.first.locator("p").first
        assert not text.is_visible()
        answers.first.locator("summary").click()
        assert text.is_visible()
        assert text.inner_text().strip()


def test_the_plate_shows_a_position_and_says_which(still: Reader) -> None:
    open_still(still, "centre-first")
    assert still.page.locator("#cap").inner_text().startswith("After ")
    assert still.page.locator("#turn").inner_text() in {"White to move", "Black to move"}
    shown = still.all("probe.placementOf(document.querySelector('#plate svg.bd'))")
    assert sorted(set(shown) & set("Kk")) == ["K", "k"]


def test_moves_lead_to_themselves(still: Reader) -> None:
    """A link in prose finds the move in its line: the browser scrolls there."""
    open_still(still, "centre-first")
    link = still.page.locator("article p > a.m:not([id])").first
    fragment = str(link.get_attribute("href"))
    link.click()
    assert still.page.url.endswith(fragment)
    assert still.page.locator(f'[id="{fragment[1:]}"]').is_visible()
