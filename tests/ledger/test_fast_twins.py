"""The fast exchange and the fast mate in one say what the slow, obvious ways say."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Final

import chess
import pytest

from plybook.board.exchange import best_capture, exchange_value, with_turn
from plybook.board.ledger.mates import mate_in_one
from plybook.board.ledger.swap import Swap

STARTS: Final = (
    chess.STARTING_FEN,
    "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1",
    "rq2k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1",
    "4k3/P1P1P1P1/8/8/8/8/p1p1p1p1/4K3 b - - 0 20",
    "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
)


def positions(seed: int, *, games: int, every: float) -> Iterator[chess.Board]:
    """Yield positions of games by chance, some of the plies of each."""
    chance = random.Random(seed)
    for at in range(games):
        board = chess.Board(STARTS[at % len(STARTS)])
        for _ in range(80):
            moves = sorted(board.legal_moves, key=chess.Move.uci)
            if not moves:
                break
            captures = [move for move in moves if board.is_capture(move)]
            pick = captures if captures and chance.random() < 0.2 else moves
            board.push(chance.choice(pick))
            if chance.random() < every:
                yield board.copy(stack=False)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("color", [chess.WHITE, chess.BLACK], ids=["white", "black"])
def test_the_men_that_can_be_taken_with_profit_are_those_of_the_slow_exchange(
    seed: int, color: chess.Color
) -> None:
    for board in positions(seed, games=40, every=0.25):
        board.ep_square = None  # no man is taken in passing here
        if with_turn(board, color) is None:
            continue
        slow = {
            square: found[0]
            for square in chess.SquareSet(board.occupied_co[not color])
            if (found := best_capture(board, square)) is not None
        }
        fast = {square: gain for square, (gain, _) in Swap(board).profits(color).items()}
        assert fast == slow, board.fen()


@pytest.mark.parametrize("seed", range(4))
def test_a_capture_is_worth_what_the_slow_exchange_says(seed: int) -> None:
    for board in positions(seed, games=40, every=0.25):
        board.ep_square = None
        swap = Swap(board)
        for move in board.generate_legal_captures():
            if move.promotion in (None, chess.QUEEN):
                is_promotion = move.promotion is not None
                fast = swap.value(move.from_square, move.to_square, is_promotion=is_promotion)
                assert fast == exchange_value(board, move), (board.fen(), move.uci())


@pytest.mark.parametrize(
    ("fen", "uci", "value"),
    [
        ("1k1r4/1pp4p/p7/4p3/8/P5P1/1PP4P/2K1R3 w - - 0 1", "e1e5", 1),
        ("1k1r3q/1ppn3p/p4b2/4p3/8/P2N2P1/1PP1R1BP/2K1Q3 w - - 0 1", "d3e5", -2),
    ],
)
def test_the_published_exchanges_come_out(fen: str, uci: str, value: int) -> None:
    """Two positions that programmers of chess have long shared; the values are from memory."""
    move = chess.Move.from_uci(uci)
    swap = Swap(chess.Board(fen))
    assert swap.value(move.from_square, move.to_square, is_promotion=False) == value


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("color", [chess.WHITE, chess.BLACK], ids=["white", "black"])
def test_a_mate_in_one_is_found_exactly_where_there_is_one(seed: int, color: chess.Color) -> None:
    for board in positions(seed + 50, games=20, every=0.35):
        asked = with_turn(board, color)
        mates = set()
        for move in asked.legal_moves if asked else ():
            assert asked is not None
            after = asked.copy(stack=False)
            after.push(move)
            if after.is_checkmate():
                mates.add(move)
        found = mate_in_one(board, color)
        assert found in mates if mates else found is None, board.fen()


@pytest.mark.parametrize(
    ("fen", "uci"),
    [
        ("8/8/8/8/8/3B1n2/R3B2p/R3K1k1 w Q - 0 1", None),
        ("rn3r2/pbppq1p1/1p2pN2/8/3P2NP/6P1/PPP1BP1R/R3K1k1 w Q - 0 1", "e1c1"),
        ("k7/P7/1K6/8/8/8/8/7R w - - 0 1", "h1h8"),
        ("6k1/4Pppp/8/8/8/8/8/4K3 w - - 0 1", "e7e8q"),
    ],
    ids=["castling does not mate", "castling mates (London 1912)", "rook", "promotion"],
)
def test_every_sort_of_mate_is_seen(fen: str, uci: str | None) -> None:
    found = mate_in_one(chess.Board(fen), chess.WHITE)
    if uci is None:
        assert found is None
    else:
        board = chess.Board(fen)
        assert found is not None
        board.push(found)
        assert board.is_checkmate()
        forced = chess.Board(fen)
        forced.push_uci(uci)
        assert forced.is_checkmate()
