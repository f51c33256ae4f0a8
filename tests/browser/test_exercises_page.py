"""An exercise for every reader: without a script, on paper, small, by rules of accessibility."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser.exercise_course import PAGE, POSITIONS
from browser.reader import Reader, reading
from browser.test_axe import violations
from browser.tools import need_module
from browser.tries import Trying

BY_MOVES = [name for name in POSITIONS if name not in ("pinned", "counted")]


# ---------------------------------------------------------------------- rules


@pytest.mark.parametrize("light", ["light", "dark"])
def test_no_state_of_an_exercise_breaks_a_rule(
    browser: Browser, tries_site: Path, light: str
) -> None:
    need_module("axe_playwright_python", of="axe-playwright-python")
    with reading(browser, tries_site, color_scheme=light) as reader:
        here = Trying(reader, "corridor")
        assert violations(reader) == []
        here.section.locator(".xtype summary").click()
        here.section.locator(".hint summary").first.click()
        here.press("a1")
        assert violations(reader) == []
        here.press("d1")
        assert violations(reader) == []
        here.press("a1", "a8")
        here.section.locator(".sol summary").click()
        promotion = Trying(reader, "arrival", is_fresh=False)
        promotion.press("f7", "f8")
        assert violations(reader) == []


def test_the_board_is_a_grid_of_named_squares(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    grid = here.section.get_by_role("grid")
    assert grid.get_by_role("row").count() == 8
    cells = grid.get_by_role("gridcell")
    names = [str(cell.get_attribute("aria-label")) for cell in cells.all()]
    assert len(names) == 64
    assert names[0] == "a8"
    assert {"a1, white rook", "d4, black bishop", "e4"} <= set(names)
    assert here.section.get_by_role("img").count() == 0  # the grid speaks for the drawing
    assert here.section.get_by_role("status").count() == 1


def test_every_board_is_one_stop_of_the_tab_key(tries: Reader) -> None:
    tries.open(PAGE)
    for name in BY_MOVES:
        stops = tries.page.locator(f'#x-{name} .sq[tabindex="0"]')
        assert stops.count() == 1, name


def test_a_journey_by_the_keys_alone(tries: Reader) -> None:
    """From the board on: a wrong try, back, the right move typed, the answer read."""
    here = Trying(tries, "corridor")
    here.section.evaluate("(section) => section.querySelector('.sq[tabindex=\"0\"]').focus()")
    tries.press("Enter")
    tries.press("ArrowRight", 3)
    tries.press("Enter")
    assert here.told.startswith("The bishop just steps away")
    tries.press("Tab")
    assert here.focus == "Take it back"
    tries.press("Enter")
    assert here.focus == "d1"
    tries.press("Tab", 3)
    assert here.focus == "Type the move"
    tries.press("Enter")
    tries.press("Tab")
    tries.page.keyboard.type("Ra8")
    tries.press("Enter")
    assert here.told == "Right. Solved."


def test_the_focus_is_seen_on_a_phone(browser: Browser, tries_site: Path) -> None:
    """The plate stays at the top of a phone; no square with the focus may lie under it."""
    with reading(browser, tries_site, viewport={"width": 390, "height": 844}) as reader:
        here = Trying(reader, "ladder")
        here.section.evaluate("(section) => section.querySelector('.sq[tabindex=\"0\"]').focus()")
        for key in ["ArrowUp"] * 7 + ["End"] + ["ArrowDown"] * 7:
            reader.press(key)
            assert reader.all("probe.isSeen(document.activeElement)"), here.focus


# ---------------------------------------------------------------------- sizes


@pytest.mark.parametrize("width", [320, 390, 800, 1280])
def test_squares_are_large_enough_and_lie_on_the_board(
    browser: Browser, tries_site: Path, width: int
) -> None:
    """At least 24 px (WCAG 2.2, 2.5.8), and the page does not scroll sideways."""
    with reading(browser, tries_site, viewport={"width": width, "height": 800}) as reader:
        reader.open(PAGE, whole=True)
        sizes = reader.all(
            "[...document.querySelectorAll('.xg')].map((grid) => {"
            " const box = grid.querySelector('.sq').getBoundingClientRect();"
            " const svg = grid.parentElement.querySelector('svg.bd');"
            " const ground = svg.querySelector('use[href=\"#p-bg\"]').getBoundingClientRect();"
            " const all = grid.getBoundingClientRect();"
            " const off = Math.hypot(ground.x + ground.width / 2 - all.x - all.width / 2,"
            "   ground.y + ground.height / 2 - all.y - all.height / 2);"
            " return [Math.min(box.width, box.height), off]; })"
        )
        assert len(sizes) == len(BY_MOVES)
        assert min(side for side, _ in sizes) >= 24
        assert max(off for _, off in sizes) < 1
        assert reader.all("document.documentElement.scrollWidth") <= width


def test_a_tap_meets_a_target_of_its_size(browser: Browser, tries_site: Path) -> None:
    with reading(browser, tries_site, viewport={"width": 320, "height": 568}) as reader:
        here = Trying(reader, "arrival")
        here.press("f7", "f8")
        heights = reader.all(
            "[...document.querySelectorAll('.xc :is(button, summary, input)')]"
            ".filter(probe.shown).map((one) => one.getBoundingClientRect().height)"
        )
        assert len(heights) > 10
        assert min(heights) >= 24


# ---------------------------------------------------------------------- without a script, on paper


@pytest.fixture
def still(browser: Browser, tries_site: Path) -> Iterator[Page]:
    with reading(browser, tries_site, java_script_enabled=False) as reader:
        reader.open(PAGE, whole=True)
        yield reader.page


def test_without_a_script_an_exercise_is_read(still: Page) -> None:
    section = still.locator("#x-corridor")
    for part in ("svg.bd", ".task", ".turn", ".hint summary", ".sol summary"):
        assert section.locator(part).first.is_visible(), part
    assert section.locator("button:visible, input:visible, output:visible").count() == 0
    answer = section.locator(".sol p").first
    assert not answer.is_visible()
    section.locator(".sol summary").click()
    assert answer.is_visible()


@pytest.mark.parametrize("has_script", [True, False])
def test_paper_shows_the_task_and_not_its_answer(
    browser: Browser, tries_site: Path, has_script: bool
) -> None:
    with reading(browser, tries_site, java_script_enabled=has_script) as reader:
        reader.open(PAGE, whole=True)
        if has_script:
            Trying(reader, "corridor").press("a1", "a8")
        reader.page.emulate_media(media="print")
        section = reader.page.locator("#x-corridor")
        for part in ("svg.bd", ".task", ".turn", ".write"):
            assert section.locator(part).first.is_visible(), part
        for part in (".sol", ".hint", ".xc", ".xs", ".xg"):
            assert section.locator(f"{part}:visible").count() == 0, part
