"""The room view on a projector: one board, one step, and nothing before it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, expect

from browser.reader import Reader, reading
from browser.test_axe import violations
from browser.told import ToldLesson
from browser.tools import need_module

PROJECTOR: Final = {"width": 1280, "height": 720}
PAGE: Final = "room/centre-first.html"
#: What is read from the last row: about a finger's breadth on the wall.
LEAST: Final = 28  # pixels

_SEEN: Final = """() => [...document.querySelectorAll('.step')]
    .map((step, at) => probe.shown(step) ? at : -1).filter((at) => at >= 0)"""
#: What cannot be read, as pairs of a step's first words and what is wrong with it.
_FAULTS: Final = """(least) => {
    const box = document.getElementById('steps');
    const steps = [...document.querySelectorAll('.step')];
    const board = document.querySelector('#board svg').getBoundingClientRect();
    const faults = board.width < 600 || board.bottom > innerHeight ? [['board', board.width]] : [];
    for (const step of steps) {
        steps.forEach((other) => (other.hidden = other !== step));
        const name = step.textContent.trim().slice(0, 40);
        if (box.scrollHeight > box.clientHeight + 1) faults.push([name, 'too high']);
        if (box.scrollWidth > box.clientWidth + 1) faults.push([name, 'too wide']);
        for (const text of step.querySelectorAll('p, li, td, th, .tx')) {
            const size = parseFloat(getComputedStyle(text).fontSize);
            if (size < least && !text.closest('.lg')) faults.push([name, size]);
        }
    }
    return faults;
}"""
_DRAWN: Final = "() => probe.placementOf(document.querySelector('#board svg.bd'))"


@pytest.fixture(scope="module")
def room(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    with reading(browser, sites["press"], viewport=PROJECTOR) as reader:
        yield reader
        reader.is_calm()


def at(reader: Reader) -> int:
    """Return the index of the one step that is seen."""
    (seen,) = reader.all(_SEEN)
    return int(seen)


def count(reader: Reader) -> int:
    return int(reader.all("document.querySelectorAll('.step').length"))


def test_one_step_is_seen_at_a_time(room: Reader) -> None:
    room.open(PAGE)
    for step in range(12):
        assert at(room) == step
        room.press("ArrowRight")


@pytest.mark.parametrize("onward", ["ArrowRight", " ", "PageDown"])
@pytest.mark.parametrize("back", ["ArrowLeft", "PageUp"])
def test_keys_go_on_and_back(room: Reader, onward: str, back: str) -> None:
    """The page keys are what a hand-held presenter sends."""
    room.open(PAGE)
    room.press(onward, times=3)
    assert at(room) == 3
    room.press(back)
    assert at(room) == 2
    room.press(back, times=5)
    assert at(room) == 0


def test_home_and_end_reach_the_ends(room: Reader) -> None:
    room.open(PAGE)
    room.press("End")
    assert at(room) == count(room) - 1
    room.press("ArrowRight")
    assert at(room) == count(room) - 1
    room.press("Home")
    assert at(room) == 0


def test_arrows_up_and_down_go_by_parts(room: Reader) -> None:
    room.open(PAGE)
    heading = room.page.locator(".step:not([hidden]) .huge")
    room.press("ArrowDown")
    first = heading.inner_text()
    room.press("ArrowDown")
    assert heading.inner_text() != first
    room.press("ArrowUp")
    assert heading.inner_text() == first


def test_a_heading_is_not_said_twice(room: Reader) -> None:
    room.open(PAGE)
    seen = {"title", "part", "text"}
    for _ in range(count(room)):
        step = room.page.locator(".step:not([hidden])")
        is_heading = step.locator(".huge").count() == 1
        assert (room.page.locator("#part").inner_text() == "") is is_heading
        seen.discard(str(step.get_attribute("data-kind")))
        if not seen:
            return
        room.press("ArrowRight")
    raise AssertionError(seen)


def moves_of(reader: Reader) -> list[tuple[int, int, bool]]:
    """Return step, depth and whether a sideline begins, of each step of the page."""
    found = reader.all(
        """[...document.querySelectorAll('.step')].map((step, at) =>
            [at, Number(step.dataset.depth || 0), 'begins' in step.dataset])"""
    )
    return [(at, depth, begins) for at, depth, begins in found]


def test_s_skips_the_sideline(room: Reader) -> None:
    """From any of its moves to what follows it; a sideline in it goes with it."""
    room.open("room/castle-early.html")
    moves = moves_of(room)
    room.press("s")
    assert at(room) == 0  # nothing to skip
    expect(room.page.locator("#skip")).to_have_attribute("aria-disabled", "true")
    deep = next(step for step, depth, _ in moves if depth == 2)
    for step, own, _ in moves[deep - 3 : deep + 2]:
        wanted = next(
            later
            for later, depth, begins in moves[step + 1 :]
            if depth < own or (depth == own and (begins or own == 0))
        )
        room.open("room/castle-early.html", str(step + 1))
        expect(room.page.locator("#skip")).to_have_attribute("aria-disabled", "false")
        room.press("s")
        assert at(room) == wanted, step


def test_the_coach_knows_of_a_sideline_before_it_comes(room: Reader) -> None:
    """And may leave out all that stand between two moves of the main line."""
    room.open("room/castle-early.html")
    first = next(step for step, _, begins in moves_of(room) if begins)
    room.open("room/castle-early.html", str(first))
    expect(room.page.locator("#ahead")).to_have_text("next: a sideline")
    room.press("S")
    following = next(step for step, depth, _ in moves_of(room)[first:] if depth == 0)
    assert at(room) == following


def test_every_move_of_a_line_shows_its_position(
    room: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    """Held against python-chess, in the order of the text."""
    room.open(PAGE)
    kinds = room.all("[...document.querySelectorAll('.step')].map((s) => s.dataset.kind)")
    shown = []
    for kind in kinds:
        if kind == "move":
            shown.append(room.all(_DRAWN))
        room.press("ArrowRight")
    assert shown == [
        place.placement
        for line in demo_told["centre-first"].lines
        for place in list(line.places.values())[1:]
    ]


def test_a_task_waits_for_its_answer(room: Reader) -> None:
    room.open(PAGE)
    task = int(
        room.all("[...document.querySelectorAll('.step')].findIndex((s) => s.matches('.task'))")
    )
    room.open(PAGE, str(task + 1))
    before = room.all(_DRAWN)
    step, ahead = room.page.locator(".step:not([hidden])"), room.page.locator("#ahead")
    expect(step).to_contain_text("One black piece has nowhere to go. Trap it.")
    expect(ahead).to_have_text("next: a hint")
    expect(step).not_to_contain_text("b4")
    room.press("ArrowRight", times=2)
    expect(ahead).to_have_text("next: the answer")
    assert room.all(_DRAWN) == before
    room.press("ArrowRight")
    expect(step).to_contain_text("9.\u202fb4")
    expect(ahead).to_have_text("")
    assert room.all(_DRAWN) != before


def test_t_turns_the_board(room: Reader) -> None:
    room.open(PAGE)
    before = room.all(_DRAWN)
    room.press("t")
    assert room.all("document.querySelector('#board svg').classList.contains('turned')") is True
    expect(room.page.locator("#turn")).to_have_attribute("aria-pressed", "true")
    assert room.all(_DRAWN) == before
    room.press("T")
    assert room.all("document.querySelector('#board svg').classList.contains('turned')") is False


def test_c_hides_the_coordinates(room: Reader) -> None:
    room.open(PAGE)
    seen = "getComputedStyle(document.querySelector('#board .cw')).visibility"
    for wanted in ("hidden", "visible"):
        room.press("c")
        assert room.all(seen) == wanted


def test_e_empties_the_board_until_the_next_step(room: Reader) -> None:
    room.open(PAGE)
    seen = "getComputedStyle(document.querySelector('#board .men')).visibility"
    room.press("e")
    assert room.all(seen) == "hidden"
    assert room.page.locator("#board svg").get_attribute("aria-label") == "Empty board"
    room.press("ArrowRight")
    assert room.all(seen) == "visible"


def test_every_key_is_a_button_too(room: Reader) -> None:
    room.open(PAGE)
    for ident, step in (("on", 1), ("on", 2), ("back", 1), ("last", count(room) - 1), ("first", 0)):
        room.focus(ident)
        room.press("Enter")
        assert at(room) == step
    room.focus("empty")
    room.press(" ")
    expect(room.page.locator("#empty")).to_have_attribute("aria-pressed", "true")
    assert at(room) == 0  # the space bar pressed the button and nothing else


def test_the_controls_show_when_the_hand_moves_or_the_focus_comes(room: Reader) -> None:
    room.open(PAGE)
    hand = room.page.locator("#hand")
    expect(hand).to_have_css("opacity", "1")  # the first step shows the keys
    room.press("ArrowRight")
    expect(hand).to_have_css("opacity", "0")
    room.focus("on")
    expect(hand).to_have_css("opacity", "1")
    room.open(PAGE, "3")
    expect(hand).to_have_css("opacity", "0")
    room.page.mouse.move(900, 300)
    room.page.mouse.move(910, 310)
    expect(hand).to_have_css("opacity", "1")


def test_the_address_keeps_the_step(room: Reader) -> None:
    room.open(PAGE)
    room.press("ArrowRight", times=4)
    address = room.page.url
    assert address.endswith("#5")
    room.page.reload()
    assert at(room) == 4


def test_the_room_can_read_it(room: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    """The board is 600 pixels and more, the text 28 and more, and no step is cut off."""
    for slug in demo_told:
        room.open(f"room/{slug}.html", whole=True)
        faults: Any = room.all(
            _FAULTS,
            LEAST,
        )
        assert faults == [], slug


def test_without_script_it_leads_to_the_lesson(browser: Browser, sites: Mapping[str, Path]) -> None:
    with reading(browser, sites["press"], java_script_enabled=False) as reader:
        reader.open(PAGE)
        expect(reader.page.locator("main")).to_contain_text("The room view needs JavaScript.")
        assert reader.page.locator(".step").first.is_hidden()
        expect(reader.page.get_by_role("button")).to_have_count(0)
        reader.page.get_by_role("link", name="go to the lesson").click()
        assert reader.page.url.endswith("lessons/centre-first.html")


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("theme", ["press", "slate"])
def test_no_step_breaks_a_rule(
    browser: Browser, sites: Mapping[str, Path], theme: str, light: str
) -> None:
    need_module("axe_playwright_python", of="axe-playwright-python")
    with reading(browser, sites[theme], viewport=PROJECTOR, color_scheme=light) as reader:
        reader.open(PAGE, whole=True)
        kinds = reader.all("[...document.querySelectorAll('.step')].map((s) => s.dataset.kind)")
        for kind in dict.fromkeys(kinds):
            reader.open(PAGE, str(kinds.index(kind) + 1), whole=True)
            reader.focus("on")
            expect(reader.page.locator("#hand")).to_have_css("opacity", "1")
            assert violations(reader) == [], kind
