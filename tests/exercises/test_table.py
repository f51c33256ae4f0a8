"""The table: every legal move at every turn, what is right, what follows, what is refused."""

from __future__ import annotations

from typing import Final

import chess
import pytest

from exercises.exercise_stand import choice, codes, request_of, rights, solve
from plybook.board.exercises import Judgement
from plybook.board.exercises.refusals import refusals_at

#: White mates in two by 1.Qh6+ (proved in the tests): a sequence with a forced reply.
SEQUENCE: Final = "r1bq2r1/b4pk1/p1pp1p2/1p2pP2/1P2P1PB/3P4/1PPQ2P1/R3K2R w KQ - 0 1"
BACK_RANK: Final = "6k1/5ppp/8/8/8/8/5PPP/3RR1K1 w - - 0 1"


def test_a_turn_holds_every_legal_move_once_in_the_order_of_squares() -> None:
    solved = solve(request_of("mate in 1", "1. Rd8#", fen=BACK_RANK))
    board = chess.Board(BACK_RANK)
    legal = sorted(board.legal_moves, key=lambda move: (move.from_square, move.to_square))
    (turn,) = solved.turns
    assert [each.move.san for each in turn.choices] == [board.san(move) for move in legal]
    assert (turn.mover, turn.number) == ("white", 1)
    assert turn.placement[chess.G1] == "K"


def test_a_mate_the_coach_did_not_write_is_right_where_the_check_has_no_only() -> None:
    solved = solve(request_of("mate in 1", "1. Rd8#", fen=BACK_RANK))
    assert codes(solved) == []
    assert rights(solved.turns[0]) == ["Rd8#", "Re8#"]
    assert choice(solved.turns[0], "Re8").next is None


def test_a_sequence_goes_on_by_the_reply_and_ends_at_its_last_move() -> None:
    solved = solve(request_of("only mate in 2", "1. Qh6+ Kxh6 2. Bxf6#", fen=SEQUENCE))
    assert codes(solved) == []
    first, second = solved.turns
    key = choice(first, "Qh6")
    assert key.reply is not None
    assert (key.reply.san, key.next) == ("Kxh6", 1)
    end = choice(second, "Bxf6")
    assert (end.judgement, end.reply, end.next) == (Judgement.RIGHT, None, None)


def test_a_wrong_try_keeps_the_coachs_words_and_his_reply() -> None:
    solved = solve(request_of("mate in 1", "1. Rd8#", fen=BACK_RANK, wrong=["1. Rd7 h6", "1. Kf1"]))
    tried = choice(solved.turns[0], "Rd7")
    assert tried.judgement is Judgement.WRONG
    assert tried.feedback == "not 1. Rd7 h6"
    assert tried.reply is not None
    assert tried.reply.san == "h6"
    assert choice(solved.turns[0], "Kf1").judgement is Judgement.WRONG


def test_a_wrong_try_may_come_after_right_moves() -> None:
    solved = solve(
        request_of(
            "only mate in 2",
            "1. Qh6+ Kxh6 2. Bxf6#",
            fen=SEQUENCE,
            wrong=["1. Qh6+ Kxh6 2. Bg3+"],
        )
    )
    assert codes(solved) == []
    assert choice(solved.turns[1], "Bg3").judgement is Judgement.WRONG
    assert choice(solved.turns[0], "Qh6").judgement is Judgement.RIGHT


@pytest.mark.parametrize(
    ("move", "reply", "loses"),
    [
        ("Qd4", None, 0),
        ("Qh7+", "Kxh7", 9),
        ("Qh8+", "Kxh8", 9),
    ],
)
def test_an_unforeseen_move_is_answered_by_what_wins_most(
    move: str, reply: str | None, loses: int
) -> None:
    fen = "3r2k1/5p2/8/3p4/7Q/8/5PPP/6K1 w - - 0 1"
    solved = solve(request_of("none because it is an example", "1. h3", fen=fen))
    found = choice(solved.turns[0], move)
    assert (found.reply.san if found.reply else None, found.loses) == (reply, loses)


def test_a_reply_that_mates_goes_before_one_that_wins() -> None:
    """After 1.Rxb8? the rook on b8 may be taken, but 1...Re1 is mate."""
    fen = "1q2r1k1/1p3ppp/8/8/8/8/5PPP/1R4K1 w - - 0 1"
    solved = solve(request_of("none because it is an example", "1. h3", fen=fen))
    found = choice(solved.turns[0], "Ra1")
    assert found.reply is None or not found.is_mated
    free = choice(solved.turns[0], "Rb5")
    assert free.reply is not None
    assert (free.reply.san, free.is_mated) == ("Re1#", True)


def test_the_reply_of_a_block_stands_where_the_answer_ends() -> None:
    solved = solve(request_of("only mate in 2", "1. Qh6+", fen=SEQUENCE, replies=["1... Kxh6"]))
    key = choice(solved.turns[0], "Qh6")
    assert key.reply is not None
    assert (key.reply.san, key.next, len(solved.turns)) == ("Kxh6", None, 1)


def test_a_move_into_an_accepted_position_is_right() -> None:
    """1.Ra7 and 1.Rb7 are accepted; both rooks look alike, so 2.Rab7 transposes."""
    fen = "7k/8/8/8/8/8/R7/1R2K3 w - - 0 1"
    answer = "1. Ra7 Kg8 2. Rbb7 Kf8 3. Ra8#"
    solved = solve(
        request_of("none because it is an example", answer, "1. Rb7 Kg8 2. Raa7", fen=fen)
    )
    after_b7 = choice(solved.turns[0], "Rb7")
    assert after_b7.next is not None
    turn = solved.turns[after_b7.next]
    right = choice(turn, "Raa7")
    assert right.judgement is Judgement.RIGHT


def test_promotions_are_choices_of_their_own() -> None:
    fen = "8/2P5/8/8/3r4/8/2K5/k7 w - - 0 6"
    solved = solve(request_of("only wins 8, depth 4", "6. c8=R", fen=fen))
    turn = solved.turns[0]
    assert {each.move.promotion for each in turn.choices if each.move.target == "c8"} == set("nbrq")
    assert choice(turn, "c8=R").judgement is Judgement.RIGHT
    assert choice(turn, "c8=Q").judgement is Judgement.OTHER


def test_castling_and_en_passant_say_what_else_moves() -> None:
    fen = "4k3/8/8/3pP3/8/8/8/4K2R w K d6 0 2"
    turn = solve(request_of("none because it is an example", "2. Kf2", fen=fen)).turns[0]
    assert choice(turn, "O-O").move.rook == ("h1", "f1")
    assert choice(turn, "exd6").move.captured_on == "d5"


def test_tasks_answered_in_words_have_no_table() -> None:
    fen = BACK_RANK
    said = "g8 is loose"
    assert solve(request_of("true", fen=fen, claim=said)).turns == ()


@pytest.mark.parametrize(
    ("fen", "where", "words"),
    [
        (
            "4k3/8/8/8/1b6/2N5/8/4K3 w - - 0 1",
            ("c3", ""),
            "the knight is pinned to the king by the bishop on b4",
        ),
        (
            "4r1k1/8/8/8/8/4R3/8/4K3 w - - 0 1",
            ("e3", "a3"),
            "the rook is pinned to the king by the rook on e8",
        ),
        (
            "6k1/8/8/8/1b6/8/8/4K2N w - - 0 1",
            ("h1", ""),
            "your king is in check from the bishop on b4",
        ),
        (
            "6k1/8/8/8/8/b7/8/3K4 w - - 0 1",
            ("d1", "c1"),
            "the king would be in check from the bishop on a3",
        ),
        # a capture in passing takes both pawns off the rank
        (
            "8/8/8/K2pP2r/8/8/8/7k w - d6 0 1",
            ("e5", "d6"),
            "the pawn is pinned to the king by the rook on h5",
        ),
        (
            "4k3/8/8/8/2b5/8/8/4K2R w K - 0 1",
            ("e1", "g1"),
            "the king may not castle through f1: the bishop on c4 attacks it",
        ),
        (
            "4k3/8/8/8/1b6/8/8/4K2R w K - 0 1",
            ("e1", "g1"),
            "the king may not castle out of check from the bishop on b4",
        ),
        (
            "4k3/8/8/2b5/8/8/8/4K2R w K - 0 1",
            ("e1", "g1"),
            "the king would be in check from the bishop on c5",
        ),
    ],
)
def test_a_refusal_names_the_man_and_the_reason(
    fen: str, where: tuple[str, str], words: str
) -> None:
    assert str(refusals_at(chess.Board(fen))[where]) == words


def test_nothing_legal_is_refused_and_everything_else_a_man_could_do_is() -> None:
    for fen in ("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", chess.STARTING_FEN, BACK_RANK):
        board = chess.Board(fen)
        refused = refusals_at(board)
        for move in board.pseudo_legal_moves:
            name = (chess.SQUARE_NAMES[move.from_square], chess.SQUARE_NAMES[move.to_square])
            told = name in refused or (name[0], "") in refused
            assert told == (not board.is_legal(move))
