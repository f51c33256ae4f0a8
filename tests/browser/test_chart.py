"""The chart under the board, counted on boards of python-chess; principles of the move shown."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import chess
import pytest
from playwright.sync_api import Browser

from browser.reader import Reader, reading
from browser.told import ToldLesson, ToldLine, ToldPlace

#: Where each small man that can be seen stands: his column, and his drawing without colour of page.
#: Men under a cover are not seen; those under the veil are.
SEEN_MEN: Final = """(() => {
    const rail = document.querySelector('#sl .rail.on.ch');
    if (!rail) return null;
    const inverse = rail.getScreenCTM().inverse();
    const left = Number(rail.dataset.x), width = Number(rail.dataset.w);
    const covers = [...rail.querySelectorAll('.cv')].filter(probe.shown);
    const men = [];
    for (const use of rail.querySelectorAll('.seg use')) {
        if (!probe.shown(use)) continue;
        const box = use.getBoundingClientRect();
        const isCovered = covers.some((cover) => !cover.parentNode.contains(use)
            && use.compareDocumentPosition(cover) & Node.DOCUMENT_POSITION_FOLLOWING
            && cover.getBoundingClientRect().left < box.left + box.width / 2);
        if (isCovered) continue;
        const { x } = new DOMPoint(box.x + box.width / 2, box.y).matrixTransform(inverse);
        men.push([Math.round((x - left) / width), use.getAttribute('href').slice(3)]);
    }
    return men;
})()"""

#: The column of what marks the current ply, and of the left edge of the veil.
MARKED: Final = """(() => {
    const rail = document.querySelector('#sl .rail.on.ch');
    const inverse = rail.getScreenCTM().inverse();
    const at = (selector, share) => {
        const box = rail.querySelector(selector).getBoundingClientRect();
        const { x } = new DOMPoint(box.x + share * box.width, box.y).matrixTransform(inverse);
        return (x - Number(rail.dataset.x)) / Number(rail.dataset.w);
    };
    return [at('.now', 0.5), at('.veil', 0)];
})()"""

TOUCHED: Final = """[...document.querySelectorAll('#why p')].map((row) => ({
    verb: row.querySelector('.verb').textContent,
    rules: [...row.querySelectorAll('a')].map((link) => [link.textContent, link.href]),
    text: row.textContent,
}))"""


def men_out(board: chess.Board, color: chess.Color) -> str:
    """Return the knights and bishops off the first rank: no line here has promoted ones."""
    rank = chess.BB_RANK_1 if color else chess.BB_RANK_8
    return "".join(
        letter * len(chess.SquareSet(board.pieces_mask(man, color) & ~rank))
        for man, letter in ((chess.KNIGHT, "n"), (chess.BISHOP, "b"))
    )


def count_words(board: chess.Board) -> str:
    white, black = len(men_out(board, chess.WHITE)), len(men_out(board, chess.BLACK))
    return f"Men out: White {white}, Black {black}"


def way_through(line: ToldLine, fragment: str) -> list[ToldPlace]:
    return [*line.way_to(fragment), *line.way_on(fragment)[1:]]


def stacked(way: list[ToldPlace]) -> Counter[tuple[int, str]]:
    """Return the knights and bishops of each column."""
    return Counter(
        (column, sign + man)
        for column, place in enumerate(way)
        for color, sign in ((chess.WHITE, "w"), (chess.BLACK, "b"))
        for man in men_out(place.board, color)
    )


def minor_men(reader: Reader) -> Counter[tuple[int, str]]:
    seen = reader.all(SEEN_MEN)
    return Counter((column, man) for column, man in seen if man[1] in "nb")


@pytest.fixture(scope="module")
def line(demo_told: Mapping[str, ToldLesson]) -> ToldLine:
    """A line from the first move, short enough for stacks, with sidelines."""
    return next(one for one in demo_told["centre-first"].lines if one.name == "rolling")


def test_the_counts_are_said_and_shown_at_every_place(
    demo: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    lesson = demo_told["queen-waits"]
    demo.open("lessons/queen-waits.html")
    for each in lesson.lines:
        said_of_line = {count_words(place.board) for place in each.places.values()}
        if len(said_of_line) == 1:  # no man comes out, so there is nothing to count
            continue
        for place in each.places.values():
            demo.follow(place.fragment)
            words = count_words(place.board)
            assert demo.page.locator("#out").inner_text().startswith(words), place.fragment
            said = demo.plate().said
            assert f". {words}." in said, place.fragment


def test_the_columns_are_those_of_the_way_the_reader_is_on(demo: Reader, line: ToldLine) -> None:
    """In the main line and in every sideline, nested ones too."""
    demo.open("lessons/centre-first.html")
    for fragment in (line.start.fragment, *(branch.fragment for branch in line.branches())):
        demo.follow(fragment)
        assert minor_men(demo) == stacked(way_through(line, fragment)), fragment


def test_the_current_ply_is_marked_and_what_comes_is_veiled(demo: Reader, line: ToldLine) -> None:
    demo.open("lessons/centre-first.html")
    for place in line.places.values():
        demo.follow(place.fragment)
        column = len(line.way_to(place.fragment)) - 1
        now, veil = demo.all(MARKED)
        assert now == pytest.approx(column, abs=0.02), place.fragment
        assert veil == pytest.approx(column + 0.5, abs=0.02), place.fragment


def test_a_click_on_a_column_shows_its_ply(demo: Reader, line: ToldLine) -> None:
    way = line.way_on(line.start.fragment)
    demo.open("lessons/centre-first.html", line.start.fragment)
    rail = demo.page.locator("#sl .rail.on")
    box = rail.bounding_box()
    assert box
    left, width = (float(rail.get_attribute(name) or 0) for name in ("data-x", "data-w"))
    unit = box["width"] / 416
    for column in (len(way) - 1, 4, 9, 0):
        demo.page.mouse.click(box["x"] + unit * (left + width * column), box["y"] + 20)
        assert demo.plate().places == [way[column].fragment]


def test_a_long_game_shows_each_man_where_he_came_out(
    demo: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    """Steinitz against von Bardeleben has more plies than stacks have room for."""
    game = next(one for one in demo_told["castle-early"].lines if one.name == "hastings")
    way = game.way_on(game.start.fragment)
    demo.open("lessons/castle-early.html", game.start.fragment)
    came: Counter[tuple[int, str]] = Counter()
    for column, place in enumerate(way[1:], 1):
        for color, sign in ((chess.WHITE, "w"), (chess.BLACK, "b")):
            before = Counter(men_out(way[column - 1].board, color))
            gained = Counter(men_out(place.board, color)) - before
            came.update({(column, sign + man): count for man, count in gained.items()})
    assert minor_men(demo) == came


def test_a_late_position_keeps_the_plain_rail(trial: Reader) -> None:
    trial.open("lessons/special.html", "drawn@start")
    assert trial.all(SEEN_MEN) is None
    assert trial.page.locator("#out").inner_text() == ""
    assert "Men out" not in trial.plate().said


def test_the_chart_is_one_control_with_a_name(demo: Reader) -> None:
    demo.open("lessons/centre-first.html")
    slider = demo.page.get_by_role("slider")
    assert slider.count() == 1
    assert slider.get_attribute("aria-label")
    assert slider.locator("svg:not([aria-hidden=true])").count() == 0


def test_a_chart_fits_a_phone(browser: Browser, sites: Mapping[str, Path]) -> None:
    with reading(browser, sites["press"], viewport={"width": 390, "height": 844}) as phone:
        phone.open("lessons/castle-early.html", "hastings@14.Re1", whole=True)
        box = phone.page.locator("#sl .rail.on").bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390
        assert phone.all("document.documentElement.scrollWidth") <= 390


# ---------------------------------------------------------------------- without script, on paper


@pytest.fixture(scope="module")
def plain(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    with reading(browser, sites["press"], java_script_enabled=False) as reader:
        yield reader


def test_without_the_script_the_chart_stands_under_its_line(plain: Reader) -> None:
    plain.page.goto(plain.address("lessons/castle-early.html"))
    chart = plain.page.locator("#l-hastings .lc svg")
    assert chart.is_visible()
    assert (chart.get_attribute("aria-label") or "").startswith("Men out: White 0, Black 0.")
    assert plain.page.locator("#out, #why").filter(visible=True).count() == 0


def test_with_the_script_the_chart_is_not_shown_twice(demo: Reader) -> None:
    demo.open("lessons/castle-early.html")
    assert demo.page.locator(".lc").filter(visible=True).count() == 0


def test_on_paper_the_chart_stands_once(demo: Reader) -> None:
    demo.open("lessons/castle-early.html")
    demo.page.emulate_media(media="print")
    try:
        assert demo.page.locator("#l-hastings .lc").is_visible()
        assert demo.page.locator(".rail").filter(visible=True).count() == 0
    finally:
        demo.page.emulate_media(media="screen")


# ---------------------------------------------------------------------- principles


def test_the_principles_of_the_move_follow_the_board(
    demo: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    """Every tag of the coach shows at its move; the start touches nothing."""
    lesson = demo_told["queen-waits"]
    tags = re.findall(r"^(\S+) (obeys|breaks|punishes) ([a-z-]+)", lesson.text, re.M)
    assert tags
    demo.open("lessons/queen-waits.html")
    blocks = re.findall(r"^```tags (\S+)\n(.*?)^```$", lesson.text, re.M | re.S)
    for name, block in blocks:
        for move, verb, slug in re.findall(r"^(\S+) (\w+) ([a-z-]+)", block, re.M):
            fragment = next(
                place.fragment
                for each in lesson.lines
                if each.name == name
                for place in each.places.values()
                if place.label == move.rstrip("+#")
            )
            demo.follow(fragment)
            verbs = {
                "obeys": {"Kept"},
                "breaks": {"Broken", "Broken with a reason"},
                "punishes": {"Punished"},
            }[verb]
            rows: list[dict[str, Any]] = demo.all(TOUCHED)
            found = {
                address.split("/")[-1].removesuffix(".html")
                for row in rows
                if row["verb"] in verbs
                for _, address in row["rules"]
            }
            assert slug in found, (fragment, verb, slug, rows)
    demo.follow(lesson.lines[0].start.fragment)
    assert demo.all(TOUCHED) == []


def test_a_principle_of_the_move_leads_to_its_page(
    demo: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    demo.open("lessons/queen-waits.html", "errand@2...Qf6", whole=True)
    link = demo.page.locator("#why a").first
    title = link.inner_text()
    link.click()
    demo.page.wait_for_url("**/principles/*.html")
    assert demo.page.locator("h1").inner_text() == title


def test_an_example_on_a_principle_page_leads_to_its_position(demo: Reader) -> None:
    demo.open("principles/queen-waits.html", whole=True)
    link = demo.page.locator(".shown a.m").first
    href = link.get_attribute("href") or ""
    link.click()
    demo.page.wait_for_url("**/lessons/*.html#*")
    demo.page.wait_for_load_state("domcontentloaded")
    assert demo.plate().places == [href.split("#")[1]]
