"""Every ply of every line, by the button and by the keys: the board python-chess computes.

The script is one for both themes: the buttons are walked in one of them, the keys in the other.
"""

from __future__ import annotations

import random
from collections.abc import Mapping

import chess
import pytest

from browser.reader import Reader
from browser.told import ToldLesson, ToldLine, ToldPlace

DEMO_LESSONS = [
    "centre-first",
    "men-out",
    "castle-early",
    "once-each",
    "queen-waits",
    "open-the-centre",
    "count-first",
]
TRIAL_LESSONS = ["special", "hidden", "heavy"]


def walk_lines(reader: Reader, lesson: ToldLesson, *, control: str, key: str) -> list[str]:
    """Return the fragments reached by one key on one control; each shows its own position.

    Each line is walked from its start, and from the first move of every sideline.
    """
    reached: list[str] = []
    for line in lesson.lines:
        for begin in (line.start, *line.branches()):
            reader.follow(begin.fragment)
            reader.focus(control)
            for place in line.way_on(begin.fragment):
                if place is not begin:
                    reader.press(key)
                assert reader.placement() == place.placement, place.fragment
                reached.append(place.fragment)
    return reached


def is_same_walk(reached: list[str], lesson: ToldLesson) -> bool:
    return sorted(reached) == sorted(lesson.places)


def test_the_demo_course_is_the_one_named_here(demo_told: Mapping[str, ToldLesson]) -> None:
    assert list(demo_told) == DEMO_LESSONS


@pytest.mark.parametrize("slug", DEMO_LESSONS)
def test_the_forward_button_shows_every_ply_of_the_demo(
    press: Reader, demo_told: Mapping[str, ToldLesson], slug: str
) -> None:
    press.open(f"lessons/{slug}.html")
    reached = walk_lines(press, demo_told[slug], control="nxt", key="Enter")
    assert is_same_walk(reached, demo_told[slug])


@pytest.mark.parametrize("slug", DEMO_LESSONS)
def test_the_slider_keys_show_every_ply_of_the_demo(
    slate: Reader, demo_told: Mapping[str, ToldLesson], slug: str
) -> None:
    slate.open(f"lessons/{slug}.html")
    reached = walk_lines(slate, demo_told[slug], control="sl", key="ArrowRight")
    assert is_same_walk(reached, demo_told[slug])


@pytest.mark.parametrize("slug", TRIAL_LESSONS)
def test_the_button_shows_every_hard_case(
    trial: Reader, trial_told: Mapping[str, ToldLesson], slug: str
) -> None:
    trial.open(f"lessons/{slug}.html")
    reached = walk_lines(trial, trial_told[slug], control="nxt", key=" ")
    assert is_same_walk(reached, trial_told[slug])


def special_cases(lesson: ToldLesson) -> set[str]:
    """Return the kinds of moves that lines of a lesson hold."""
    found = set()
    for place in lesson.places.values():
        if place.parent is None:
            continue
        before = lesson.places[place.parent].board
        move = before.parse_san(place.san)
        side = "white" if before.turn else "black"
        if before.is_kingside_castling(move):
            found.add(f"{side} castles short")
        if before.is_queenside_castling(move):
            found.add(f"{side} castles long")
        if before.is_en_passant(move):
            found.add(f"{side} takes in passing")
        if move.promotion:
            found.add(f"{side} promotes to {chess.piece_name(move.promotion)}")
    return found


def test_the_hard_cases_are_in_the_trial_course(trial_told: Mapping[str, ToldLesson]) -> None:
    assert special_cases(trial_told["special"]) >= {
        "white castles short",
        "white castles long",
        "black castles short",
        "black castles long",
        "white takes in passing",
        "black takes in passing",
        "white promotes to queen",
        "white promotes to bishop",
        "white promotes to knight",
        "black promotes to queen",
        "black promotes to rook",
        "black promotes to knight",
    }
    assert len(trial_told["hidden"].lines[0].way_on("long@start")) == 61
    assert [len(line.places) for line in trial_told["heavy"].lines] == [31] * 12


def test_the_way_back_shows_the_same_boards(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    trial.open("lessons/special.html")
    for line in trial_told["special"].lines:
        ends = [place for place in line.places.values() if not place.children]
        for end in ends:
            trial.follow(end.fragment)
            trial.focus("prv")
            for place in reversed(line.way_to(end.fragment)):
                assert trial.placement() == place.placement, place.fragment
                trial.press("Enter")
            assert trial.plate().atStart


def test_jumps_between_far_places_show_their_boards(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    """The men of one position become those of any other: no man is left or lost."""
    trial.open("lessons/special.html")
    places = list(trial_told["special"].places.values())
    for place in random.Random(3).choices(places, k=120):
        trial.follow(place.fragment)
        plate = trial.plate()
        assert (plate.placement, plate.places) == (place.placement, [place.fragment])


def long_line(told: Mapping[str, ToldLesson]) -> tuple[ToldLine, list[ToldPlace]]:
    line = told["hidden"].lines[0]
    return line, line.way_on(line.start.fragment)


@pytest.mark.parametrize(
    ("keys", "place"),
    [
        ("End", 60),
        ("Home", 0),
        ("PageUp", 30),
        ("PageDown", 10),
        ("ArrowUp", 21),
        ("ArrowDown", 19),
        ("ArrowLeft", 19),
        ("End ArrowRight", 60),
        ("Home ArrowLeft", 0),
        ("End PageUp", 60),
        ("Home PageDown", 0),
    ],
)
def test_slider_keys_reach_their_place(
    trial: Reader, trial_told: Mapping[str, ToldLesson], keys: str, place: int
) -> None:
    """Arrows, Home, End and pages as the pattern `slider` of the ARIA practices has them."""
    _, way = long_line(trial_told)
    trial.open("lessons/hidden.html", way[20].fragment)
    trial.focus("sl")
    for key in keys.split():
        trial.press(key)
    plate = trial.plate()
    assert plate.placement == way[place].placement
    assert plate.slider == [0, place, 60]


@pytest.mark.parametrize("key", ["ArrowRight", "Home", "End", "PageUp"])
def test_keys_elsewhere_do_not_move_the_board(
    trial: Reader, trial_told: Mapping[str, ToldLesson], key: str
) -> None:
    """Keys of the whole page would take them from those who read with the keyboard (SC 2.1.4)."""
    _, way = long_line(trial_told)
    trial.open("lessons/hidden.html", way[20].fragment)
    before = trial.plate().places
    assert before == [way[20].fragment]
    trial.page.evaluate("document.activeElement.blur()")
    trial.press(key)
    trial.page.locator(".home").focus()
    trial.press(key)
    assert trial.plate().places == before


@pytest.mark.parametrize("key", ["Home", "End", "PageUp", "ArrowUp", "Control+ArrowRight"])
def test_a_button_of_the_plate_takes_left_and_right_alone(
    trial: Reader, trial_told: Mapping[str, ToldLesson], key: str
) -> None:
    _, way = long_line(trial_told)
    trial.open("lessons/hidden.html", way[20].fragment)
    trial.focus("nxt")
    trial.press(key)
    assert trial.plate().places == [way[20].fragment]


@pytest.mark.parametrize("held", ["a move", "nxt", "prv", "flip", "the board", "the board turned"])
def test_left_and_right_go_on_from_a_move_and_from_the_plate(
    trial: Reader, trial_told: Mapping[str, ToldLesson], held: str
) -> None:
    """Whoever has clicked a move, a button or the board goes on with the arrow keys."""
    _, way = long_line(trial_told)
    trial.open("lessons/hidden.html", way[20].fragment)
    if held == "a move":
        trial.focus(way[20].fragment)
    elif held.startswith("the board"):
        if held.endswith("turned"):
            trial.page.locator("#flip").click()
        trial.page.locator("#plate svg.bd").click()
    else:
        trial.focus(held)
    for key, place in (("ArrowRight", 21), ("ArrowRight", 22), ("ArrowLeft", 21)):
        trial.press(key)
        assert trial.plate().places == [way[place].fragment], (held, key)


def test_the_arrow_keys_stay_with_the_plate_when_a_branch_is_left(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    """The control that had the focus is gone then; the keyboard is not lost."""
    line = trial_told["special"].lines[0]
    branch = line.branches()[0]
    trial.open("lessons/special.html", branch.fragment)
    trial.focus("leave")
    trial.press("ArrowLeft")
    assert trial.page.evaluate("document.activeElement.id") == "nxt"


def test_the_buttons_end_where_the_line_ends(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    _, way = long_line(trial_told)
    trial.open("lessons/hidden.html", way[59].fragment)
    trial.focus("nxt")
    trial.press("Enter", 3)
    plate = trial.plate()
    assert plate.placement == way[60].placement
    assert (plate.atEnd, plate.atStart) == (True, False)


def test_traces_stand_on_the_squares_of_the_last_move(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    trial.open("lessons/special.html")
    lesson = trial_told["special"]
    for place in lesson.places.values():
        trial.follow(place.fragment)
        expected: list[str] = []
        if place.parent is not None:
            move = lesson.places[place.parent].board.parse_san(place.san)
            expected = [chess.square_name(move.from_square), chess.square_name(move.to_square)]
        assert trial.plate().traces == expected, place.fragment
