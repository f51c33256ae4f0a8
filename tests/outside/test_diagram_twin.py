"""Our diagrams against those of python-chess (`chess.svg.board`), man by man, square by square.

The two share no drawing code: ours reads the 64 characters of a placement, the other a board.
Positions: the ends of the recorded chess.js games and the positions of the move-counting tables.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import chess
import chess.svg
import pytest

from plybook.board import Position, read_fen
from plybook.board.model import Side
from plybook.diagnostics import Report, Span
from plybook.site.drawing.diagram import board_svg, plate_svg, standalone_svg
from plybook.site.pages.theme import load_theme
from plybook.text.model import FenText

_HERE: Final = Path(__file__).parent
_SVG: Final = "{http://www.w3.org/2000/svg}"
_MARGIN: Final = 15  # of chess.svg.board, in its units
_SQUARE: Final = 45  # of both

FENS: Final = tuple(
    dict.fromkeys(
        [
            *(row["fen"] for row in json.loads((_HERE / "perft.json").read_text("utf-8"))),
            *(
                game["plies"][-1].split(" ", 2)[2]
                for game in json.loads((_HERE / "chess_js.json").read_text("utf-8"))
            ),
        ]
    )
)
SIDES: Final[tuple[Side, ...]] = ("white", "black")
LAST_MOVES: Final = ("e2e4", "g8f6", "a7a8", "h1a8")

#: A man on a square: its letter, then column and row of the picture, from the upper left corner.
Men = frozenset[tuple[str, int, int]]


def position_of(fen: str) -> Position:
    """Return the position of a FEN that has no fault."""
    position = read_fen(
        FenText(fen=fen, span=Span.of_file("lessons/line.md")), is_partial=False, report=Report()
    )
    assert position is not None
    return position


def our_men(svg: str) -> Men:
    """Return the men of one of our boards."""
    men = set()
    for use in ElementTree.fromstring(svg).iter():
        href = use.get("href", "")
        if use.tag.removeprefix(_SVG) == "use" and re.fullmatch(r"#p-[wb][kqrbnp]", href):
            turned = re.fullmatch(r"translate\((\d+) (\d+)\)", use.get("transform", ""))
            x, y = turned.groups() if turned else (use.get("x", ""), use.get("y", ""))
            letter = href[4].upper() if href[3] == "w" else href[4]
            men.add((letter, int(x) // _SQUARE, int(y) // _SQUARE))
    return frozenset(men)


def their_men(svg: str) -> Men:
    """Return the men of a board of chess.svg."""
    men = set()
    for use in ElementTree.fromstring(svg).iter(f"{_SVG}use"):
        color, name = use.get("href", "#check").removeprefix("#").split("-")
        letter = chess.piece_symbol(chess.PIECE_NAMES.index(name))
        x, y = re.findall(r"\d+", use.get("transform", ""))
        men.add(
            (
                letter.upper() if color == "white" else letter,
                (int(x) - _MARGIN) // _SQUARE,
                (int(y) - _MARGIN) // _SQUARE,
            )
        )
    return frozenset(men)


def their_squares(svg: str, word: str) -> set[tuple[int, int]]:
    """Return column and row of the squares of chess.svg whose class has a word."""
    return {
        (
            (int(square.get("x", "")) - _MARGIN) // _SQUARE,
            (int(square.get("y", "")) - _MARGIN) // _SQUARE,
        )
        for square in ElementTree.fromstring(svg).iter(f"{_SVG}rect")
        if word in square.get("class", "").split()
    }


def squares_of_path(path: str) -> set[tuple[int, int]]:
    """Return column and row of the squares that a path of M, m, h, v and z outlines."""
    found = set()
    x = y = 0
    for move, drawn in re.findall(r"([Mm][^a-zA-Z]+)([^Mm]*)", path):
        over, under = map(int, re.findall(r"-?\d+", move))
        x, y = (x + over, y + under) if move[0] == "m" else (over, under)
        if drawn:
            outline = re.fullmatch(r"h(-?45)v(-?45)h(-?45)z", drawn)
            assert outline is not None, drawn
            right, down, back = map(int, outline.groups())
            assert back == -right
            found.add((min(x, x + right) // _SQUARE, min(y, y + down) // _SQUARE))
    return found


def twin(fen: str, side: Side, *, last: chess.Move | None = None) -> str:
    """Return the picture of chess.svg for a FEN."""
    return chess.svg.board(chess.Board(fen), orientation=side == "white", lastmove=last)


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("fen", FENS, ids=[f"position {at}" for at in range(1, len(FENS) + 1)])
def test_every_man_stands_where_the_twin_has_it(fen: str, side: Side) -> None:
    position = position_of(fen)
    expected = their_men(twin(fen, side))
    assert len(expected) == len(chess.Board(fen).piece_map())
    assert our_men(board_svg(position, seen_from=side, label="")) == expected
    assert our_men(plate_svg(position, seen_from=side, mark_sets={}, label="")) == expected


@pytest.mark.parametrize("side", SIDES)
def test_every_man_of_a_picture_that_stands_alone_is_where_the_twin_has_it(side: Side) -> None:
    theme = load_theme("press")
    for fen in FENS[:7]:
        svg = standalone_svg(
            position_of(fen), seen_from=side, label="", pieces=theme.pieces, tokens=theme.light
        )
        assert our_men(svg) == their_men(twin(fen, side))


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("uci", LAST_MOVES)
def test_the_last_move_is_traced_on_the_squares_of_the_twin(uci: str, side: Side) -> None:
    move = chess.Move.from_uci(uci)
    svg = board_svg(
        position_of(chess.STARTING_FEN), seen_from=side, last=(uci[:2], uci[2:]), label=""
    )
    traced = {
        (int(use.get("x", "")) // _SQUARE, int(use.get("y", "")) // _SQUARE)
        for use in ElementTree.fromstring(svg).iter("use")
        if use.get("href") in {"#p-lo", "#p-lt"}
    }
    assert traced == their_squares(twin(chess.STARTING_FEN, side, last=move), "lastmove")


@pytest.mark.parametrize("side", SIDES)
def test_the_dark_squares_are_those_of_the_twin(side: Side) -> None:
    theme = load_theme("press")
    svg = standalone_svg(
        position_of(chess.STARTING_FEN),
        seen_from=side,
        label="",
        pieces=theme.pieces,
        tokens=theme.light,
    )
    clip = next(ElementTree.fromstring(svg).iter(f"{_SVG}clipPath"))
    path = clip.find(f"{_SVG}path")
    assert path is not None
    assert squares_of_path(path.get("d", "")) == their_squares(
        twin(chess.STARTING_FEN, side), "dark"
    )


def test_a_label_cannot_break_out_of_the_picture() -> None:
    label = '"><script>&'
    svg = board_svg(position_of(chess.STARTING_FEN), label=label)
    root = ElementTree.fromstring(svg)
    assert root.get("aria-label") == label
    assert not list(root.iter("script"))
