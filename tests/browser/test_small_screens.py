"""On a phone: nothing sideways, nothing hidden by the board, touch, and targets for fingers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser

from browser.kinds import DEMO_KINDS, TRIAL_KINDS
from browser.reader import Reader, reading
from browser.told import ToldLesson

SCREENS: Final = {
    "phone": {"width": 390, "height": 844},
    "small": {"width": 320, "height": 568},
    "lying": {"width": 844, "height": 390},
}
TARGET: Final = 24  # CSS pixels, WCAG 2.2, 2.5.8


@pytest.fixture(scope="module", params=["press", "slate"])
def theme(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module", params=list(SCREENS))
def phone(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path], theme: str
) -> Iterator[Reader]:
    """A reader of the demo course with a finger for a pointer."""
    size = SCREENS[request.param]
    with reading(browser, sites[theme], viewport=size, has_touch=True, is_mobile=True) as reader:
        yield reader


@pytest.fixture(scope="module", params=list(SCREENS))
def trial_phone(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path]
) -> Iterator[Reader]:
    size = SCREENS[request.param]
    with reading(browser, sites["trial"], viewport=size, has_touch=True, is_mobile=True) as reader:
        yield reader


WIDE: Final = """() => {
    const wide = [...document.querySelectorAll('body *')].filter((element) => {
        const box = element.getBoundingClientRect();
        return box.width > 1 && box.right > innerWidth + 1 && !element.closest('.tw, svg')
            && getComputedStyle(element).position !== 'absolute';
    });
    return [document.documentElement.scrollWidth - document.documentElement.clientWidth,
            wide.map((element) => element.tagName + '.' + element.className)];
}"""


def test_no_page_scrolls_sideways(phone: Reader) -> None:
    """WCAG 2.2, 1.4.10: also 320 pixels wide."""
    for path in DEMO_KINDS.values():
        phone.open(path, whole=True)
        assert phone.all(WIDE) == [0, []], path


def test_no_hard_page_scrolls_sideways(trial_phone: Reader) -> None:
    for path in (*TRIAL_KINDS.values(), "lessons/heavy.html"):
        trial_phone.open(path, whole=True)
        assert trial_phone.all(WIDE) == [0, []], path


def hidden_stops(reader: Reader, *, key: str, limit: int) -> tuple[int, list[str]]:
    """Walk the page by a key; return the number of stops and those that cannot be seen."""
    hidden: list[str] = []
    stops = 0
    reader.all("document.activeElement.blur()")
    for _ in range(limit):
        reader.press(key)
        where = reader.all(
            "(() => { const at = document.activeElement; if (at === document.body) return null;"
            " return [probe.isSeen(at), at.id || at.textContent.trim().slice(0, 30)]; })()"
        )
        if where is None:
            break
        stops += 1
        if not where[0]:
            hidden.append(where[1])
    return stops, hidden


def test_the_focus_is_never_covered(trial_phone: Reader) -> None:
    """WCAG 2.2, 2.4.11: every stop of the keyboard, down the page and up again."""
    trial_phone.open("lessons/special.html", whole=True)
    controls = trial_phone.all(
        # Of the squares of an exercise one is a stop; what is folded away has a box and is none.
        "[...document.querySelectorAll('a[href], button, input, summary, [tabindex=\"0\"]')]"
        ".filter((one) => probe.shown(one) && one.checkVisibility()).length"
    )
    stops, hidden = hidden_stops(trial_phone, key="Tab", limit=controls + 5)
    assert hidden == []
    assert stops >= controls - 2  # the skip link is off the screen until it is reached
    _, hidden = hidden_stops(trial_phone, key="Shift+Tab", limit=controls + 5)
    assert hidden == []


def test_a_tap_on_a_move_puts_it_on_the_board(
    phone: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    phone.open("lessons/centre-first.html", whole=True)
    lesson = demo_told["centre-first"]
    for fragment in ("rolling@2.Nf3", "rolling@6...Bb4~7.Bd2", "trick@5...d5", "hit-back@3...c5"):
        phone.page.locator(f'[id="{fragment}"]').tap()
        assert phone.placement() == lesson.places[fragment].placement
        place = lesson.line_of(fragment).way_on(fragment)[1]
        phone.page.locator("#nxt").tap()
        assert phone.placement() == place.placement


def test_the_board_is_seen_after_a_tap(phone: Reader) -> None:
    """It stays at the top of the window, or comes back into it."""
    phone.open("lessons/centre-first.html", whole=True)
    phone.page.locator('[id="trick@5...d5"]').tap()
    top, bottom, height = phone.all(
        "(() => { const box = document.querySelector('#plate svg.bd').getBoundingClientRect();"
        " return [box.top, box.bottom, innerHeight]; })()"
    )
    assert bottom > 60
    assert top < height - 60


SMALL_TARGETS: Final = """(least) => {
    const wanted = 'a[href], button, input, summary, [role=slider]';
    const isInline = (element) => getComputedStyle(element).display === 'inline'
        && element.parentElement.closest('p, li, figcaption, td, dd, h1, h2, h3') !== null;
    return [...document.querySelectorAll(wanted)].filter(probe.shown)
        .filter((element) => !element.matches('.skip'))
        .filter((element) => !isInline(element))
        .map((element) => element.closest('label') || element)
        .map((element) => [element, element.getBoundingClientRect()])
        .filter(([, box]) => box.width < least || box.height < least)
        .map(([element, box]) => `${element.tagName} ${element.id || element.textContent.trim()}`
            + ` ${box.width.toFixed(1)} x ${box.height.toFixed(1)}`);
}"""


def test_targets_are_large_enough_for_a_finger(phone: Reader) -> None:
    """WCAG 2.2, 2.5.8; links within a sentence are exempt."""
    for path in DEMO_KINDS.values():
        phone.open(path, whole=True)
        assert phone.all(SMALL_TARGETS, TARGET) == [], path


def test_targets_in_a_sideline_are_large_enough(trial_phone: Reader) -> None:
    trial_phone.open("lessons/special.html", "nested@1...c5", whole=True)
    assert trial_phone.plate().leave
    assert trial_phone.all(SMALL_TARGETS, TARGET) == []
