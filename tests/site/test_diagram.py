"""Boards as SVG: what stands where, from either side, and nothing that a page could trip over."""

from __future__ import annotations

import re
from typing import Final
from xml.etree import ElementTree

import chess
import pytest

from plybook.board.model import Mark, Position, Side
from plybook.site.drawing.diagram import board_svg, plate_svg, standalone_svg
from plybook.site.drawing.marks import ROLE_NAMES
from plybook.site.drawing.sprite import sprite
from plybook.site.pages.theme import load_theme, theme_names
from site_lines import position_of

SIDES: Final[tuple[Side, ...]] = ("white", "black")
HOSTILE: Final = '"><script>alert(1)</script>&'
#: Every man, both kings castled, some squares empty.
POSITION: Final = position_of(
    chess.Board("r1bq1rk1/ppp2ppp/2n2n2/2bpp1B1/2B1P1b1/2NP1N2/PPP2PPP/R2Q1RK1 w - - 4 9")
)
MARKS: Final = tuple(
    Mark(
        is_arrow=is_arrow,
        role=role,
        squares=(("g4", "f3", "d1") if role == "pin" else ("c4", "f7")) if is_arrow else ("e5",),
    )
    for is_arrow, role in ROLE_NAMES
)


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(re.sub(r' xmlns="[^"]*"', "", svg))


def men_of(svg: str, *, seen_from: Side) -> dict[str, str]:
    """Return the men of a still board by square, read from where they are drawn."""
    found = {}
    for use in parsed(svg).findall(".//g[@class='men']/use"):
        column, row = int(use.attrib["x"]) // 45, int(use.attrib["y"]) // 45
        file, rank = (column, 7 - row) if seen_from == "white" else (7 - column, row)
        kind = use.attrib["href"].removeprefix("#p-")
        letter = kind[1].upper() if kind[0] == "w" else kind[1]
        found[f"{'abcdefgh'[file]}{rank + 1}"] = letter
    return found


@pytest.mark.parametrize("side", SIDES)
def test_every_man_stands_on_its_square(side: Side) -> None:
    svg = board_svg(POSITION, seen_from=side, label="Board")
    board = chess.Board(POSITION.fen)
    expected = {
        chess.square_name(square): piece.symbol() for square, piece in board.piece_map().items()
    }
    assert men_of(svg, seen_from=side) == expected


def test_a_board_from_white_has_a1_below_left() -> None:
    # FIDE Laws of Chess, article 2.1: the corner to the right of a player is white, so the one to
    # the left is dark; diagrams are printed from White's side (common practice).
    svg = board_svg(position_of(chess.Board("7k/8/8/8/8/8/8/R6K w - - 0 1")), label="Board")
    rook = next(use for use in parsed(svg).iter("use") if use.attrib["href"] == "#p-wr")
    assert (rook.attrib["x"], rook.attrib["y"]) == ("0", "315")


def test_the_last_move_leaves_its_traces() -> None:
    svg = board_svg(POSITION, last=("e2", "e4"), label="Board")
    traces = parsed(svg).findall("./g[@class='tr']/use")
    assert [(use.attrib["href"], use.attrib["x"], use.attrib["y"]) for use in traces] == [
        ("#p-lo", "180", "270"),
        ("#p-lt", "180", "180"),
    ]


def test_traces_lie_under_men_and_marks_over_them() -> None:
    svg = board_svg(POSITION, last=("e2", "e4"), marks=MARKS, label="Board")
    assert [group.attrib["class"] for group in parsed(svg).findall("./g")] == ["tr", "men", "mks"]


@pytest.mark.parametrize("side", SIDES)
def test_coordinates_are_those_of_the_side(side: Side) -> None:
    drawings = parsed(str(sprite(load_theme("press").pieces)))
    svg = parsed(board_svg(POSITION, seen_from=side, label="Board"))
    href = next(use.attrib["href"] for use in svg.findall("./use") if "-c" in use.attrib["href"])
    labels = drawings.find(f".//g[@id='{href[1:]}']")
    assert labels is not None
    placed = {
        text.text: (float(text.attrib["x"]), float(text.attrib["y"]))
        for text in labels.iter("text")
    }
    left, right = ("a", "h") if side == "white" else ("h", "a")
    assert placed[left][0] < placed[right][0]
    top, bottom = ("8", "1") if side == "white" else ("1", "8")
    assert placed[top][1] < placed[bottom][1]


def test_coordinates_can_be_left_out() -> None:
    svg = board_svg(POSITION, coordinates=False, label="Board")
    assert "#p-cw" not in svg
    assert parsed(svg).attrib["viewBox"] == "-5 -5 370 370"


def test_a_board_is_a_picture_with_its_label() -> None:
    root = parsed(board_svg(POSITION, label="Board. White to move."))
    assert (root.attrib["role"], root.attrib["aria-label"]) == ("img", "Board. White to move.")


@pytest.mark.parametrize("theme", theme_names())
def test_a_board_uses_only_what_the_sprite_holds(theme: str) -> None:
    drawings = parsed(str(sprite(load_theme(theme).pieces)))
    ids = [element.attrib["id"] for element in drawings.iter() if "id" in element.attrib]
    assert len(ids) == len(set(ids))
    assert all(name.startswith("p-") for name in ids)
    board = board_svg(POSITION, last=("e2", "e4"), marks=MARKS, label="Board")
    plate = plate_svg(POSITION, last=("e2", "e4"), mark_sets={}, label="Board")
    for svg in (board, plate, str(sprite(load_theme(theme).pieces))):
        assert set(re.findall(r'href="#([^"]+)"', svg)) <= set(ids)


def test_a_board_carries_no_id() -> None:
    plate = plate_svg(POSITION, mark_sets={"a@start": (POSITION.placement, MARKS)}, label="Board")
    for svg in (board_svg(POSITION, marks=MARKS, label="Board"), plate):
        assert " id=" not in svg


@pytest.mark.parametrize("theme", theme_names())
def test_no_drawing_needs_what_the_page_forbids(theme: str) -> None:
    pieces = load_theme(theme).pieces
    plate = plate_svg(POSITION, mark_sets={"a@start": (POSITION.placement, MARKS)}, label="Board")
    for svg in (str(sprite(pieces)), board_svg(POSITION, marks=MARKS, label="Board"), plate):
        assert not re.search(r"<style|<script| style=| on\w+=|https?:|data:", svg)


def test_a_label_stays_text() -> None:
    for svg in (
        board_svg(POSITION, label=HOSTILE),
        plate_svg(POSITION, mark_sets={HOSTILE: (POSITION.placement, MARKS)}, label=HOSTILE),
        standalone(POSITION, label=HOSTILE),
    ):
        root = parsed(svg)
        assert HOSTILE in (root.attrib.get("aria-label"), root.findtext("title"))
        assert not root.findall(".//script")


# ------------------------------------------------------------------ the plate


@pytest.mark.parametrize("side", SIDES)
def test_the_plate_names_the_square_of_each_man(side: Side) -> None:
    root = parsed(plate_svg(POSITION, seen_from=side, mark_sets={}, label="Board"))
    for use in root.findall("./g[@class='men']/use"):
        index = int(use.attrib["data-s"])
        man = POSITION.placement[index]
        assert use.attrib["href"] == f"#p-{'w' if man.isupper() else 'b'}{man.lower()}"
        file, rank = index % 8, index // 8
        x, y = (file, 7 - rank) if side == "white" else (7 - file, rank)
        assert use.attrib["transform"] == f"translate({45 * x} {45 * y})"
    assert ("turned" in root.attrib["class"]) == (side == "black")


def test_only_the_marks_of_the_place_are_shown() -> None:
    sets = {
        "trap@5.Nxe5": (POSITION.placement, MARKS[:2]),
        "trap@6.Bxf7": (POSITION.placement, MARKS[2:3]),
        "trap@7.Nd5": (POSITION.placement, ()),
    }
    root = parsed(plate_svg(POSITION, mark_sets=sets, at="trap@6.Bxf7", label="Board"))
    found = [
        (group.attrib["data-at"], group.attrib["class"], group.attrib["data-roles"])
        for group in root.findall("./g[@class='mks']/g")
    ]
    assert found == [
        ("trap@5.Nxe5", "set", "attack guard"),
        ("trap@6.Bxf7", "set on", "pin"),
    ]


# ------------------------------------------------------------------ pictures that stand alone


def standalone(position: Position, *, theme: str = "press", label: str = "Board") -> str:
    found = load_theme(theme)
    return standalone_svg(
        position,
        marks=MARKS,
        last=("e2", "e4"),
        label=label,
        pieces=found.pieces,
        tokens=found.light,
    )


@pytest.mark.parametrize("theme", theme_names())
def test_a_standalone_picture_needs_nothing_else(theme: str) -> None:
    svg = standalone(POSITION, theme=theme)
    root = parsed(svg)
    ids = {element.attrib["id"] for element in root.iter() if "id" in element.attrib}
    assert set(re.findall(r'(?:href="|url\()#([^")]+)', svg)) <= ids
    assert "var(" not in svg
    assert "@" not in svg
    assert not [
        element for element in root.iter() if element.tag == "path" and "class" in element.attrib
    ]


def test_a_standalone_picture_holds_only_the_men_it_shows() -> None:
    svg = standalone(position_of(chess.Board("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1")))
    drawn = {element.attrib["id"] for element in parsed(svg).iter("g") if "id" in element.attrib}
    assert {name for name in drawn if re.fullmatch(r"p-[wb][kqrbnp]", name)} == {
        "p-wk",
        "p-wp",
        "p-bk",
    }


def test_small_pictures_have_heavier_lines() -> None:
    theme = load_theme("press")
    widths = []
    for small in (False, True):
        svg = standalone_svg(
            POSITION, marks=MARKS, label="", small=small, pieces=theme.pieces, tokens=theme.light
        )
        mark = parsed(svg).findall("./g[@data-role='weak']//path")[-1]
        widths.append(float(mark.attrib["stroke-width"]))
    assert widths[0] < widths[1]


@pytest.mark.parametrize("side", SIDES)
def test_the_same_picture_is_the_same_bytes(side: Side) -> None:
    first, second = (
        board_svg(POSITION, seen_from=side, marks=MARKS, last=("e2", "e4"), label="Board")
        for _ in range(2)
    )
    assert first == second


def test_no_theme_brings_an_svg_file() -> None:
    # An SVG file opened by itself is a page that runs scripts: drawings are data in ours.
    for name in theme_names():
        for folder in load_theme(name).template_folders:
            assert not list(folder.parent.rglob("*.svg"))
