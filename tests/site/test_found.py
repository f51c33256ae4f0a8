"""The data of the search are there once, can be read, and lead to places that are there."""

from __future__ import annotations

import json
from typing import Any

import pytest

from plybook.site.inspection.found import search_faults
from plybook.site.inspection.strict_html import read_page

DATA = "assets/search-data-0123456789.js"
PAGES = {
    "search.html": f'<script src="assets/board.js"></script><script src="{DATA}" defer></script>',
    "lessons/forks.html": '<h2 id="h-rule">Rule</h2>',
}


def sound() -> dict[str, Any]:
    return {
        "pages": [["lessons/forks.html", "Forks"]],
        "records": [[0, "", "", "Words"], [0, "h-rule", "Rule", "More words"]],
        "lines": [[0, "main", "Main", 0, "", ""]],
        "letters": "",
    }


def script(data: object) -> bytes:
    """Return the script as the search page loads it: JSON in a string of JSON."""
    text = json.dumps(json.dumps(data))
    return f"window.plybook.searchData = JSON.parse({text});\n".encode()


def found(**files: bytes) -> list[tuple[str, str]]:
    """Return the faults of a site with these files; `data` is the script of the search data."""
    named = {DATA if name == "data" else f"assets/{name}.js": text for name, text in files.items()}
    return faults_of({**{path: text.encode() for path, text in PAGES.items()}, **named})


def faults_of(files: dict[str, bytes]) -> list[tuple[str, str]]:
    pages = {path: read_page(text) for path, text in files.items() if path.endswith(".html")}
    return list(search_faults(files, pages))


def test_sound_search_data_have_no_fault() -> None:
    assert found(data=script(sound()), board=b"window.plybook = {};\n") == []


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (("pages", 0, 0), "lessons/gone.html", "leads to `lessons/gone.html`"),
        (("records", 1, 1), "h-gone", "leads to `lessons/forks.html#h-gone`"),
        (("records", 0, 0), 1, "names the page 1"),
        (("records", 0, 0), -1, "names the page -1"),
        (("lines", 0, 0), -1, "`main` names the page -1"),
    ],
)
def test_a_record_that_leads_nowhere_is_told(
    place: tuple[Any, ...], value: object, words: str
) -> None:
    data = sound()
    *way, last = place
    inner: Any = data
    for step in way:
        inner = inner[step]
    inner[last] = value
    told = found(data=script(data))
    assert len(told) == 1
    assert told[0][0] == DATA
    assert words in told[0][1]


@pytest.mark.parametrize(
    "broken",
    [
        script([]),
        script({}),
        script({**sound(), "records": [[0]]}),
        script({**sound(), "records": [["0", "", "", ""]]}),
        script({**sound(), "pages": None}),
        b"window.plybook.searchData = JSON.parse(1);",
        b"window.plybook.searchData = JSON.parse(",
        script(sound())[:-9],
    ],
)
def test_broken_search_data_are_a_fault_and_no_exception(broken: bytes) -> None:
    told = found(data=broken)
    assert [path for path, _ in told] == [DATA]
    assert "cannot be read" in told[0][1]


def test_a_search_page_without_data_that_can_be_known_is_a_fault() -> None:
    changed = script(sound()).replace(b"window.plybook.searchData", b"window.plybook.found")
    none = [("search.html", "there are 0 scripts of search data, not 1")]
    assert found(data=changed) == none
    assert found() == none


def test_search_data_that_stand_twice_or_are_not_loaded_are_a_fault() -> None:
    told = found(data=script(sound()), other=script(sound()))
    assert told == [
        ("search.html", "there are 2 scripts of search data, not 1"),
        ("search.html", "it does not load its data, `assets/other.js`"),
    ]


def test_search_data_without_a_search_page_are_a_fault() -> None:
    files = {"lessons/forks.html": PAGES["lessons/forks.html"].encode(), DATA: script(sound())}
    assert faults_of(files) == [("search.html", "there are 1 scripts of search data, not 0")]
    assert faults_of({"lessons/forks.html": b"<p>Words"}) == []
