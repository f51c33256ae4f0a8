"""Evidence on the pages of principles, and for each move on the board."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import chess
import pytest
from bs4 import BeautifulSoup, Tag

from plybook.board import ledger
from plybook.course import Course, Evidence, Place
from plybook.site.inspection.validate import validate
from plybook.site.pages.build import build_pages
from plybook.site.pages.theme import load_theme
from small_course import IMAGE, course_in, one, soup_of, write_course

_LESSON = """---
title: {title}
---

```moves {name}
1. {moves}
```
"""
_RULE = """---
title: {title}
short: One thing at a time.
{head}
---

Words.
"""
FACT = ledger.Fact(kind=ledger.FactKind.GIVES_CHECK, side="white")
#: Two lessons with the same first moves; the rule is about the first step of a knight.
FILES = {
    "course.yaml": "title: Evidence\nid: evidence\n",
    "lessons/01-one.md": _LESSON.format(
        title="One", name="first", moves="e4 e5 2. Nf3 Nc6 3. Ng5 $2 d6 (3... Nf6 4. d3)"
    ),
    "lessons/02-two.md": _LESSON.format(title="Two", name="second", moves="e4 e5 2. Nf3 Nf6"),
    "principles/out.md": _RULE.format(title="Men out", head="kept_by: [develops]"),
    "principles/once.md": _RULE.format(title="Once each", head="broken_by: [same-man-again]"),
    "principles/idle.md": _RULE.format(title="Idle", head=""),
}


def pages_of(course: Course) -> dict[str, bytes]:
    return build_pages(course, load_theme("press"), images=dict.fromkeys(course.images, IMAGE))


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Course:
    folder = tmp_path_factory.mktemp("evidence")
    for path, text in FILES.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return course_in(folder)


@pytest.fixture(scope="module")
def site(course: Course) -> dict[str, bytes]:
    return pages_of(course)


def with_evidence(course: Course, evidence: Iterable[Evidence]) -> dict[str, bytes]:
    """Return the pages of a course in which all evidence is of the rule `out`."""
    found: Mapping[str, tuple[Evidence, ...]] = {"out": tuple(evidence)}
    return pages_of(replace(course, evidence=found))


def said(place: int, **fields: Any) -> Evidence:
    """Return evidence at a place of the first line."""
    given = {"verb": "kept", "facts": (FACT,), "is_tagged": False, "because": ""}
    return Evidence(place=Place("one", "first", place), principle="out", **{**given, **fields})


def groups(page: BeautifulSoup) -> list[Tag]:
    return page.select("section.shown")


def lesson_data(site: dict[str, bytes], slug: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(
        one(soup_of(site, f"lessons/{slug}.html"), "#lesson-data").string or ""
    )
    return data


def touched(site: dict[str, bytes], slug: str, place: int) -> list[tuple[str, str, str]]:
    """Return what the move before a place does: title of the principle, verb, sentence."""
    data = lesson_data(site, slug)
    rows = data["lines"][0].get("why", {}).get(str(place), [])
    return [(data["rules"][rule][0], verb, sentence) for rule, verb, sentence in rows]


# ---------------------------------------------------------------------- pages of principles


def test_each_example_has_a_board_a_sentence_and_a_way_to_its_move(
    site: dict[str, bytes],
) -> None:
    page = soup_of(site, "principles/once.html")
    (item,) = page.select(".shown li")
    assert one(item, "svg.bd")["class"] == ["bd", "small"]
    assert [link["href"] for link in item.select("a")] == [
        "../lessons/one.html#first@3.Ng5",
        "../lessons/one.html#first@3.Ng5",
    ]
    text = " ".join(one(item, "figcaption").get_text().split())
    assert text == (
        "3. Ng5?: the knight moves again (its 2nd move) and takes nothing, threatens nothing and "
        "saves nothing. One"
    )


def test_the_board_of_an_example_shows_the_position_after_its_move(
    site: dict[str, bytes],
) -> None:
    board = chess.Board()
    for san in ("e4", "e5", "Nf3", "Nc6", "Ng5"):
        board.push_san(san)
    (item,) = soup_of(site, "principles/once.html").select(".shown li")
    drawn = {
        (use["href"][3:], int(str(use["x"])) // 45, 7 - int(str(use["y"])) // 45)
        for use in item.select(".men use")
    }
    assert drawn == {
        (
            ("w" if man.color else "b") + man.symbol().lower(),
            chess.square_file(square),
            chess.square_rank(square),
        )
        for square, man in board.piece_map().items()
    }


def test_examples_stand_by_verb_with_their_counts(course: Course) -> None:
    verbs = ("punished", "kept", "justified", "kept", "broken")
    site = with_evidence(course, [said(at, verb=verb) for at, verb in enumerate(verbs, 1)])
    page = soup_of(site, "principles/out.html")
    told = [(one(group, "h2")["id"], one(group, "h2 .note").string) for group in groups(page)]
    assert told == [("v-kept", "2"), ("v-broken", "1"), ("v-justified", "1"), ("v-punished", "1")]
    assert [len(group.select("li")) for group in groups(page)] == [2, 1, 1, 1]


def test_the_index_says_how_many_and_leads_to_them(site: dict[str, bytes]) -> None:
    links = soup_of(site, "principles/index.html").select(".verbs a")
    assert [(link["href"], " ".join(link.get_text().split())) for link in links] == [
        ("out.html#v-kept", "Kept 4"),
        ("once.html#v-broken", "Broken 1"),
    ]


def test_examples_stand_in_the_order_of_the_lessons(site: dict[str, bytes]) -> None:
    links = soup_of(site, "principles/out.html").select(".shown .in")
    assert [link["href"] for link in links] == [
        "../lessons/one.html#first@2.Nf3",  # the same position in lesson two is one example
        "../lessons/one.html#first@2...Nc6",
        "../lessons/one.html#first@3...Nf6",
        "../lessons/two.html#second@2...Nf6",
    ]


def test_where_there_are_many_the_rest_is_folded_away(course: Course) -> None:
    page = soup_of(
        with_evidence(course, [said(1 + at % 8) for at in range(90)]), "principles/out.html"
    )
    (group,) = groups(page)
    assert len(group.select(":scope > ul > li svg.bd")) == 6
    assert one(group, "summary").string == "84 more"
    folded = one(group, "details")
    assert len(folded.select("svg.bd")) == 54  # more boards would make the page slow
    assert len(folded.select(".plain li")) == 30


def test_many_breaches_with_a_reason_do_not_outshout_the_rule(course: Course) -> None:
    """A pupil who sees more exceptions than examples learns the exceptions."""
    evidence = [said(1 + at % 8, verb="justified") for at in range(9)]
    (group,) = groups(soup_of(with_evidence(course, evidence), "principles/out.html"))
    assert str(one(group, ".first").string).startswith("Learn the rule first.")
    assert len(group.select(":scope > ul > li")) == 3
    assert one(group, "summary").string == "6 more"


@pytest.mark.parametrize(("verb", "many"), [("justified", 5), ("kept", 20)])
def test_a_rule_needs_no_warning_of_a_few_exceptions(course: Course, verb: str, many: int) -> None:
    evidence = [said(1 + at % 8, verb=verb) for at in range(many)]
    (group,) = groups(soup_of(with_evidence(course, evidence), "principles/out.html"))
    assert not group.select(".first")


def test_one_or_two_are_not_folded_away(course: Course) -> None:
    page = soup_of(with_evidence(course, [said(at) for at in range(1, 9)]), "principles/out.html")
    (group,) = groups(page)
    assert not group.select("details")
    assert len(group.select("svg.bd")) == 8


def test_what_the_coach_points_out_is_not_folded_away(course: Course) -> None:
    evidence = [said(1 + at % 7) for at in range(20)]
    evidence.append(said(8, is_tagged=True, facts=(), because="the coach likes it"))
    (group,) = groups(soup_of(with_evidence(course, evidence), "principles/out.html"))
    shown = group.select(":scope > ul > li")
    assert len(shown) == 6
    assert "the coach likes it" in shown[-1].get_text()


def test_the_coachs_reason_stands_beside_the_finding(course: Course) -> None:
    evidence = said(5, verb="justified", is_tagged=True, because='it hits "f7"')
    (item,) = soup_of(with_evidence(course, [evidence]), "principles/out.html").select(".shown li")
    assert "this move gives check. The coach says: it hits “f7”." in item.get_text()


def test_a_reason_that_is_all_there_is_is_said_once(course: Course) -> None:
    evidence = said(5, is_tagged=True, facts=(), because="it hits f7")
    (item,) = soup_of(with_evidence(course, [evidence]), "principles/out.html").select(".shown li")
    assert item.get_text().count("it hits f7") == 1


def test_a_principle_without_evidence_has_no_empty_heading(site: dict[str, bytes]) -> None:
    page = soup_of(site, "principles/idle.html")
    assert not page.select(".shown, .verbs, svg.sprite")


def test_words_of_the_coach_are_text_and_not_markup(course: Course) -> None:
    site = with_evidence(course, [said(5, verb="broken", is_tagged=True, because="<b>no</b>")])
    assert not soup_of(site, "principles/out.html").select(".shown figcaption b")
    assert not validate(site)


def test_the_pages_are_sound(site: dict[str, bytes]) -> None:
    assert not validate(site)


# ---------------------------------------------------------------------- under the board


def test_a_move_names_the_principles_it_touches(site: dict[str, bytes]) -> None:
    told = (
        "the knight moves again (its 2nd move) and takes nothing, threatens nothing and saves "
        "nothing"
    )
    assert touched(site, "one", 5) == [("Once each", "Broken", told)]
    assert touched(site, "one", 1) == []


def test_that_a_rule_is_simply_kept_needs_no_sentence(site: dict[str, bytes]) -> None:
    assert touched(site, "one", 3) == [("Men out", "Kept", "")]


def test_the_same_move_elsewhere_touches_the_same_principles(site: dict[str, bytes]) -> None:
    """Equal positions are one example; a reader of either lesson sees what the move does."""
    assert touched(site, "two", 3) == [("Men out", "Kept", "")]


def test_a_breach_goes_before_what_is_kept(course: Course) -> None:
    site = with_evidence(course, [said(5), said(5, verb="punished"), said(5, verb="broken")])
    assert [verb for _, verb, _ in touched(site, "one", 5)] == ["Broken", "Punished", "Kept"]


def test_every_principle_that_is_named_has_its_page(site: dict[str, bytes]) -> None:
    for slug in ("one", "two"):
        for title, address in lesson_data(site, slug)["rules"]:
            page = soup_of(site, address.removeprefix("../"))
            assert one(page, "h1").string == title


def test_without_evidence_a_page_carries_none(course: Course) -> None:
    data = lesson_data(with_evidence(course, []), "one")
    assert data["rules"] == []
    assert all("why" not in line for line in data["lines"])


def test_tags_are_evidence_of_the_small_course(tmp_path: Path) -> None:
    course = course_in(write_course(tmp_path))
    page = soup_of(pages_of(course), "principles/look-twice.html")
    found = [(one(group, "h2")["id"], one(group, ".in")["href"]) for group in groups(page)]
    assert found == [
        ("v-broken", "../lessons/forks.html#main@2...Qxd5"),
        ("v-punished", "../lessons/forks.html#main@3.Nc3"),
    ]
