"""Problems and games with published solutions: sound as they are, caught when they are cooked.

Morphy's problem, the Saavedra study and the game scores are from memory of common chess
literature; every solution is proved again here.
"""

from __future__ import annotations

from typing import Final

import chess
import pytest

from exercises.exercise_stand import codes, request_of, rights, solve

#: Paul Morphy, mate in two, 1856. The key is 1.Ra6.
MORPHY: Final = "kbK5/pp6/1P6/8/8/8/8/R7 w - - 0 1"
#: The end of the Saavedra position (1895): 6.c8=R! wins, 6.c8=Q? Rc4+ is a draw by stalemate.
SAAVEDRA: Final = "8/2P5/8/8/3r4/8/2K5/k7 w - - 0 6"


def after(moves: str) -> str:
    """Return the position after moves from the start."""
    board = chess.Board()
    for san in moves.split():
        board.push_san(san.split(".")[-1])
    return board.fen()


PARIS: Final = after(
    "1.e4 e5 2.Nf3 d6 3.d4 Bg4 4.dxe5 Bxf3 5.Qxf3 dxe5 6.Bc4 Nf6 7.Qb3 Qe7 8.Nc3 c6 9.Bg5 b5"
    " 10.Nxb5 cxb5 11.Bxb5+ Nbd7 12.O-O-O Rd8 13.Rxd7 Rxd7 14.Rd1 Qe6 15.Bxd7+ Nxd7"
)
VIENNA: Final = after(
    "1.e4 c6 2.d4 d5 3.Nc3 dxe4 4.Nxe4 Nf6 5.Qd3 e5 6.dxe5 Qa5+ 7.Bd2 Qxe5 8.O-O-O Nxe4"
)
LEGAL: Final = after("1.e4 e5 2.Nf3 d6 3.Bc4 Bg4 4.Nc3 g6 5.Nxe5 Bxd1")
DUTCH: Final = after("1.d4 f5 2.Bg5 h6 3.Bh4 g5 4.Bg3 f4 5.e3 h5 6.Bd3 Rh6")
DAMIANO: Final = after("1.e4 e5 2.Nf3 f6 3.Nxe5 fxe5")


@pytest.mark.parametrize(
    ("fen", "check", "answer"),
    [
        pytest.param(MORPHY, "only mate in 2", "1. Ra6", id="Morphy 1856"),
        pytest.param(PARIS, "only mate in 2", "16. Qb8+ Nxb8 17. Rd8#", id="Paris 1858"),
        pytest.param(
            VIENNA, "only mate in 3", "9. Qd8+ Kxd8 10. Bg5+ Kc7 11. Bd8#", id="Vienna 1910"
        ),
        pytest.param(LEGAL, "only mate in 2", "6. Bxf7+ Ke7 7. Nd5#", id="Legal"),
        pytest.param(DUTCH, "only mate in 2", "7. Qxh5+ Rxh5 8. Bg6#", id="the Dutch trap"),
        pytest.param(DAMIANO, "only wins 1, depth 3", "4. Qh5+", id="Damiano"),
        pytest.param(SAAVEDRA, "only wins 8, depth 4", "6. c8=R Ra4 7. Kb3", id="Saavedra"),
    ],
)
def test_a_published_solution_is_the_only_one(fen: str, check: str, answer: str) -> None:
    solved = solve(request_of(check, answer, fen=fen))
    assert codes(solved) == []
    assert solved.verdict.reach.is_good
    assert rights(solved.turns[0]) == [chess.Board(fen).san(first_move(fen, answer))]


def first_move(fen: str, answer: str) -> chess.Move:
    """Return the first move of an answer."""
    return chess.Board(fen).parse_san(answer.split()[1])


def without_a_man(fen: str, answer: str) -> list[chess.Board]:
    """Return the positions with one black man taken off in which the key is still legal."""
    found = []
    key = first_move(fen, answer)
    for square in chess.SQUARES:
        board = chess.Board(fen)
        man = board.remove_piece_at(square)
        if not man or man.color or man.piece_type == chess.KING:
            continue
        if board.is_valid() and board.is_legal(key):
            found.append(board)
    return found


def test_morphys_problem_is_cooked_when_any_man_of_black_but_one_is_taken_off() -> None:
    """Told by trying every move: without the bishop or the pawn on b7 there are other solutions."""
    seen = []
    for board in without_a_man(MORPHY, "1. Ra6"):
        quick = [move for move in board.legal_moves if mates_at_once(board, move)]
        keys = [move for move in board.legal_moves if mates_in_two(board, move)]
        assert len(keys) > 1
        solved = solve(request_of("only mate in 2", "1. Ra6", fen=board.fen()))
        (finding,) = solved.findings
        assert finding.code == "exercise-short"
        assert any(board.san(move) in finding.message for move in quick)
        seen.append(board.fen())
    assert len(seen) == 2


@pytest.mark.parametrize("taken", [chess.E1, chess.D1])
def test_a_second_key_is_told_and_goes_with_its_man(taken: chess.Square) -> None:
    """Two rooks mate on the last rank, either of them; with one the key is the only one."""
    board = chess.Board("6k1/5ppp/8/8/8/8/5PPP/3RR1K1 w - - 0 1")
    keys = [move for move in board.legal_moves if mates_at_once(board, move)]
    assert [board.san(move) for move in keys] == ["Re8#", "Rd8#"]
    solved = solve(request_of("only mate in 1", "1. Rd8#", fen=board.fen()))
    (finding,) = solved.findings
    assert (finding.code, "1.Re8#" in finding.message) == ("exercise-cooked", True)
    board.remove_piece_at(taken)
    answer = "1. Re8#" if taken == chess.D1 else "1. Rd8#"
    assert codes(solve(request_of("only mate in 1", answer, fen=board.fen()))) == []


def mates_at_once(board: chess.Board, move: chess.Move) -> bool:
    """Return whether a move is mate."""
    board.push(move)
    found = board.is_checkmate()
    board.pop()
    return found


def mates_in_two(board: chess.Board, key: chess.Move) -> bool:
    """Return whether a move mates in two at most, by trying everything."""
    board.push(key)
    replies = list(board.legal_moves)
    holds = board.is_checkmate() or (
        bool(replies) and all(mates_next(board, reply) for reply in replies)
    )
    board.pop()
    return holds


def mates_next(board: chess.Board, reply: chess.Move) -> bool:
    """Return whether a mate follows a reply at once."""
    board.push(reply)
    found = any(mates_at_once(board, move) for move in list(board.legal_moves))
    board.pop()
    return found
