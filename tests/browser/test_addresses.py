"""Every position has an address: at load, by hand, with back and forward, after a reload."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.reader import Reader, reading
from browser.told import ToldLesson

LESSON = "lessons/special.html"
REST = 300  # milliseconds: longer than the script waits before it writes the address
DEMO_LESSONS = [
    "centre-first",
    "men-out",
    "castle-early",
    "once-each",
    "queen-waits",
    "open-the-centre",
    "count-first",
]


@pytest.fixture(scope="module")
def quick(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    """For some hundred loads: a theme without fonts of its own, in a window that paints little."""
    window = {"width": 300, "height": 200}
    with reading(browser, sites["slate"], viewport=window) as reader:
        yield reader


def ends_of(lesson: ToldLesson) -> list[str]:
    """Return fragments of a lesson to load: starts and ends of lines and of sidelines."""
    wanted = set()
    for line in lesson.lines:
        wanted.add(line.start.fragment)
        wanted.update(place.fragment for place in line.branches())
        wanted.update(place.fragment for place in line.places.values() if not place.children)
    return [fragment for fragment in lesson.places if fragment in wanted]


@pytest.mark.parametrize("slug", DEMO_LESSONS)
def test_a_fragment_of_the_demo_is_a_deep_link(
    quick: Reader, demo_told: Mapping[str, ToldLesson], slug: str
) -> None:
    lesson = demo_told[slug]
    for number, fragment in enumerate(ends_of(lesson)):
        # Another query makes it another page: with the same one only the fragment would change.
        page = f"{quick.address(f'lessons/{slug}.html')}?{number}#{fragment}"
        quick.page.goto(page, wait_until="domcontentloaded")
        assert quick.placement() == lesson.places[fragment].placement, fragment
    quick.is_calm()


@pytest.mark.parametrize("slug", DEMO_LESSONS)
def test_every_fragment_of_the_demo_may_be_typed(
    quick: Reader, demo_told: Mapping[str, ToldLesson], slug: str
) -> None:
    lesson = demo_told[slug]
    quick.open(f"lessons/{slug}.html")
    for fragment, place in lesson.places.items():
        seen = quick.all(
            """(fragment) => new Promise((done) => {
                const look = () => done(probe.placementOf(document.querySelector('#plate svg.bd')));
                if (location.hash === '#' + fragment) return look();
                addEventListener('hashchange', () => setTimeout(look), { once: true });
                location.hash = fragment;
            })""",
            fragment,
        )
        assert seen == place.placement, fragment
    quick.is_calm()


def test_fragments_may_arrive_encoded(trial: Reader, trial_told: Mapping[str, ToldLesson]) -> None:
    place = trial_told["special"].places["nested@2...d6~3.Bc4"]
    for written in ("nested%402...d6%7E3.Bc4", "nested@2...d6~3.Bc4", "nested%402%2E..d6~3.Bc4"):
        trial.page.goto("about:blank")
        trial.page.goto(f"{trial.address(LESSON)}#{written}")
        assert trial.plate().places == [place.fragment]


@pytest.mark.parametrize(
    "fragment",
    ["nowhere", "nested@9.Qh9", "nested@", "%E0%A4%A", "%", "l-nested", "constructor", "a'\"<b>"],
)
def test_an_unknown_fragment_harms_nothing(trial: Reader, fragment: str) -> None:
    trial.open(LESSON)
    first = trial.plate()
    trial.page.goto("about:blank")
    trial.page.goto(f"{trial.address(LESSON)}#{fragment}")
    assert trial.plate() == first
    trial.focus("nxt")
    trial.press("Enter")
    moved = trial.plate()
    assert moved.placement != first.placement
    trial.all("(fragment) => { location.hash = fragment; }", fragment + "x")
    trial.page.wait_for_timeout(50)
    assert trial.plate().places == moved.places


def test_back_and_forward_follow_addresses(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    lesson = trial_told["special"]
    trial.open(LESSON, "nested@2.Nf3")
    trial.page.goto(trial.address(LESSON, "castling@1.O-O"))
    assert trial.placement() == lesson.places["castling@1.O-O"].placement
    trial.page.go_back()
    assert trial.placement() == lesson.places["nested@2.Nf3"].placement
    trial.page.go_forward()
    assert trial.placement() == lesson.places["castling@1.O-O"].placement


def test_the_way_back_from_another_page_finds_the_place(trial: Reader) -> None:
    trial.open(LESSON, "nested@2.Nf3")
    trial.focus("nxt")
    trial.press("Enter", 2)
    trial.page.wait_for_timeout(REST)
    trial.page.locator("nav.site a", has_text="Lines").click()
    trial.page.wait_for_url("**/lines.html")
    trial.page.go_back()
    assert trial.plate().places == ["nested@3.d4"]


def test_a_reload_keeps_the_place(trial: Reader) -> None:
    trial.open(LESSON)
    trial.follow("castling@1.O-O-O~1...O-O")
    trial.page.wait_for_timeout(REST)
    trial.page.reload()
    assert trial.plate().places == ["castling@1.O-O-O~1...O-O"]


def test_steps_do_not_fill_the_history(trial: Reader) -> None:
    """One press of `back` leaves the lesson, however many moves were looked at."""
    trial.page.goto(trial.address("index.html"))
    trial.page.goto(trial.address(LESSON))
    before = trial.all("history.length")
    trial.focus("nxt")
    for _ in range(3):
        trial.press("Enter")
        trial.page.wait_for_timeout(REST)
    assert trial.all("history.length") == before


def test_the_address_follows_the_board(trial: Reader) -> None:
    trial.open(LESSON, "nested@1.e4")
    trial.focus("nxt")
    trial.press("Enter")
    trial.page.wait_for_timeout(REST)
    assert trial.page.url == trial.address(LESSON, "nested@1...e5")


def test_a_link_to_the_position_can_be_copied(browser: Browser, sites: Mapping[str, Path]) -> None:
    permissions = ["clipboard-read", "clipboard-write"]
    with reading(browser, sites["trial"], permissions=permissions) as reader:
        reader.open(LESSON, "nested@2.Nf3")
        reader.page.locator("#copy").click()
        reader.page.wait_for_function("document.getElementById('live').textContent === 'Copied'")
        copied = reader.all("navigator.clipboard.readText()")
        assert copied == reader.address(LESSON, "nested@2.Nf3")


def test_fragments_of_pages_without_a_board_are_left_alone(trial: Reader) -> None:
    trial.open("lessons/words.html", "h-nothing-to-step-through")
    assert trial.page.locator("h2").first.is_visible()
