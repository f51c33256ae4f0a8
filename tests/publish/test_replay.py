"""The second opinion on published moves, against python-chess played in the plain way."""

from __future__ import annotations

import random

import chess
import pytest

from plybook.board.replay import IllegalStepError, Step, replay


def squares(board: chess.Board) -> str:
    return "".join(
        piece.symbol() if (piece := board.piece_at(square)) else "." for square in chess.SQUARES
    )


def step(parent: int, uci: str, rook: str | None = None) -> Step:
    move = chess.Move.from_uci(uci)
    return Step(
        parent,
        move.from_square,
        move.to_square,
        "" if move.promotion is None else chess.piece_symbol(move.promotion).upper(),
        None if rook is None else chess.parse_square(rook),
    )


def test_a_variation_starts_before_the_ply_it_replaces() -> None:
    steps = [
        step(0, "e2e4"),
        step(1, "e7e5"),
        step(1, "c7c5"),
        step(3, "g1f3"),
        step(2, "f1c4"),
        step(0, "d2d4"),
    ]
    found = replay(chess.STARTING_FEN, steps)
    lines = ["", "e4", "e4 e5", "e4 c5", "e4 c5 Nf3", "e4 e5 Bc4", "d4"]
    for placement, line in zip(found, lines, strict=True):
        board = chess.Board()
        for san in line.split():
            board.push_san(san)
        assert placement == squares(board)


@pytest.mark.parametrize(
    ("fen", "move", "expected"),
    [
        ("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", step(0, "e1g1", "h1"), "r3k2r/8/8/8/8/8/8/R4RK1"),
        ("r3k2r/8/8/8/8/8/8/R3K2R b KQkq - 0 1", step(0, "e8c8", "a8"), "2kr3r/8/8/8/8/8/8/R3K2R"),
        # Chess960: the king stays where it is, and then changes places with the rook.
        (
            "4k3/8/8/8/8/8/8/6KR w H - 0 1",
            Step(0, chess.G1, chess.G1, rook=chess.H1),
            "4k3/8/8/8/8/8/8/5RK1",
        ),
        (
            "4k3/8/8/8/8/8/8/5KR1 w G - 0 1",
            Step(0, chess.F1, chess.G1, rook=chess.G1),
            "4k3/8/8/8/8/8/8/5RK1",
        ),
        ("4k3/8/8/8/4pP2/8/8/4K3 b - f3 0 1", step(0, "e4f3"), "4k3/8/8/8/8/5p2/8/4K3"),
        ("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", step(0, "a7a8n"), "N3k3/8/8/8/8/8/8/4K3"),
        ("1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", step(0, "a7b8q"), "1Q2k3/8/8/8/8/8/8/4K3"),
    ],
)
def test_special_moves_move_what_the_laws_say(fen: str, move: Step, expected: str) -> None:
    assert replay(fen, [move])[1] == squares(chess.Board(f"{expected} w - - 0 1"))


@pytest.mark.parametrize(
    ("fen", "move"),
    [
        (chess.STARTING_FEN, step(0, "e2e5")),
        (chess.STARTING_FEN, step(0, "e7e5")),
        (chess.STARTING_FEN, step(0, "e3e4")),
        (chess.STARTING_FEN, step(0, "e1g1", "h1")),
        ("r3k2r/8/8/8/8/8/8/R3K2R w Qkq - 0 1", step(0, "e1g1", "h1")),
        ("r3k2r/8/8/8/5r2/8/8/R3K2R w KQkq - 0 1", step(0, "e1g1", "h1")),
        ("4k3/8/8/8/4pP2/8/8/4K3 b - - 0 1", step(0, "e4f3")),
        ("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", step(0, "a7a8")),
        ("4k3/8/8/8/1b6/8/3N4/4K3 w - - 0 1", step(0, "d2f3")),
    ],
)
def test_an_illegal_move_is_named_with_its_place(fen: str, move: Step) -> None:
    with pytest.raises(IllegalStepError, match="is illegal") as refusal:
        replay(fen, [move])
    assert refusal.value.place == 1


def test_a_place_cannot_come_from_a_later_one() -> None:
    with pytest.raises(ValueError, match="not before it"):
        replay(chess.STARTING_FEN, [step(1, "e2e4")])


def test_random_trees_give_the_boards_that_plain_play_gives() -> None:
    chance = random.Random(5)
    for _ in range(40):
        boards = [chess.Board()]
        steps: list[Step] = []
        for _ in range(60):
            # Mostly on from the last place, now and then from any.
            parent = len(boards) - 1 if chance.random() < 0.8 else chance.randrange(len(boards))
            board = boards[parent].copy()
            legal = sorted(board.legal_moves, key=chess.Move.uci)
            if not legal:
                continue
            move = chance.choice([m for m in legal if board.is_castling(m)] or legal)
            rook = None
            if board.is_castling(move):
                rook = chess.square_name(move.from_square + (3 if move.to_square % 8 == 6 else -4))
            steps.append(step(parent, move.uci(), rook))
            board.push(move)
            boards.append(board)
        assert replay(chess.STARTING_FEN, steps) == tuple(squares(board) for board in boards)
