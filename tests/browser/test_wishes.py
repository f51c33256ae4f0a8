"""What readers ask of their browser: dark, more contrast, less motion, colours of their own."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.kinds import DEMO_KINDS
from browser.reader import reading

WISHES = {
    "dark": {"color_scheme": "dark"},
    "contrast": {"contrast": "more"},
    "contrast-dark": {"contrast": "more", "color_scheme": "dark"},
    "forced": {"forced_colors": "active"},
    "forced-dark": {"forced_colors": "active", "color_scheme": "dark"},
    "motion": {"reduced_motion": "no-preference"},
}
COLOURS = """() => {
    const of = (wanted, key) => getComputedStyle(document.querySelector(wanted))[key];
    const number = (colour) => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
    return [number(of('body', 'backgroundColor')), number(of('main h1', 'color'))];
}"""


def luminance(colour: list[float]) -> float:
    """Return the relative luminance of an sRGB colour (WCAG 2.2, definitions)."""
    parts = [part / 255 for part in colour]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: list[float], other: list[float]) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("wish", list(WISHES))
@pytest.mark.parametrize("theme", ["press", "slate"])
def test_pages_grant_a_wish_without_a_complaint(
    browser: Browser, sites: Mapping[str, Path], theme: str, wish: str
) -> None:
    with reading(browser, sites[theme], **WISHES[wish]) as reader:
        for kind in ("front", "lesson", "principle"):
            path = DEMO_KINDS[kind]
            reader.open(path, whole=True)
            paper, ink = reader.all(COLOURS)
            assert contrast(paper, ink) >= 7, path
            if "color_scheme" in WISHES[wish] and "forced_colors" not in WISHES[wish]:
                assert luminance(paper) < 0.05
        assert reader.messages == []


@pytest.mark.parametrize(("wish", "seconds"), [("reduce", 0.0), ("no-preference", 0.17)])
def test_men_slide_only_where_motion_is_welcome(
    browser: Browser, sites: Mapping[str, Path], wish: str, seconds: float
) -> None:
    with reading(browser, sites["press"], reduced_motion=wish) as reader:
        reader.open("lessons/centre-first.html")
        reader.page.wait_for_selector("#plate svg.bd.live")
        time = reader.all(
            "getComputedStyle(document.querySelector('#plate .men use')).transitionDuration"
        )
        assert float(time.removesuffix("s")) == seconds


def test_a_slide_ends_on_its_square(browser: Browser, sites: Mapping[str, Path]) -> None:
    with reading(browser, sites["press"], reduced_motion="no-preference") as reader:
        reader.open("lessons/centre-first.html", "rolling@start")
        reader.page.wait_for_selector("#plate svg.bd.live")
        reader.focus("nxt")
        reader.press("Enter", 3)
        reader.page.wait_for_function("document.getAnimations().length === 0")
        moved = reader.placement()
        reader.open("lessons/centre-first.html", "rolling@2.Nf3")
        assert moved == reader.placement()


@pytest.mark.parametrize("theme", ["press", "slate"])
def test_the_lamp_changes_the_light_and_remembers(
    browser: Browser, sites: Mapping[str, Path], theme: str
) -> None:
    with reading(browser, sites[theme], color_scheme="light") as reader:
        reader.open("index.html")
        lamp = reader.page.locator("#lamp")
        assert lamp.get_attribute("aria-pressed") == "false"
        lamp.click()
        assert lamp.get_attribute("aria-pressed") == "true"
        assert luminance(reader.all(COLOURS)[0]) < 0.05
        reader.open("lessons/centre-first.html")
        assert reader.page.locator("#lamp").get_attribute("aria-pressed") == "true"
        assert luminance(reader.all(COLOURS)[0]) < 0.05


def test_forced_colours_keep_the_sides_apart(browser: Browser, sites: Mapping[str, Path]) -> None:
    """Men keep two colours of their own where everything else takes the reader's."""
    fill = (
        "(id) => [...document.querySelectorAll(`#${id} *`)]"
        ".map((part) => getComputedStyle(part).fill)"
    )
    with reading(browser, sites["press"], forced_colors="active") as reader:
        reader.open("lessons/centre-first.html")
        tokens = reader.all(
            "['--man-light', '--man-dark'].map((name) =>"
            " getComputedStyle(document.querySelector('#plate svg.bd')).getPropertyValue(name))"
        )
        assert tokens == ["white", "black"]
        assert reader.all(fill, "p-wq") != reader.all(fill, "p-bq")
