"""Positions: equal keys for equal positions, FENs refused for their own reason, places opened."""

from __future__ import annotations

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import FILE, board_of, play, steady
from plybook.board import START, Position, open_place, read_fen
from plybook.board.positions import position_key, position_of
from plybook.diagnostics import Diagnostic, Report, Span
from plybook.text.model import FenText
from text.trees import Move, trees, write


def read(fen: str, *, is_partial: bool = False) -> tuple[Position | None, tuple[Diagnostic, ...]]:
    report = Report()
    text = FenText(fen=fen, span=Span.of_file(FILE))
    return read_fen(text, is_partial=is_partial, report=report), report.sorted()


# ---------------------------------------------------------------------- keys


@steady(40)
@given(st.lists(st.integers(0, 1000), max_size=60), st.sampled_from([0, 1, 2]))
def test_keys_are_equal_where_positions_are_the_same_by_the_laws(
    choices: list[int], start: int
) -> None:
    """Against the library's own key of a position (Laws of Chess, article 9.2.3)."""
    fens = (
        chess.STARTING_FEN,
        "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1",
        "4k3/2p1p3/8/1P1P1P2/1p1p1p2/8/2P1P3/4K3 w - - 0 1",
    )
    board = chess.Board(fens[start])
    by_key: dict[bytes, object] = {}
    by_twin: dict[object, bytes] = {}
    for choice in choices:
        legal = sorted(board.legal_moves, key=chess.Move.uci)
        if not legal:
            break
        board.push(legal[choice % len(legal)])
        key, twin = position_key(board), board._transposition_key()
        assert by_key.setdefault(key, twin) == twin
        assert by_twin.setdefault(twin, key) == key


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("e4 e5 Nf3 Nc6", "Nf3 Nc6 e4 e5", True),
        ("e4 e5 Nf3 Nc6", "e4 e5 Nf3 Nf6", False),
        ("Nf3 Nf6 Ng1 Ng8", "", True),
        ("e4 e5 Ke2 Ke7 Ke1 Ke8", "e4 e5", False),
        ("e3 e5 e4", "e4 e5", False),
        ("e4 a6 e5 d5", "e4 d6 e5 d5 a3 a6", False),
    ],
    ids=["transposed", "men", "clocks", "castling", "turn", "en-passant"],
)
def test_what_makes_two_positions_the_same(one: str, other: str, same: bool) -> None:
    """Laws of Chess, article 9.2.3: men, side to move, castling and en passant; no clock."""
    assert (position_key(board_of(one)) == position_key(board_of(other))) is same


def test_an_en_passant_square_counts_only_where_a_capture_is_legal() -> None:
    bare, pinned = "4k3/8/8/8/3p4/8/4P3/4K3 w - - 0 1", "8/8/8/8/k2p3R/8/4P3/4K3 w - - 0 1"
    for fen, is_legal in ((bare, True), (pinned, False)):
        played = board_of("e4", fen=fen)
        without = chess.Board(played.fen())
        without.ep_square = None
        assert played.has_legal_en_passant() is is_legal
        assert (position_key(played) != position_key(without)) is is_legal


# ---------------------------------------------------------------------- FEN


def test_a_position_is_written_square_by_square_from_a1() -> None:
    assert START.placement[:8] == "RNBQKBNR"
    assert START.placement[56:] == "rnbqkbnr"
    assert START.placement[chess.E2] == "P"
    assert START.placement[chess.E4] == "."


@pytest.mark.parametrize(
    ("fen", "words"),
    [
        ("8/8/8/8/8/8/8/4K3 w - - 0 1", "Black has no king"),
        ("4k3/8/8/8/8/8/8/8 w - - 0 1", "White has no king"),
        ("4k3/8/8/8/8/8/8/2K1K3 w - - 0 1", "more than one king"),
        ("4k3/8/8/8/8/P7/PPPPPPPP/4K3 w - - 0 1", "White has more than eight pawns"),
        ("4k3/pppppppp/p7/8/8/8/8/4K3 w - - 0 1", "Black has more than eight pawns"),
        ("P3k3/8/8/8/8/8/8/4K3 w - - 0 1", "first or the last rank"),
        ("4k3/8/8/8/8/QQQQ4/QQQQQQQQ/QQQQK3 b - - 0 1", "White has more than sixteen men"),
        ("4k3/8/8/8/8/8/8/4K3 w K - 0 1", "castling right without its king and rook"),
        ("4k3/8/8/8/8/8/8/4K3 w - e6 0 1", "no pawn that just passed it"),
        ("4k3/8/8/8/8/8/8/4RK2 w - - 0 1", "the side that is not to move stands in check"),
        ("8/8/8/8/8/8/8/8 w - - 0 1", "the board is empty"),
        ("4k3/8/3N1N2/8/8/4R3/8/4K3 b - - 0 1", "more checks at once"),
        ("4r3/8/8/8/4K3/8/8/4r2k w - - 0 1", "checks that no last move can have given"),
    ],
)
def test_a_position_that_cannot_be_played_on_is_refused_for_its_own_reason(
    fen: str, words: str
) -> None:
    position, (found,) = read(fen)
    assert position is None
    assert found.code == "impossible-position"
    assert words in f"{found.message} {found.notes}"


@pytest.mark.parametrize(
    "fen",
    [
        "4k3/8/8/8/8/8/8/4K3 w - -",
        "4k3/8/8/8/8/8/8/4K3 w - - 0 1 x",
        "4k3/8/8/8/8/8/8 w - - 0 1",
        "4k4/8/8/8/8/8/8/4K3 w - - 0 1",
        "4k3/8/8/8/8/8/8/4S3 w - - 0 1",
        "4k3/8/8/8/8/8/8/4K3 x - - 0 1",
        "4k3/8/8/8/8/8/8/4K3 w KX - 0 1",
        "4k3/8/8/8/8/8/8/4K3 w - e9 0 1",
        "4k3/8/8/8/8/8/8/4K3 w - - x 1",
        "4k3/8/8/8/8/8/8/4K3 w - - 0 -1",
    ],
)
def test_a_text_that_is_no_fen_is_refused(fen: str) -> None:
    position, (found,) = read(fen)
    assert position is None
    assert found.code == "bad-fen"


@pytest.mark.parametrize(
    ("men", "told"),
    [
        ("4k3/8/8/8/8/8/5PP/4K3", "rank 2, `5PP`, has 7 squares"),
        ("4k3p/8/8/8/8/8/8/4K3", "rank 8, `4k3p`, has 9 squares"),
        ("4k3/8/8/44/8/8/8/4K3", "rank 5, `44`, has two numbers in a row: `44`"),
        ("4k3/8/8/8/8/8/8/4S3", "rank 1, `4S3`, holds `S`"),
        ("4k3/8/8/8//8/8/4K3", "rank 4, ``, has 0 squares"),
        ("4k3/8/8/8/8/8/4K3", "it has 7 ranks, not 8"),
    ],
)
def test_the_rank_that_is_at_fault_is_named(men: str, told: str) -> None:
    _, (found,) = read(f"{men} w - - 0 1")
    assert found.message == f"not a FEN: {told}"


@pytest.mark.parametrize(
    "fen",
    [
        "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
        "rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq e3 0 1",
        "rnbqkbnr/pp1ppppp/8/2p5/4P3/8/PPPP1PPP/RNBQKBNR w KQkq c6 0 2",
        "rnbqkbnr/pp1ppppp/8/2p5/4P3/5N2/PPPP1PPP/RNBQKB1R b KQkq - 1 2",
        "4k3/8/8/8/8/8/4P3/4K3 w - - 5 39",
    ],
)
def test_the_standards_own_examples_are_read(fen: str) -> None:
    """PGN standard (1994-03-12), section 16.1.4, which writes e3 though no pawn can take there."""
    position, found = read(fen)
    assert not found
    assert position is not None
    assert position.key == position_key(chess.Board(fen))


# ---------------------------------------------------------------------- partial boards


def test_a_partial_board_needs_no_kings() -> None:
    position, found = read("8/8/8/3N4/8/8/8/8 w - - 0 1", is_partial=True)
    assert not found
    assert position is not None
    assert (position.placement[chess.D5], position.outcome) == ("N", "")


def test_a_partial_board_is_never_played_on() -> None:
    line, (found,) = play("1. Nf4", fen="8/8/8/3N4/8/8/8/8 w - - 0 1", is_partial=True)
    assert found.code == "partial-position"
    assert not line.plies
    assert not line.is_whole


# ---------------------------------------------------------------------- places of a line


@steady(25)
@given(trees())
def test_each_place_of_a_line_is_the_position_after_its_moves(tree: tuple[str, list[Move]]) -> None:
    fen, moves = tree
    line, _ = play(write(fen, moves), fen=fen)
    assert open_place(line, 0) == line.start
    for ply in line.plies:
        sans = " ".join(line.plies[at - 1].san for at in line.path(ply.index))
        board = board_of(sans, fen=fen)
        assert open_place(line, ply.index) == position_of(board)
        assert ply.key == line.key(ply.index) == position_key(board)


@steady(25)
@given(trees())
def test_the_places_of_a_line_form_one_tree(tree: tuple[str, list[Move]]) -> None:
    line, _ = play(write(*tree), fen=tree[0])
    places = range(len(line.plies) + 1)
    assert sorted(child for place in places for child in line.children(place)) == list(places)[1:]
    for place in places:
        depths = [line.plies[child - 1].depth for child in line.children(place)]
        assert depths[:1] == sorted(depths)[:1], "the continuation comes before what replaces it"
        assert line.path(place)[-1:] == ((place,) if place else ())
    assert [ply.san for ply in line.main()] == [move.san for move in tree[1]]
