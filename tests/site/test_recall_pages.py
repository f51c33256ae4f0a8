"""The pages that bring lessons back: what they hold before a browser fills them in."""

from __future__ import annotations

import json
import re
from typing import Any

import chess

from plybook.course import Course
from plybook.course.recall import items_of
from small_course import one, soup_of

_VALUE = re.compile(r"window\.plybookWarmUp=JSON\.parse\((.*)\);\n")


def warm_up(site: dict[str, bytes]) -> dict[str, Any]:
    """Return the data of the warm-up as a browser reads it."""
    (path,) = (path for path in site if path.startswith("assets/warm-up-data-"))
    found = _VALUE.fullmatch(site[path].decode())
    assert found is not None
    data: dict[str, Any] = json.loads(json.loads(found[1]))
    return data


def test_every_card_and_exercise_has_a_mark_that_leads_to_it(
    site: dict[str, bytes], course: Course
) -> None:
    marks = soup_of(site, "my-work.html").select("a.mark")
    wanted = [item.ident for lesson in course.lessons.values() for item in items_of(lesson)]
    assert [mark["data-id"] for mark in marks] == wanted
    for mark in marks:
        path, _, anchor = str(mark["href"]).partition("#")
        assert soup_of(site, path).find(id=anchor) is not None
        assert str(mark["data-id"]).endswith(anchor.removeprefix("x-"))


def test_the_warm_up_holds_every_item_with_its_board(
    site: dict[str, bytes], course: Course
) -> None:
    exercise, card = warm_up(site)["items"]
    after_queen = chess.Board()
    for san in ("e4", "d5", "exd5", "Qxd5"):
        after_queen.push_san(san)
    placement = "".join(
        piece.symbol() if (piece := after_queen.piece_at(square)) else "."
        for square in chess.SQUARES
    )
    assert exercise["id"] == "forks/hit-her"
    assert exercise["qb"] == placement
    assert exercise["t"] == "White to move"
    assert (exercise["q"], exercise["a"]) == ("Hit the “queen”.", "3.\u202f\x01Nc3")
    assert (card["q"], card["a"]) == ("What now?", "Take it.")
    assert "t" not in card


def test_the_warm_up_names_no_lesson_before_the_answer(site: dict[str, bytes]) -> None:
    """The page's own words for a question hold neither title nor link of its lesson."""
    asked = one(soup_of(site, "warm-up.html"), "#asked")
    assert not asked.get_text(strip=True).count("Forks")
    assert not asked.select("a[href]")
    assert asked.select_one("#came[hidden]") is not None


def test_without_script_the_warm_up_leads_to_the_lessons(site: dict[str, bytes]) -> None:
    links = soup_of(site, "warm-up.html").select(".without a")
    assert [link["href"] for link in links] == ["lessons/forks.html"]


def test_the_data_of_the_warm_up_is_one_value_without_code(site: dict[str, bytes]) -> None:
    (path,) = (path for path in site if path.startswith("assets/warm-up-data-"))
    text = site[path].decode()
    assert _VALUE.fullmatch(text)
    assert "<" not in text
    assert text.isascii()


def test_the_plan_names_the_week_and_what_comes_back(site: dict[str, bytes]) -> None:
    rows = [
        [cell.get_text(" ", strip=True) for cell in row.select("th, td")]
        for row in soup_of(site, "plan.html").select(".weeks tbody tr")
    ]
    assert rows == [
        ["1", "1 Forks & more", "nothing yet"],
        ["2", "2 Pins", "Lesson 1 exercise 1, card 1 1 week ago"],
        ["3", "3 Without a board", "nothing yet"],
        ["4", "no new lesson", "Lesson 1 exercise 1, card 1 3 weeks ago"],
        ["9", "no new lesson", "Lesson 1 exercise 1, card 1 8 weeks ago"],
    ]


def test_the_plan_gives_no_answer_away(site: dict[str, bytes]) -> None:
    text = soup_of(site, "plan.html").get_text()
    assert "What now?" in text
    assert "Take it." not in text
    assert "Nc3" not in text


def test_pages_of_recall_stand_in_the_head_of_every_page(site: dict[str, bytes]) -> None:
    for path in ("index.html", "lessons/pins.html", "warm-up.html", "plan.html"):
        (link,) = soup_of(site, path).select("nav.site a[href$='my-work.html']")
        assert link.get_text() == "My work"


def test_a_page_says_the_gaps_of_the_course(site: dict[str, bytes]) -> None:
    assert one(soup_of(site, "my-work.html"), "html")["data-recall"] == "1 3 8"
