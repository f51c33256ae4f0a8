"""Pages in other languages fit a phone; boards and moves run from left to right in each."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from languages.german_course import FILES as GERMAN
from languages.german_course import course_in, course_of, site_of
from languages.hebrew_course import FILES as HEBREW

_LAYOUT = """() => {
  const left = (node) => node.getBoundingClientRect().left;
  return {
    way: getComputedStyle(document.body).direction,
    corners: ["0", "7"].map((at) => left(document.querySelector(`#plate [data-s="${at}"]`))),
    moves: [...document.querySelector(".mv").querySelectorAll(".m")].slice(0, 3).map(left),
    buttons: ["prv", "nxt"].map((name) => left(document.getElementById(name))),
  };
}"""


def put(site: dict[str, bytes], folder: Path) -> None:
    for path, content in site.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)


@pytest.mark.parametrize(
    ("files", "way"), [(GERMAN, "ltr"), (HEBREW, "rtl")], ids=["german", "hebrew"]
)
def test_a_phone_shows_all_with_the_board_from_left_to_right(
    browser: Browser, tmp_path: Path, files: dict[str, str], way: str
) -> None:
    site = site_of(course_in(tmp_path / "course", files))
    put(site, tmp_path / "site")
    (first, *_) = (path for path in site if path.startswith("lessons/") and path.endswith("html"))
    page = browser.new_page(viewport={"width": 390, "height": 844})
    for path in (first, "index.html", "lines.html", "principles/index.html"):
        page.goto((tmp_path / "site" / path).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") == 390, path
    page.goto((tmp_path / "site" / first).as_uri())
    seen: dict[str, Any] = page.evaluate(_LAYOUT)
    page.close()
    assert seen.pop("way") == way
    for places in seen.values():  # the rooks on a1 and h1, the first moves, back and on
        assert places == sorted(set(places))


def test_an_answer_may_be_typed_in_the_letters_of_the_page(
    browser: Browser, tmp_path: Path
) -> None:
    """The Russian king has two letters, and the first of them is the knight's."""
    site = site_of(course_of(tmp_path / "course", "ru"))
    put(site, tmp_path / "site")
    page = browser.new_page()
    page.goto((tmp_path / "site" / "lessons" / "mitte.html").as_uri())
    field = page.locator(".ex input[type=text]").first
    page.locator(".ex details:has(input[type=text])").first.evaluate("one => one.open = true")
    kept = {}
    for text in ("Кd7", "Крe7"):
        field.fill(text)
        field.press("Enter")
        kept[text] = field.input_value()
    page.close()
    assert kept == {"Кd7": "Кd7", "Крe7": ""}  # no knight goes to d7; the king goes to e7
