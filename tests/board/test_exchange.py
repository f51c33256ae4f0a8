"""Exchanges and pins, against slow twins that look at every capture."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import board_of, steady
from plybook.board.exchange import VALUES, best_capture, exchange_value, with_turn
from plybook.board.pins import find_pin

#: A handful of men around one square, so that captures on it are common.
MEN = st.lists(
    st.tuples(st.sampled_from(chess.SQUARES), st.sampled_from("PNBRQpnbrqPpRr")), max_size=12
)


def board_from(men: list[tuple[int, str]], *, turn: bool, kings: tuple[int, int]) -> chess.Board:
    board = chess.Board(None)
    board.turn = turn
    for square, symbol in men:
        if symbol not in "Pp" or 0 < chess.square_rank(square) < 7:
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    board.set_piece_at(kings[0], chess.Piece(chess.KING, chess.WHITE))
    board.set_piece_at(kings[1], chess.Piece(chess.KING, chess.BLACK))
    return board


BOARDS = st.builds(
    board_from,
    MEN,
    turn=st.booleans(),
    kings=st.sampled_from([(chess.G1, chess.G8), (chess.E3, chess.E6), (chess.A1, chess.H8)]),
).filter(chess.Board.is_valid)


#: Men that all bear on d5, directly or through one another, around a man that stands there.
CLASHES = st.builds(
    board_from,
    st.lists(
        st.sampled_from(
            [
                *((square, man) for square in (chess.D1, chess.D2, chess.D8) for man in "RrQq"),
                *((square, man) for square in (chess.G2, chess.F3, chess.B7) for man in "BbQq"),
                *((square, man) for square in (chess.C3, chess.F4, chess.F6) for man in "Nn"),
                *((square, man) for square in (chess.C4, chess.E4) for man in "PB"),
                *((square, man) for square in (chess.C6, chess.E6) for man in "pb"),
            ]
        ),
        min_size=4,
        max_size=7,
        unique_by=lambda pair: pair[0],
    ).map(lambda men: [*men, (chess.D5, "p")]),
    turn=st.just(chess.WHITE),
    kings=st.just((chess.H1, chess.H8)),
).filter(chess.Board.is_valid)


def slow_value(board: chess.Board, move: chess.Move) -> int:
    """Return what a capture wins, in balances of material: no memory, no generator masks."""

    def balance(position: chess.Board, side: bool) -> int:
        return sum(
            VALUES[man.piece_type] * (1 if man.color == side else -1)
            for man in position.piece_map().values()
        )

    def best(position: chess.Board, side: bool) -> int:
        scores = [balance(position, side)]
        for reply in list(position.legal_moves):
            if reply.to_square == move.to_square and position.is_capture(reply):
                position.push(reply)
                scores.append(-best(position, not side))
                position.pop()
        return max(scores)

    twin = board.copy()
    side = board.turn
    twin.push(move)
    return -best(twin, not side) - balance(board, side)


@steady(120)
@given(BOARDS | CLASHES)
def test_an_exchange_is_worth_what_all_captures_on_its_square_make_it(board: chess.Board) -> None:
    for move in board.generate_legal_captures():
        assert exchange_value(board, move) == slow_value(board, move), board.san(move)


@pytest.mark.parametrize(
    ("fen", "san", "value"),
    [
        ("1k1r4/1pp4p/p7/4p3/8/P5P1/1PP4P/2K1R3 w - - 0 1", "Rxe5", 1),
        ("1k1r3q/1ppn3p/p4b2/4p3/8/P2N2P1/1PP1R1BP/2K1Q3 w - - 0 1", "Nxe5", -2),
        ("4k3/8/8/3p4/4P3/8/8/4K3 w - - 0 1", "exd5", 1),
        ("3rk3/P7/8/8/8/8/8/4K3 w - - 0 1", "a8=Q", 8 - 9),
        ("1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", "axb8=Q+", 5 + 8),
        ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "exd6", 1),
        ("4k3/2p5/8/3pP3/8/8/8/4K3 w - d6 0 1", "exd6", 0),
        ("4k3/4r3/8/8/8/2n5/4B3/4KR2 b - - 0 1", "Nxe2", 3),
    ],
    ids=[
        "rook",
        "knight",
        "free",
        "promoted",
        "taken-and-promoted",
        "passing",
        "retaken",
        "king-may-not",
    ],
)
def test_an_exchange_has_its_published_or_counted_value(fen: str, san: str, value: int) -> None:
    """The first two positions and their values are from memory; the others are counted by hand.
    A new queen adds eight; where the rook takes it at once, nine are gone.
    """
    board = chess.Board(fen)
    assert exchange_value(board, board.parse_san(san)) == value


def test_nine_men_around_a_square_are_counted_in_few_looks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Without a memory there are hundreds of thousands of looks, and a coach waits."""
    looks = []
    generate = chess.Board.generate_legal_moves

    def look(board: chess.Board, *masks: chess.Bitboard) -> Iterator[chess.Move]:
        looks.append(board)
        return generate(board, *masks)

    monkeypatch.setattr(chess.Board, "generate_legal_moves", look)
    board = chess.Board("3q2k1/1b1r4/2p1pn2/3p1b2/2P1P3/2N1N3/3R2B1/3Q3K w - - 0 1")
    found = best_capture(board, chess.D5)
    assert found is not None
    assert found[0] == 1
    assert len(looks) < 10_000


def test_a_pass_loses_the_en_passant_right_and_needs_a_king_out_of_check() -> None:
    board = board_of("e4 a6 e5 d5")
    turned = with_turn(board, chess.BLACK)
    assert turned is not None
    assert turned.ep_square is None
    assert board.ep_square == chess.D6
    assert with_turn(board, chess.WHITE) is board
    assert with_turn(board_of("f3 e5 g4 Qh4#"), chess.BLACK) is None


# ---------------------------------------------------------------------- pins

LINES = {
    chess.BISHOP: (9, 7, -7, -9),
    chess.ROOK: (8, 1, -1, -8),
    chess.QUEEN: (9, 7, -7, -9, 8, 1, -1, -8),
}


def slow_pin(board: chess.Board, squares: tuple[int, int, int]) -> bool:
    """Walk from the pinner: the first man met is pinned, the second one stands behind it."""
    pinner, pinned, behind = squares
    man = board.piece_at(pinner)
    if man is None or man.piece_type not in LINES:
        return False
    for step in LINES[man.piece_type]:
        met, at = [], pinner
        while 0 <= at + step < 64 and chess.square_distance(at, at + step) == 1:
            at += step
            if board.piece_at(at):
                met.append(at)
        if met[:2] != [pinned, behind]:
            continue
        front, back = board.piece_at(pinned), board.piece_at(behind)
        assert front is not None
        assert back is not None
        if man.color in (front.color, back.color):
            return False
        if back.piece_type == chess.KING:
            return True
        if VALUES[back.piece_type] <= VALUES[front.piece_type]:
            return False
        bare = board.copy()
        bare.remove_piece_at(pinned)
        bare.turn, bare.ep_square = man.color, None
        king = bare.king(not man.color)
        assert king is not None
        if bare.is_attacked_by(man.color, king):
            return False
        move = chess.Move(pinner, behind)
        return bare.is_legal(move) and slow_value(bare, move) > 0
    return False


@steady(80)
@given(BOARDS)
def test_a_pin_is_what_a_walk_along_the_line_finds(board: chess.Board) -> None:
    men = [square for square in board.piece_map() if board.piece_type_at(square) in LINES]
    others = list(board.piece_map())
    for pinner in men:
        near = [square for square in others if chess.ray(pinner, square)]
        for pinned, behind in permutations(near, 2):
            squares = (pinner, pinned, behind)
            pin = find_pin(board, *squares)
            assert (pin is not None) == slow_pin(board, squares), [*map(chess.square_name, squares)]
            if pin:
                assert pin.is_absolute == (board.piece_type_at(behind) == chess.KING)
                assert pin.is_absolute == (pin.worth == 0)


def test_the_pins_of_known_lines_are_found_with_their_worth() -> None:
    legal = board_of("e4 e5 Nf3 d6 Bc4 Bg4 Nc3 g6")
    pin = find_pin(legal, chess.G4, chess.F3, chess.D1)
    assert pin is not None
    assert (pin.is_absolute, pin.worth) == (False, 6)
    french = board_of("e4 e6 d4 d5 Nc3 Bb4")
    pin = find_pin(french, chess.B4, chess.C3, chess.E1)
    assert pin is not None
    assert pin.is_absolute


@pytest.mark.parametrize(
    ("fen", "is_pin"),
    [
        ("4k3/8/8/b7/8/2R5/8/K3Q3 w - - 0 1", True),
        ("4k3/8/8/b7/8/2R5/8/K3R3 w - - 0 1", False),
        ("4k3/8/8/b7/8/2Q5/8/K3R3 w - - 0 1", False),
        ("4k3/8/8/b7/1p6/2R5/8/K3Q3 w - - 0 1", False),
    ],
    ids=["worth-more", "equal", "skewer", "screened"],
)
def test_a_man_is_pinned_only_to_a_man_worth_more(fen: str, is_pin: bool) -> None:
    pin = find_pin(chess.Board(fen), chess.A5, chess.C3, chess.E1)
    assert (pin is not None) is is_pin
