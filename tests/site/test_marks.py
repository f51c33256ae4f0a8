"""Arrows and marks: told apart without colour, clear of the men, the same from either side."""

from __future__ import annotations

import re
from itertools import combinations
from math import hypot
from typing import Final
from xml.etree import ElementTree

import pytest

from plybook.board.model import Mark, Side
from plybook.site.drawing.marks import MARK_PAINTS, ROLE_NAMES, draw_marks, legend_picture
from plybook.site.drawing.paint import attribute_painter
from plybook.text.blocks import ARROW_ROLES, MARK_ROLES

EMPTY: Final = "." * 64
RING: Final = 18.2  # the radius of the ring round a weak square, in board units
_NUMBER = re.compile(r"-?[0-9]*\.?[0-9]+")


def arrow(role: str, *squares: str) -> Mark:
    return Mark(is_arrow=True, role=role, squares=squares)


def mark(role: str, square: str) -> Mark:
    return Mark(is_arrow=False, role=role, squares=(square,))


def sample(role: str, *, start: str = "a1", middle: str = "d4", end: str = "g7") -> Mark:
    """Return an arrow of a role along one diagonal; a pin goes by its middle square."""
    return arrow(role, start, middle, end) if role == "pin" else arrow(role, start, end)


def placement(*squares: str) -> str:
    """Return a board with a white pawn on each of these squares."""
    men = ["."] * 64
    for square in squares:
        men[ord(square[0]) - 97 + 8 * (int(square[1]) - 1)] = "P"
    return "".join(men)


def in_ink(*marks: Mark) -> str:
    """Return the drawing as a printer without colour makes it."""
    tokens = {
        token[1:]: "white" if token == "@board" else "black"
        for paint in MARK_PAINTS.values()
        for token in (paint.fill, paint.stroke)
        if token.startswith("@")
    }
    painter = attribute_painter(MARK_PAINTS, tokens)
    drawn = draw_marks(marks, placement=EMPTY, paint=painter)
    return re.sub(r' data-role="[a-z]+"', "", drawn)


def lines(drawn: str, role: str) -> list[list[tuple[float, float]]]:
    """Return the points of the drawn lines of a role, arcs and corners left as they are."""
    root = ElementTree.fromstring(f"<svg>{drawn}</svg>")
    return [
        points(path.attrib["d"])
        for path in root.iter("path")
        if path.attrib["class"] == f"m-{role}"
    ]


def points(path: str) -> list[tuple[float, float]]:
    numbers = [float(number) for number in _NUMBER.findall(path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def middle(square: str) -> tuple[float, float]:
    return 45 * (ord(square[0]) - 97) + 22.5, 45 * (8 - int(square[1])) + 22.5


def distance(a: tuple[float, float], b: tuple[float, float]) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def test_every_role_of_the_language_has_a_shape_and_a_word() -> None:
    assert set(ROLE_NAMES) == {
        *((True, role) for role in ARROW_ROLES),
        *((False, role) for role in MARK_ROLES),
    }
    assert len(set(ROLE_NAMES.values())) == len(ROLE_NAMES)


@pytest.mark.parametrize(("one", "other"), tuple(combinations(ARROW_ROLES, 2)))
def test_two_arrow_roles_differ_in_black_and_white(one: str, other: str) -> None:
    assert in_ink(sample(one)) != in_ink(sample(other))


def test_arrow_roles_differ_in_more_than_the_weight_of_a_line() -> None:
    shapes = {
        role: tuple(re.findall(r' (?:d|stroke-dasharray)="([^"]*)"', in_ink(sample(role))))
        for role in ARROW_ROLES
    }
    assert len(set(shapes.values())) == len(ARROW_ROLES)


def test_marks_differ_in_shape() -> None:
    shapes = {re.findall(r' d="([^"]*)"', in_ink(mark(role, "e4")))[0] for role in MARK_ROLES}
    assert len(shapes) == len(MARK_ROLES)


@pytest.mark.parametrize("role", MARK_ROLES)
def test_a_mark_stays_within_its_square(role: str) -> None:
    drawn = draw_marks([mark(role, "a8")], placement=EMPTY)
    path = ElementTree.fromstring(f"<svg>{drawn}</svg>").findall(".//path")[-1].attrib["d"]
    absolute = re.sub(r"[a-z][^A-Z]*", "", path)  # relative parts bend between absolute points
    values = [float(number) for number in _NUMBER.findall(absolute)]
    assert values
    assert all(0 <= value <= 45 for value in values)


def test_several_marks_on_a_square_are_all_drawn() -> None:
    drawn = draw_marks([mark(role, "e5") for role in MARK_ROLES], placement=EMPTY)
    root = ElementTree.fromstring(f"<svg>{drawn}</svg>")
    assert [group.attrib["data-role"] for group in root] == list(MARK_ROLES)
    assert {group.attrib["transform"] for group in root} == {"translate(180 135)"}


def test_marks_on_squares_lie_under_arrows() -> None:
    drawn = draw_marks([arrow("attack", "c4", "f7"), mark("weak", "f7")], placement=EMPTY)
    roles = re.findall(r'data-role="([a-z]+)"', drawn)
    assert roles == ["weak", "attack"]


@pytest.mark.parametrize("role", ["attack", "check", "threat"])
@pytest.mark.parametrize(("start", "end"), [("a1", "a8"), ("c4", "f7"), ("f3", "e5"), ("d4", "e5")])
def test_an_arrow_stops_short_of_a_ring(role: str, start: str, end: str) -> None:
    drawn = draw_marks([arrow(role, start, end), mark("weak", end)], placement=EMPTY)
    nearest = min(distance(point, middle(end)) for point in lines(drawn, role)[0])
    assert nearest > RING


@pytest.mark.parametrize("role", ["attack", "check", "move", "guard"])
def test_an_arrow_leaves_the_middle_of_its_square_free(role: str) -> None:
    drawn = draw_marks([arrow(role, "c4", "f7")], placement=EMPTY)
    first, *_ = lines(drawn, role)[0]
    assert 10 < distance(first, middle("c4")) < 22.5


@pytest.mark.parametrize(
    ("blocked", "corner"),
    [
        pytest.param(("f4",), "e3", id="one square along"),
        pytest.param(("e3",), "f5", id="two squares up"),
        pytest.param((), "f5", id="nothing in the way"),
    ],
)
def test_a_knights_arrow_turns_on_the_emptier_corner(blocked: tuple[str, ...], corner: str) -> None:
    drawn = draw_marks([arrow("attack", "f3", "e5")], placement=placement("f3", *blocked))
    assert middle(corner) in lines(drawn, "attack")[0]


def test_a_knights_arrow_is_straight_where_men_stand_both_ways() -> None:
    drawn = draw_marks([arrow("move", "f3", "e5")], placement=placement("f3", "f4", "e3"))
    assert len(lines(drawn, "move")[0]) == 2


def test_other_arrows_are_straight() -> None:
    drawn = draw_marks([arrow("move", "c4", "f7")], placement=placement("c4"))
    assert len(lines(drawn, "move")[0]) == 2


def test_a_pin_goes_through_its_man_to_the_one_behind() -> None:
    drawn = draw_marks([arrow("pin", "g4", "f3", "d1")], placement=EMPTY)
    root = ElementTree.fromstring(f"<svg>{drawn}</svg>")
    paths = {path.attrib["class"]: points(path.attrib["d"]) for path in root.iter("path")}
    pegs = paths["m-peg"]
    assert len(pegs) == 4
    assert all(14 < distance(peg, middle("f3")) < 22 for peg in pegs)
    assert min(distance(point, middle("d1")) for point in paths["f-pin"]) < 16
    assert min(distance(point, middle("g4")) for point in paths["m-pin"]) < 16


def test_arrows_between_the_same_squares_lie_side_by_side() -> None:
    drawn = draw_marks(
        [arrow("attack", "a1", "a8"), arrow("move", "a1", "a8"), arrow("check", "a8", "a1")],
        placement=EMPTY,
    )
    columns = {lines(drawn, role)[0][0][0] for role in ("attack", "move", "check")}
    assert columns == {15.5, 22.5, 29.5}


@pytest.mark.parametrize("role", ARROW_ROLES)
def test_a_halo_comes_before_what_it_surrounds(role: str) -> None:
    drawn = draw_marks([sample(role)], placement=EMPTY)
    classes = re.findall(r'class="([a-z-]+)"', drawn)
    assert classes[0] in {"m-h", "m-hw"}


@pytest.mark.parametrize("role", ["attack", "move", "plan", "threat", "check", "guard"])
def test_black_sees_the_same_arrow_turned_round(role: str) -> None:
    whole: dict[Side, list[tuple[float, float]]] = {
        side: lines(
            draw_marks([arrow(role, "b1", "c3")], placement=placement("b2"), seen_from=side), role
        )[0]
        for side in ("white", "black")
    }
    turned = [(360 - x, 360 - y) for x, y in whole["black"]]
    assert turned == [pytest.approx(point, abs=0.11) for point in whole["white"]]


@pytest.mark.parametrize(("is_arrow", "role"), tuple(ROLE_NAMES))
def test_a_legend_picture_is_silent_and_well_formed(is_arrow: bool, role: str) -> None:
    root = ElementTree.fromstring(str(legend_picture(role, is_arrow)))
    assert root.attrib["aria-hidden"] == "true"
    assert not "".join(root.itertext())
    assert {path.attrib["class"] for path in root.iter("path")} <= set(MARK_PAINTS)


def test_the_same_marks_are_the_same_bytes() -> None:
    marks = [sample(role) for role in ARROW_ROLES] + [mark(role, "e4") for role in MARK_ROLES]
    first = draw_marks(marks, placement=EMPTY)
    assert first == draw_marks(marks, placement=EMPTY)
    assert "e-" not in first.replace("e-s", "")  # no power of ten
    assert "-0 " not in first
