"""Piece letters in display: the language's own or figurines; files and data keep the English."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

import pytest

from languages.german_course import FILES, course_in, course_of, site_of
from plybook.text.notation import PRINTED, letters_of
from small_course import one, soup_of

#: Pawn, knight, bishop, rook, queen, king. PGN standard (1994-03-12), section 17; Russian, whose
#: king has two letters and stands in no table there, from memory.
OF_LANGUAGES: Final = {
    "de": ("B", "S", "L", "T", "D", "K"),
    "en": ("P", "N", "B", "R", "Q", "K"),
    "es": ("P", "C", "A", "T", "D", "R"),
    "fr": ("P", "C", "F", "T", "D", "R"),
    "ru": ("п", "К", "С", "Л", "Ф", "Кр"),
}


@pytest.mark.parametrize("language", OF_LANGUAGES)
def test_a_language_has_the_letters_of_the_standard(language: str) -> None:
    letters = PRINTED[letters_of(language)]
    assert letters == OF_LANGUAGES[language]
    assert len({letter.casefold() for letter in letters[1:]}) == 5


def test_every_set_of_letters_tells_the_men_apart() -> None:
    for letters in PRINTED.values():
        assert len(letters) == 6
        assert len(set(letters)) == 6


@pytest.mark.parametrize(
    ("language", "knight", "queen"),
    [
        ("de", "2.\u202fSf3", "Dh4#"),
        ("es", "2.\u202fCf3", "Dh4#"),
        ("fr", "2.\u202fCf3", "Dh4#"),
        ("ru", "2.\u202fКf3", "Фh4#"),
        ("pl", "2.\u202fSf3", "Hh4#"),
        ("he", "2.\u202fNf3", "Qh4#"),
    ],
)
def test_a_page_shows_the_letters_of_its_language(
    tmp_path: Path, language: str, knight: str, queen: str
) -> None:
    page = soup_of(site_of(course_of(tmp_path, language)), "lessons/mitte.html")
    shown = [move.get_text() for move in page.select(".mv .m")]
    assert knight in shown
    assert queen in shown


def test_a_lesson_in_another_language_has_its_own_letters(tmp_path: Path) -> None:
    files = dict(FILES)
    path = "lessons/02-wieder.md"
    files[path] = files[path].replace("title: Noch einmal", "title: Encore\nlanguage: fr")
    site = site_of(course_in(tmp_path, files))
    page = soup_of(site, "lessons/wieder.html")
    assert one(page, "html")["lang"] == "fr"
    assert "2.\u202fCf3" in [move.get_text() for move in page.select(".mv .m")]
    assert "Leçons" in one(page, "nav.site").get_text()
    assert "Lektionen" in one(soup_of(site, "lessons/mitte.html"), "nav.site").get_text()


def test_figurines_are_letters_that_can_be_searched_and_read_aloud(tmp_path: Path) -> None:
    files = dict(FILES)
    files["course.yaml"] = files["course.yaml"].replace("letters: language", "letters: figurine")
    page = soup_of(site_of(course_in(tmp_path, files)), "lessons/mitte.html")
    shown = {move.get_text() for move in page.select(".mv .m")}
    assert {"2.\u202fNf3", "Qh4#"} <= shown
    said = json.loads(one(page, "#lesson-data").string or "")["lines"][0]["say"]
    assert said[2] == "Weißer Springer, g1 nach f3, greift den Bauern e5 an"


def test_what_programs_read_keeps_the_english_letters(tmp_path: Path) -> None:
    site = site_of(course_of(tmp_path, "ru"))
    pgn = site["lessons/mitte.pgn"].decode()
    assert "2. Nf3 Nc6" in pgn
    assert "Qh4#" in pgn
    page = soup_of(site, "lessons/mitte.html")
    assert page.find(id="haupt@2.Nf3") is not None


def test_moves_without_a_number_in_a_claim_have_the_letters_of_the_page(tmp_path: Path) -> None:
    files = dict(FILES)
    files["lessons/01-mitte.md"] += (
        "\n```claims haupt@4...Bc5\n5.Bxf7+ Kxf7 is illegal, guarded by g5\n```\n"
    )
    page = soup_of(site_of(course_in(tmp_path, files)), "lessons/mitte.html")
    told = [said.get_text() for said in page.select(".said")]
    assert "Nach 5.\u202fLxf7+: Kxf7 ist illegal, denn der Springer auf g5 deckt f7." in told
    files["course.yaml"] = files["course.yaml"].replace("language: de", "language: ru")
    page = soup_of(site_of(course_in(tmp_path, files)), "lessons/mitte.html")
    told = [said.get_text() for said in page.select(".said")]
    said = "После 5.\u202fСxf7+: Крxf7 — не по правилам: конь на g5 защищает f7."
    assert said in told


def test_names_are_not_translated(tmp_path: Path) -> None:
    page = soup_of(site_of(course_of(tmp_path, "ru")), "lessons/mitte.html")
    text = page.get_text(" ")
    for name in ("Hafenkurs", "Jugend Tidemark", "die Jugendabteilung", "Vereinsabend, 1901"):
        assert name in text
