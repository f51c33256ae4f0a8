"""Names, addresses and telephone numbers in text. All people here are invented."""

from __future__ import annotations

import pytest

from plybook.text.contacts import contacts_in
from plybook.text.people import People, folded, is_placeholder, name_key

NAME = "Ångström-Vale, Éloïse Marie"


def found(people: People, text: str) -> list[str]:
    return [text[one.start : one.end] for one in people.find(text)]


@pytest.mark.parametrize(
    "text",
    [
        "Ångström-Vale, Éloïse Marie",
        "Éloïse Marie Ångström-Vale",
        "ELOISE",
        "angstrom",
        "(eloïse)",
        "Vale's knight",
        "photo_eloise.png",
        "lessons/eloise-vale.html",
        "E\u0301loi\u0308se",
        "Marie, ",
    ],
)
def test_a_name_is_found_whole_and_in_parts_whatever_its_case_and_accents(text: str) -> None:
    assert People([NAME]).are_in(text)


@pytest.mark.parametrize("text", ["valent", "prevale", "marieke", "Elo 1500", "ise", ""])
def test_a_word_that_holds_a_part_of_a_name_is_another_word(text: str) -> None:
    assert not People([NAME]).are_in(text)


def test_the_place_is_the_one_in_the_text_as_written() -> None:
    assert found(People([NAME]), "ﬁne, Éloïse and E\u0301loïse") == ["Éloïse", "E\u0301loïse"]


def test_short_parts_count_in_the_whole_name_only() -> None:
    people = People(["Bo, Li"])
    assert found(people, "Li Bo met Bo, Li; li and bo did not") == ["Li Bo", "Bo, Li"]


def test_words_of_the_game_count_in_the_whole_name_only() -> None:
    people = People(["King, Rosalba"])
    assert found(people, "The king is in check; Rosalba King; King, Rosalba") == [
        "Rosalba King",
        "King, Rosalba",
    ]


def test_a_name_behind_an_equals_sign_is_looked_for_whole_only() -> None:
    people = People(["=May, Iris"])
    assert found(people, "You may castle; Iris, you may not; Iris May") == ["Iris May"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("White will attack; what will Black do?", []),
        ("Will won, WILL lost", ["Will", "WILL"]),
        ("will rowe and rowe, will", ["will rowe", "rowe, will"]),
        ("(will) the will, will.", []),
        ("lessons/02-will.md will.png photo_will will@club.example", ["will"] * 4),
    ],
)
def test_where_capitals_are_wanted_an_everyday_word_in_small_letters_is_no_name(
    text: str, expected: list[str]
) -> None:
    assert found(People(["Will Rowe"], wants_capitals=True), text) == expected


def test_a_script_without_capitals_is_searched_where_they_are_wanted() -> None:
    assert found(People(["דנה לוי"], wants_capitals=True), "זאת דנה") == ["דנה"]


@pytest.mark.parametrize(
    ("name", "text", "expected"),
    [
        (
            "Müller, Jörg",
            "Mueller, Joerg; Muller; MUELLERS",
            ["Mueller, Joerg", "Muller", "MUELLERS"],
        ),
        ("Mueller, Joerg", "Müller beat Jörg", ["Müller", "Jörg"]),
        ("Sørensen, Åse", "Soerensen and Aase", ["Soerensen", "Aase"]),
        ("Berg, Anna", "Bergs move, Anna's move, Bergen", ["Bergs", "Anna"]),
        ("Berg, Anna", "berg2010.jpg annaberg.jpg AnnaBerg2.jpg", ["berg", "annaberg", "AnnaBerg"]),
        ("Berg, Anna", "hannaberg, bergamot, 2anna2", ["anna"]),
        ("Smith-Jones, Kit", "smithjones SmithJones", ["smithjones", "SmithJones"]),
        ("Vale, Kit", "KitVale PhotoOfVale", ["KitVale", "Vale"]),
        ("Berg, Anna", "An\u00adna Be\u200brg", ["An\u00adna Be\u200brg"]),
        ("Þórdís, Ann", "Thordis", ["Thordis"]),
        (
            "O’Brien, Kit",
            "O'Brien, obrien, O`Brien, Brien",
            ["O'Brien", "obrien", "O`Brien", "Brien"],
        ),
        ("王小明", "昨天王小明贏了", ["王小明"]),
        ("田中 健太", "田中健太さん、健太も", ["田中健太", "健太"]),
        ("Wu, Li", "Wu\nLi", ["Wu\nLi"]),
    ],
)
def test_other_spellings_of_a_name_are_found(name: str, text: str, expected: list[str]) -> None:
    assert found(People([name]), text) == expected


def test_letters_of_a_digest_are_no_name() -> None:
    """Digests of ten and twelve hexadecimal digits are parts of file names."""
    assert found(People(["Ada Vale"]), "fork-91ada3b1f0.svg 0123456ada78") == []
    assert found(People(["Ada Vale"]), "ada2010.jpg 7ada7") == ["ada", "ada"]


@pytest.mark.parametrize(
    "name", ["Me", "NN", "N.N.", "Guest", "White", "Black Player", "?", "Coach"]
)
def test_who_stands_for_nobody_is_not_looked_for(name: str) -> None:
    assert is_placeholder(name)
    assert not People([name])


@pytest.mark.parametrize("name", ["N. King", "Bo Li", "Guest, Anna", "A. White"])
def test_a_name_with_a_word_of_the_game_is_a_name(name: str) -> None:
    assert not is_placeholder(name)
    assert People([name]).are_in(f"By {name}.")


def test_a_short_word_alone_is_not_looked_for_and_not_glued() -> None:
    assert not People(["Bo"])
    assert found(People(["Bo, Li"]), "boli, Libo, Bo Li") == ["Bo Li"]


def test_two_spellings_of_a_name_have_one_key() -> None:
    assert name_key("Müller, Jörg") == name_key("Joerg Mueller") == name_key("JORG muller")
    assert name_key("Berg, Anna") != name_key("Berg, Anne")


def test_folding_keeps_letters_that_have_no_accent() -> None:
    assert folded("Łódź Øre STRASSE ß Æ Ж") == "lodz ore strasse ss ae ж"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("write to coach@club.example today", "mail"),
        ("a.b-c+d@mail.club.example.", "mail"),
        ("<mailto:coach@club.example>", "mail"),
        ("call +44 20 7946 0958", "phone"),
        ("tel:+442079460958", "phone"),
        ("0049 30 123456", "phone"),
        ("020 7946 0958.", "phone"),
        ("030/1234567", "phone"),
        ("(212) 555-0123", "phone"),
        ("212-555-0123", "phone"),
        ("06 12 34 56 78", "phone"),
        ("06.12.34.56.78", "phone"),
        ("07911123456", "phone"),
        ("ring 612 345 678 please", "phone"),
        ("8 (912) 345-67-89", "phone"),
        ("020 7946\u20130123", "phone"),
        ("020\u00a07946\u202f0123", "phone"),
        ("ring 020\n7946 0123", "phone"),
        ("anna@schach-müller.de", "mail"),
    ],
)
def test_an_address_or_a_number_is_found(text: str, kind: str) -> None:
    """Numbers as in the ranges that telephone authorities keep for fiction, from memory."""
    assert [one.kind for one in contacts_in(text)] == [kind]


@pytest.mark.parametrize(
    "text",
    [
        "1. e4 e5 2. Nf3 Nc6 0-1 0-1 0-0-0",
        "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
        "8/8/8/8/8/8/8/K6k w - - 10 125",
        "2025-09-06, 1992.11.04, 1858-1859",
        "[%clk 0:10:00] 00:15:30",
        "italian@3.Bc4, hit-back@3.O-O, a@b, me@home",
        "0 12 33 44 55 66 1234567",
        "ISBN 0-19-866164-9 and ISBN 978-0-19-866164-1",
        "M0 0L12.5 33.25 0.125 0.0625",
        "3.141592653589793",
        "open 0930-1130",
        "Round 1 0930 1130 1400",
        "0012345678905",
        "Round 1 at 0930, round 2 at 1130",
        "1. e4 c5\n2. Nf3 d6\n0-1 1/2-1/2\n0-0-0",
        "marks 12 34 56 78 90, and 100 200 300 400",
        "1858 1859 1860 1861",
        "06 12 13 14 15 16 17",
        "1,000,000 nodes, 8 + 8 + 8",
        "https://example.org/00441234567/2019",
    ],
)
def test_what_only_looks_like_one_is_left_alone(text: str) -> None:
    assert list(contacts_in(text)) == []
