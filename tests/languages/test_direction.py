"""Text runs as its language is written; the site's own words say which language they are in."""

from __future__ import annotations

from pathlib import Path

import pytest

from languages.german_course import course_in, course_of, site_of
from languages.hebrew_course import FILES as HEBREW
from plybook.site.inspection.validate import validate
from plybook.site.wording.languages import is_right_to_left
from small_course import one, pages, soup_of


def test_languages_of_arabic_and_hebrew_script_run_from_right_to_left() -> None:
    # Unicode CLDR, characterOrder of each language
    assert all(map(is_right_to_left, ("ar", "ar-EG", "fa", "he", "ur", "yi")))
    assert not any(map(is_right_to_left, ("de", "en", "ru", "tr", "hr", "zh")))


def test_a_page_written_from_right_to_left_says_so(tmp_path: Path) -> None:
    site = site_of(course_in(tmp_path, HEBREW))
    for path in pages(site):
        html = one(soup_of(site, path), "html")
        assert (html["lang"], html["dir"]) == ("he", "rtl"), path
    assert not validate(site)


@pytest.mark.parametrize("language", ["he", "pl"])
def test_words_that_are_not_translated_are_marked_as_english(tmp_path: Path, language: str) -> None:
    site = site_of(course_of(tmp_path, language))
    lesson = soup_of(site, "lessons/mitte.html")
    for selector in ("nav.site", "#plate", "#live", ".skip", "#lamp"):
        found = one(lesson, selector)
        assert (found["lang"], found["dir"]) == ("en", "ltr"), selector
    assert one(lesson, "#line-now")["lang"] == language
    assert one(soup_of(site, "my-work.html"), "main")["lang"] == "en"


@pytest.mark.parametrize("language", ["de-AT", "en-GB", "ru"])
def test_a_page_whose_words_are_in_its_language_marks_nothing(
    tmp_path: Path, language: str
) -> None:
    site = site_of(course_of(tmp_path, language))
    for path in pages(site):
        soup = soup_of(site, path)
        assert one(soup, "html")["lang"] == language
        assert not soup.select("[dir], body [lang]"), path
