"""No violation that axe-core finds, on each kind of page, in both themes, by day and by night."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from browser.kinds import DEMO_KINDS
from browser.reader import Reader, reading
from browser.tools import need_module

LIGHTS = ["light", "dark"]
THEMES = ["press", "slate"]


def violations(reader: Reader) -> list[tuple[str, list[Any]]]:
    """Return the rules that are broken and where. Contrast is among them: text >= 4.5 to 1."""
    from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]  # no types

    # Its own request for the style sheet would break the page's policy.
    found = Axe().run(reader.page, options={"preload": False}).response
    assert len(found["passes"]) > 15  # the rules did run
    return [
        (rule["id"], [node["target"] for node in rule["nodes"]]) for rule in found["violations"]
    ]


@pytest.fixture(autouse=True)
def _axe() -> None:
    need_module("axe_playwright_python", of="axe-playwright-python")


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("theme", THEMES)
def test_no_kind_of_page_breaks_a_rule(
    browser: Browser, sites: Mapping[str, Path], theme: str, light: str
) -> None:
    with reading(browser, sites[theme], color_scheme=light) as reader:
        for path in DEMO_KINDS.values():
            reader.open(path, whole=True)
            assert violations(reader) == [], path


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("theme", THEMES)
def test_the_plate_breaks_no_rule_in_a_sideline(
    browser: Browser, sites: Mapping[str, Path], theme: str, light: str
) -> None:
    site = sites["trial" if theme == "press" else "trial-slate"]
    with reading(browser, site, color_scheme=light) as reader:
        reader.open("lessons/special.html", "nested@2...d6", whole=True)
        for details in reader.page.locator("details").all():
            details.evaluate("(details) => { details.open = true; }")
        assert reader.plate().leave
        assert violations(reader) == []
        reader.open("lessons/special.html", "nested@2.Nf3", whole=True)
        assert reader.plate().choices
        assert violations(reader) == []


@pytest.mark.parametrize("theme", THEMES)
def test_a_phone_breaks_no_rule(browser: Browser, sites: Mapping[str, Path], theme: str) -> None:
    window = {"width": 390, "height": 844}
    with reading(browser, sites[theme], viewport=window) as reader:
        for kind in ("front", "lesson"):
            reader.open(DEMO_KINDS[kind], whole=True)
            assert violations(reader) == []


def test_a_fault_is_found(browser: Browser, sites: Mapping[str, Path]) -> None:
    """The judge is awake: pale text, and a picture without a name."""
    with reading(browser, sites["press"]) as reader:
        reader.open("sources.html", whole=True)
        reader.all(
            "() => { const p = document.createElement('p'); p.textContent = 'pale';"
            " p.style.color = '#ddd'; const image = document.createElement('img');"
            " document.querySelector('main').append(p, image); }"
        )
        assert {rule for rule, _ in violations(reader)} >= {"color-contrast", "image-alt"}
