"""What is found of exercises against a slow, obvious twin, on hundreds of small positions."""

from __future__ import annotations

import chess
import pytest

from claims.claim_positions import few_men, hunted
from claims.twins import afters, mated_within, mates_within, standing, value
from exercises.exercise_stand import codes, request_of, rights, solve


def said(board: chess.Board, move: chess.Move) -> str:
    """Return a move as movetext."""
    dots = "." if board.turn else "..."
    return f"{board.fullmove_number}{dots} {board.san(move)}"


def pairs(board: chess.Board) -> list[tuple[chess.Move, chess.Board]]:
    """Return every legal move with the position after it."""
    return list(zip(board.legal_moves, afters(board), strict=True))


def without_rook_twins(keys: list[chess.Move], answer: chess.Move) -> list[chess.Move]:
    """Return the keys that are another solution: a promotion to rook beside one to queen is not."""
    return [
        key
        for key in keys
        if key != answer
        and not (
            (key.from_square, key.to_square) == (answer.from_square, answer.to_square)
            and {key.promotion, answer.promotion} == {chess.QUEEN, chess.ROOK}
        )
    ]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("moves", [1, 2])
def test_mates_short_solutions_and_cooks(moves: int, seed: int) -> None:
    tested = 0
    for board in hunted(120 if moves == 1 else 14, seed=20 + seed):
        keys = [move for move, after in pairs(board) if mated_within(after, moves - 1)]
        if not keys:
            continue
        tested += 1
        answer = keys[0]
        if moves > 1 and mates_within(board, moves - 1):
            expected = "exercise-short"
        elif without_rook_twins(keys, answer):
            expected = "exercise-cooked"
        else:
            expected = ""
        solved = solve(request_of(f"only mate in {moves}", said(board, answer), fen=board.fen()))
        assert codes(solved) == [expected] * bool(expected), board.fen()
        assert rights(solved.turns[0]) == sorted(map(board.san, keys))
    assert tested


@pytest.mark.parametrize("seed", range(4))
def test_answers_that_do_not_mate_fail(seed: int) -> None:
    for board in hunted(4, seed=40 + seed):
        for move, after in pairs(board)[:6]:
            solved = solve(request_of("mate in 1", said(board, move), fen=board.fen()))
            assert ("answer-fails" in codes(solved)) != after.is_checkmate(), board.fen()


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("depth", [1, 2])
def test_wins_and_second_wins(depth: int, seed: int) -> None:
    """A move wins when the material after the worst reply, to the depth, is as much more."""
    for board in few_men(8 if depth == 1 else 3, seed=60 + seed, men=(2, 3)):
        if not any(board.legal_moves):
            continue
        level = standing(board, chess.WHITE)
        target = standing(board, board.turn) + 2
        winning = [move for move, after in pairs(board) if -value(after, depth, level) >= target]
        answer = next(iter(winning or board.legal_moves))
        solved = solve(
            request_of(f"only wins 2, depth {depth}", said(board, answer), fen=board.fen())
        )
        cooked = ["exercise-cooked"] * (len(winning) > 1)
        expected = cooked if winning else ["answer-fails"]
        assert codes(solved) == expected, board.fen()
        if winning:
            assert rights(solved.turns[0]) == sorted(map(board.san, winning))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("moves", [1, 2])
def test_defences_against_mates(moves: int, seed: int) -> None:
    for board in hunted(16 // moves**2, seed=80 + seed):
        board.turn = not board.turn
        if not board.is_valid() or not any(board.legal_moves):
            continue
        holding = [move for move, after in pairs(board) if not mates_within(after, moves)]
        answer = next(iter(holding or board.legal_moves))
        request = request_of(
            f"only move against mate in {moves}", said(board, answer), fen=board.fen()
        )
        solved = solve(request)
        threat = board.copy(stack=False)
        threat.turn = not threat.turn
        if not board.is_check() and not mates_within(threat, moves):
            assert [one.message for one in solved.findings] == [
                f"no mate in {moves} is threatened here"
            ]
        elif not holding:
            assert codes(solved) == ["answer-fails"]
        else:
            assert codes(solved) == ["exercise-cooked"] * (len(holding) > 1), board.fen()
            assert rights(solved.turns[0]) == sorted(map(board.san, holding))
