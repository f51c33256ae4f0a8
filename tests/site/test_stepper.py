"""The stepping string: what a browser reads back is what python-chess has on the board."""

from __future__ import annotations

import json

import pytest

from plybook.site.wording.stepper import SQUARE_SIGNS, encode_moves, json_for_script, read_moves
from site_lines import Builder, line_of, placement_of, random_builders


def assert_same_boards(builder: Builder) -> None:
    line = builder.line()
    placements, parents = read_moves(line.start.placement, encode_moves(line))
    assert placements == tuple(placement_of(board) for board in builder.boards)
    assert parents == (-1, *(ply.parent for ply in line.plies))


def test_every_place_of_random_trees_reads_back_as_the_board_of_python_chess() -> None:
    plies = 0
    kinds: set[str] = set()
    for builder in random_builders(100, seed=64):
        assert_same_boards(builder)
        plies += len(builder.plies)
        kinds |= {"castling" for ply in builder.plies if ply.rook}
        kinds |= {"promotion" for ply in builder.plies if ply.promotion}
        kinds |= {
            "in passing"
            for ply in builder.plies
            if ply.captured_on and ply.captured_on != ply.target
        }
    assert plies > 3000
    assert kinds == {"castling", "promotion", "in passing"}


@pytest.mark.parametrize(
    ("tree", "expected"),
    [
        pytest.param(("e4", "e5"), "Mc0k", id="two plies"),
        pytest.param(("e4", ("d4", "d5"), "e5"), "Mc(Lbzj)0k", id="a variation"),
        pytest.param(("e4", ("d4", ("c4",)), "e5"), "Mc(Lb(Ka))0k", id="nested at its first ply"),
        pytest.param(("e4", ("d4",), ("c4",)), "Mc(Lb)(Ka)", id="two at one ply"),
    ],
)
def test_brackets_stand_behind_the_ply_they_replace(tree: tuple[str, ...], expected: str) -> None:
    # squares counted by hand: a1 is A, h1 is H, a2 is I, a4 is Y, e4 is c, e5 is k, e7 is 0
    assert encode_moves(line_of(*tree)) == expected


@pytest.mark.parametrize(
    ("fen", "move", "suffix"),
    [
        pytest.param("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "O-O", "+HF", id="short"),
        pytest.param("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "O-O-O", "+AD", id="long"),
        pytest.param("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 2", "exd6", "!j", id="in passing"),
        pytest.param("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", "a8=Q+", "=Q", id="white queen"),
        pytest.param("4k3/8/8/8/8/8/p7/4K3 b - - 0 1", "a1=N", "=n", id="black knight"),
        pytest.param("4k3/8/8/3p4/4P3/8/8/4K3 w - - 0 2", "exd5", "", id="plain capture"),
    ],
)
def test_a_suffix_stands_only_where_a_second_man_is_concerned(
    fen: str, move: str, suffix: str
) -> None:
    assert encode_moves(line_of(move, fen=fen))[2:] == suffix


def test_squares_are_64_signs_that_need_no_escape_in_html_or_json() -> None:
    assert len(set(SQUARE_SIGNS)) == 64
    assert not set(SQUARE_SIGNS) & set("&<>\"'\\()+!=")


def test_json_in_a_script_element_cannot_end_it_or_open_a_comment() -> None:
    value = {"text": "</script><!--&\u2028é", "n": 1}
    text = json_for_script(value)
    assert not set(text) & set("<>&\u2028é")
    assert json.loads(text) == value


def test_json_refuses_what_no_browser_reads() -> None:
    with pytest.raises(ValueError, match="Out of range float"):
        json_for_script(float("nan"))
