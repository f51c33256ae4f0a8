"""Ways into a sideline and out of it, moves in prose, captions of diagrams, the turned board."""

from __future__ import annotations

from collections.abc import Mapping

import chess
import pytest

from browser.reader import Reader
from browser.told import ToldLesson, ToldPlace

LESSON = "lessons/special.html"


@pytest.fixture(scope="module")
def special(trial_told: Mapping[str, ToldLesson]) -> ToldLesson:
    return trial_told["special"]


def outer_branches(lesson: ToldLesson) -> list[ToldPlace]:
    """Return the first moves of sidelines of the main lines."""
    return [
        place
        for line in lesson.lines
        for place in line.branches()
        if place.parent and not line.is_inside(place.parent)
    ]


def test_every_branch_of_the_rail_leads_into_its_sideline(
    press: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    lesson = demo_told["castle-early"]
    press.open("lessons/castle-early.html")
    branches = outer_branches(lesson)
    assert branches
    for place in branches:
        line = lesson.line_of(place.fragment)
        press.follow(line.start.fragment)
        at = list(line.places).index(place.fragment)
        hook = press.page.locator(f'svg.rail[data-line="{line.name}"] .br[data-i="{at}"] rect')
        box = hook.bounding_box()
        assert box
        press.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        plate = press.plate()
        assert plate.places == [place.fragment]
        assert plate.placement == place.placement
        assert plate.rail == [line.name]


def test_a_branch_offered_under_the_board_is_entered(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for line in special.lines:
        for place in line.branches():
            assert place.parent
            trial.follow(place.parent)
            choices = trial.plate().choices
            assert choices == line.places[place.parent].children[1:]
            trial.page.locator("#alts a").nth(choices.index(place.fragment)).focus()
            trial.press("Enter")
            plate = trial.plate()
            assert (plate.places, plate.placement) == ([place.fragment], place.placement)
            assert plate.focus == "nxt"  # the link is gone; the keyboard goes on from here


def test_leaving_a_sideline_goes_back_to_where_it_left(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for line in special.lines:
        begun = {place.fragment: place for place in line.branches()}
        for place in line.places.values():
            trial.follow(place.fragment)
            way = [one.fragment for one in line.way_to(place.fragment)]
            innermost = [fragment for fragment in way if fragment in begun][-1:]
            assert trial.plate().leave == bool(innermost), place.fragment
            for fragment in innermost:
                trial.focus("leave")
                trial.press("Enter")
                plate = trial.plate()
                assert plate.places == [begun[fragment].parent]
                assert plate.focus == "nxt"


def test_the_rail_can_be_dragged(trial: Reader, trial_told: Mapping[str, ToldLesson]) -> None:
    line = trial_told["hidden"].lines[0]
    way = line.way_on(line.start.fragment)
    trial.open("lessons/hidden.html", line.start.fragment)
    box = trial.page.locator("#sl svg.rail.on .ax").bounding_box()
    assert box
    y = box["y"] + box["height"] / 2
    trial.page.mouse.move(box["x"], y)
    trial.page.mouse.down()
    seen = []
    for share in (0, 0.25, 0.5, 1, 0.5):
        trial.page.mouse.move(box["x"] + share * box["width"], y)
        seen.append(trial.plate().places[0])
    trial.page.mouse.up()
    trial.page.mouse.move(box["x"], y)
    assert seen == [way[at].fragment for at in (0, 15, 30, 60, 30)]
    assert trial.plate().places == [way[30].fragment]


#: Moves in prose, in claims and in captions: not the moves of the lines themselves.
LINKS = """[...document.querySelectorAll('article a[href^="#"]:not([id])')].filter(
    (link) => link.hash.includes('@'))"""


def test_moves_in_prose_show_their_place(
    press: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    """Every link in the text of a lesson that names a place of it, diagrams and claims too."""
    found = 0
    for slug, lesson in demo_told.items():
        press.open(f"lessons/{slug}.html")
        links = press.all(
            f"{LINKS}.map((link) => decodeURIComponent(link.getAttribute('href').slice(1)))"
        )
        for at, fragment in enumerate(links):
            press.all(f"(at) => {LINKS}[at].click()", at)
            assert press.placement() == lesson.places[fragment].placement, (slug, fragment)
            found += 1
    assert found > 100


def test_a_pictured_position_is_put_on_the_board_by_a_click(
    trial: Reader, special: ToldLesson
) -> None:
    trial.open(LESSON)
    for number, fragment in enumerate(("nested@2.Nf3", "nested@2...d6~3.Bc4", "nested@3.d4"), 1):
        trial.follow("nested@start")
        trial.page.locator(f"#d-{number} .figl").click()
        assert trial.placement() == special.places[fragment].placement


def test_still_diagrams_show_the_position_they_name(
    press: Reader, demo_told: Mapping[str, ToldLesson]
) -> None:
    for slug, lesson in demo_told.items():
        press.open(f"lessons/{slug}.html", whole=True)
        figures = press.page.locator(".dg:has(.figl[data-go])")
        assert figures.count() == lesson.text.count("```diagram ")
        for at in range(figures.count()):
            figure = figures.nth(at)
            figure.scroll_into_view_if_needed()
            href = figure.locator(".figl").get_attribute("data-go")
            assert href
            drawn = figure.locator("svg.bd").evaluate("(svg) => probe.placementOf(svg)")
            assert drawn == lesson.places[href[1:]].placement, (slug, href)


def test_a_line_of_the_other_side_turns_the_board(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for line in special.lines:
        trial.follow(line.start.fragment)
        plate = trial.plate()
        assert plate.view == line.view
        assert plate.placement == line.start.placement


def test_the_reader_may_turn_the_board(trial: Reader, special: ToldLesson) -> None:
    """Men, traces and names of files and ranks turn together, on whatever line follows."""
    trial.open(LESSON, "nested@2.Nf3")
    trial.page.locator("#flip").click()
    assert trial.plate().view == "black"
    for fragment in ("nested@2.Nf3", "castling@1...O-O-O", "other-side@3.Bb5"):
        place = special.places[fragment]
        trial.follow(fragment)
        plate = trial.plate()
        assert plate.placement == place.placement
        assert place.parent
        move = special.places[place.parent].board.parse_san(place.san)
        squares = [chess.square_name(move.from_square), chess.square_name(move.to_square)]
        assert plate.traces == squares
        assert plate.view == ("white" if fragment.startswith("other-side") else "black")
    trial.page.locator("#flip").click()
    assert trial.plate().view == "black"  # the other side's line, as the coach wanted it


def test_marks_turn_with_the_board(trial: Reader) -> None:
    """The ring round e5 lies on e5, whichever side is below."""
    centre = (
        "(() => { const svg = document.querySelector('#plate svg.bd');"
        " const mark = svg.querySelector('.set.on [data-role=target]').getBoundingClientRect();"
        " const at = new DOMPoint(mark.x + mark.width / 2, mark.y + mark.height / 2)"
        "  .matrixTransform(svg.getScreenCTM().inverse());"
        " return [Math.floor(at.x / 45), Math.floor(at.y / 45)]; })()"
    )
    trial.open(LESSON, "nested@3.d4")
    assert trial.all(centre) == [4, 3]
    trial.page.locator("#flip").click()
    assert trial.all(centre) == [3, 4]
