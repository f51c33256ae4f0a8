"""No word of the site's own is left in English on a page of another language."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from bs4 import BeautifulSoup

from languages.german_course import course_of, site_of
from plybook.site.wording.catalogue import catalogue

LANGUAGES: Final = ("de", "es", "fr", "ru")
_READ: Final = ("aria-label", "alt", "title", "placeholder", "aria-valuetext", "aria-description")
#: Filled in with what may be anything: `%(count)s` in templates, `{count}` in code.
_SLOT: Final = re.compile(r"%\(\w+\)s|\{\w+\}")


def english_of(language: str) -> dict[str, re.Pattern[str]]:
    """Return the English messages that read differently in a language, as patterns."""
    known: Any = catalogue(language)
    found = {}
    for key, translation in known._catalog.items():
        message = key[0] if isinstance(key, tuple) else key
        message = message.split("\x04")[-1]
        fixed = _SLOT.sub("", message)
        if message and message != translation and re.search(r"[A-Za-z]{2}", fixed):
            pattern = ".+?".join(map(re.escape, _SLOT.split(message)))
            found[message] = re.compile(rf"(?s){pattern}[.:]?")
    return found


def spoken_on(page: BeautifulSoup) -> Iterator[str]:
    """Yield every text a reader of a page meets, but names of keys."""
    for said in page.select("kbd"):
        said.decompose()
    for script in page.select("script[type='application/json']"):
        yield from strings(json.loads(script.string or "null"))
        script.decompose()
    yield from page.stripped_strings
    for element in page.find_all(True):
        for name in _READ:
            if name in element.attrs:
                yield str(element[name])


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from strings(one)
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_page_says_nothing_of_its_own_in_english(tmp_path: Path, language: str) -> None:
    site = site_of(course_of(tmp_path, language))
    english = english_of(language)
    known: Any = catalogue(language)
    shared = set(known._catalog.values())  # "Sources" is French too, and "mate" Spanish
    left = {}
    for path in sorted(site):
        if path.endswith(".html"):
            for text in spoken_on(BeautifulSoup(site[path].decode(), "html.parser")):
                plain = " ".join(text.split())
                for message, pattern in english.items():
                    if plain not in shared and pattern.fullmatch(plain):
                        left[path, plain] = message
    assert left == {}


def test_the_search_for_english_finds_it(tmp_path: Path) -> None:
    """A page in English holds words that the search would find on a German one."""
    site = site_of(course_of(tmp_path, "en"))
    english = english_of("de")
    page = BeautifulSoup(site["lessons/mitte.html"].decode(), "html.parser")
    found = {
        message
        for text in spoken_on(page)
        for message, pattern in english.items()
        if pattern.fullmatch(" ".join(text.split()))
    }
    wanted = {
        "Turn the board",
        "Lesson %(number)s of %(total)s",
        "White to move",
        "{man}, {origin} to {target}",
        "the {square} pawn",
        "hanging",
        "to depth {depth}",
    }
    assert len(found) > 60
    assert wanted - found == {"the {square} pawn", "to depth {depth}"}  # within sentences; not here
