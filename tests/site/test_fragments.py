"""Addresses of positions: one for each place, and the same after the line has grown."""

from __future__ import annotations

import re

import chess

from plybook.board.model import Line
from plybook.site.wording.fragments import fragments_of
from site_lines import line_of, random_builders

TRAP = ("e4", "e5", "Nf3", "d6", "Bc4", "Bg4", "Nc3", "g6", "Nxe5", "Bxd1")


def by_moves(line: Line) -> dict[tuple[str, ...], str]:
    """Return the fragment of each place by the moves that lead to it."""
    found = fragments_of(line)
    return {
        tuple(line.plies[index - 1].san for index in line.path(place)): found[place]
        for place in range(len(found))
    }


def test_a_place_of_the_main_line_is_named_by_its_move() -> None:
    assert fragments_of(line_of("e4", "e5", name="open")) == (
        "open@start",
        "open@1.e4",
        "open@1...e5",
    )


def test_a_place_in_a_sideline_is_named_by_the_way_into_it() -> None:
    line = line_of(*TRAP, ("dxe5", "Qxg4", ("d4", "Be6")), "Bxf7+", name="trap")
    assert fragments_of(line)[11:] == (
        "trap@5...dxe5",
        "trap@5...dxe5~6.Qxg4",
        "trap@5...dxe5~6.d4",
        "trap@5...dxe5~6.d4~6...Be6",
        "trap@6.Bxf7",
    )


def test_check_and_mate_signs_do_not_stand_in_an_address() -> None:
    line = line_of("f3", "e5", "g4", "Qh4#", name="fool")
    assert fragments_of(line)[-1] == "fool@2...Qh4"


def test_every_place_of_a_line_has_its_own_fragment() -> None:
    for builder in random_builders(80, seed=9):
        line = builder.line()
        found = fragments_of(line)
        assert len(set(found)) == len(line.plies) + 1


def test_two_variations_that_begin_alike_at_different_depths_stay_apart() -> None:
    line = line_of("e4", ("d4", ("e4", "c5"), "d5"), "e5")
    found = fragments_of(line)
    assert found[3:5] == ("line@1.e4~2", "line@1.e4~2~1...c5")
    assert len(set(found)) == len(found)


def test_a_fragment_needs_no_percent_sign_in_an_address() -> None:
    # RFC 3986, section 3.5: all of these may stand in a fragment
    allowed = re.compile(r"[A-Za-z0-9._~=@-]+")
    for builder in random_builders(40, seed=5):
        assert all(map(allowed.fullmatch, fragments_of(builder.line())))


def test_a_new_sideline_leaves_all_old_fragments_as_they_were() -> None:
    old = by_moves(line_of(*TRAP, ("dxe5", "Qxg4"), "Bxf7+", name="trap"))
    for place in range(len(TRAP)):
        tree: list[object] = []
        board = chess.Board()
        for at, san in enumerate(TRAP):
            other = next(
                board.san(move)
                for move in sorted(board.legal_moves, key=chess.Move.uci)
                if board.san(move) not in {san, "dxe5"}
            )
            board.push_san(san)
            tree.append(san)
            if at == place:
                tree.append((other,))
        new = by_moves(line_of(*tree, ("dxe5", "Qxg4"), "Bxf7+", name="trap"))  # type: ignore[arg-type]  # the tree is built item by item
        assert {moves: new[moves] for moves in old} == old
        assert len(new) == len(old) + 1


def test_a_line_that_grows_at_its_end_keeps_its_fragments() -> None:
    short, long = line_of(*TRAP[:6]), line_of(*TRAP)
    assert fragments_of(long)[:7] == fragments_of(short)
