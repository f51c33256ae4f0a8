"""Each fault is found once; what is right is quiet; what is left open is said."""

from __future__ import annotations

from typing import Final

import chess
import pytest

from exercises.exercise_stand import choice, codes, request_of, solve
from plybook.board.claims import Budget, Reach
from plybook.board.exercises import Judgement

BACK_RANK: Final = "6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1"
TWO_ROOKS: Final = "6k1/5ppp/8/8/8/8/5PPP/3RR1K1 w - - 0 1"
SEQUENCE: Final = "r1bq2r1/b4pk1/p1pp1p2/1p2pP2/1P2P1PB/3P4/1PPQ2P1/R3K2R w KQ - 0 1"
#: Scholar's mate is threatened: 2.Qh5 Nc6 3.Bc4. Eight replies stop it (counted in test_claims).
SCHOLAR: Final = "r1bqkbnr/pppp1ppp/2n5/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 3 3"
#: A rook on the eighth rank mates; only luft or a guard helps.
NO_LUFT: Final = "6k1/4Rppp/8/8/8/8/r4PPP/6K1 b - - 0 1"


def test_a_sound_mate_is_proved_and_says_how_many_other_moves_fail() -> None:
    solved = solve(request_of("only mate in 1", "1. Rd8#", fen=BACK_RANK))
    assert codes(solved) == []
    assert solved.verdict.reach is Reach.PROVED
    others = chess.Board(BACK_RANK).legal_moves.count() - 1
    assert solved.verdict.text == f"1.Rd8#; none of the {others} other moves mates"


def test_two_accepted_mates_are_no_cooks() -> None:
    solved = solve(request_of("only mate in 1", "1. Rd8#", "1. Re8#", fen=TWO_ROOKS))
    assert codes(solved) == []


def test_a_wrong_try_that_mates_is_told_once_and_is_no_cook_as_well() -> None:
    solved = solve(request_of("only mate in 1", "1. Rd8#", fen=TWO_ROOKS, wrong=["1. Re8#"]))
    (finding,) = solved.findings
    assert (finding.code, finding.about, finding.ply) == ("wrong-try-works", 0, 0)


def test_a_wrong_try_that_is_an_answer_is_told() -> None:
    solved = solve(
        request_of("only mate in 1", "1. Rd8#", fen=BACK_RANK, wrong=["1. Kf1", "1. Rd8#"])
    )
    (finding,) = solved.findings
    assert (finding.code, finding.about) == ("wrong-try-works", 1)
    assert finding.message == "`1.Rd8#` is not wrong: it is given as an answer"


def test_each_answer_that_fails_is_told_at_its_own_line() -> None:
    solved = solve(request_of("only mate in 1", "1. Kf1", "1. Rd8#", "1. h3", fen=BACK_RANK))
    assert [(one.code, one.about) for one in solved.findings] == [
        ("answer-fails", 0),
        ("answer-fails", 2),
    ]


def test_a_later_move_that_fails_is_told_and_what_follows_is_silent() -> None:
    answer = "1. Qh6+ Kxh6 2. Bg3+ Kg7 3. Bf2"
    solved = solve(request_of("only mate in 2", answer, fen=SEQUENCE))
    (finding,) = solved.findings
    assert (finding.code, finding.about, finding.ply) == ("answer-fails", 0, 2)
    assert finding.message == "`2.Bg3+` does not mate in 1"


def test_a_line_longer_than_the_mate_asked_for_fails() -> None:
    fen = "7k/8/6K1/8/8/8/8/R7 w - - 0 1"
    solved = solve(request_of("mate in 1", "1. Ra7 Kg8 2. Ra8#", fen=fen))
    assert codes(solved) == ["answer-fails"]


def test_a_dual_before_the_last_move_is_a_warning_and_one_at_the_mate_a_note() -> None:
    fen = "8/8/8/6K1/8/4p2Q/6N1/5k2 w - - 0 1"
    solved = solve(request_of("only mate in 3", "1. Qf3+", fen=fen))
    assert codes(solved) == ["exercise-dual"]
    fen = "7k/8/5K2/8/8/8/8/Q7 w - - 0 1"
    solved = solve(request_of("mate in 2", "1. Qg1", fen=fen))
    assert "exercise-dual" not in codes(solved)


def test_two_mates_at_the_last_move_are_noted_beside_the_verdict() -> None:
    """The tables know the only key (tablebase.json); after 1...Kh3 the queen mates on h6 and h1."""
    fen = "8/8/8/8/8/8/4K2k/2Q5 w - - 0 1"
    solved = solve(request_of("only mate in 2", "1. Kf3", fen=fen))
    assert codes(solved) == []
    assert solved.verdict.text.endswith("; duals at the mate: after 1.Kf3 Kh3: 2.Qh6#, 2.Qh1#")


def test_the_same_promotion_to_queen_and_rook_is_no_second_solution() -> None:
    fen = "k7/2P5/1K6/8/8/8/8/8 w - - 0 1"
    solved = solve(request_of("only mate in 1", "1. c8=Q#", fen=fen))
    assert codes(solved) == []
    assert "so does 1.c8=R#" in solved.verdict.text
    assert choice(solved.turns[0], "c8=R").judgement is Judgement.RIGHT


def test_a_win_is_told_with_its_depth_and_the_others_with_theirs() -> None:
    fen = "6k1/5pp1/7p/3n4/8/8/3R1PPP/6K1 w - - 0 1"
    solved = solve(request_of("only wins 3, depth 3", "1. Rxd5", fen=fen))
    assert codes(solved) == []
    assert solved.verdict.reach_text == "holds to depth 3"
    assert "no second solution among" in solved.verdict.text
    assert "to depth 3" in solved.verdict.text


def test_a_win_that_does_not_come_is_answered_with_the_reply() -> None:
    fen = "3r2k1/5ppp/8/3n4/8/8/3R1PPP/6K1 w - - 0 1"
    solved = solve(request_of("only wins 3, depth 2", "1. Rxd5", fen=fen))
    (finding,) = solved.findings
    assert finding.code == "answer-fails"
    assert finding.message == "`1.Rxd5` does not win 3 points, depth 2"
    assert "1...Rxd5" in finding.notes[0]


def test_a_second_move_that_wins_as_much_is_a_cook() -> None:
    fen = "6k1/5ppp/8/3n4/8/1B6/3R1PPP/6K1 w - - 0 1"
    solved = solve(request_of("only wins 3, depth 2", "1. Rxd5", fen=fen))
    (finding,) = solved.findings
    assert finding.code == "exercise-cooked"
    assert "1.Bxd5" in finding.message


def test_a_win_beyond_the_depth_is_proved_by_the_lines_of_the_lesson() -> None:
    """Damiano: to depth 1 nothing is seen, since the rook falls two half-moves later."""
    board = chess.Board()
    for san in ("e4", "e5", "Nf3", "f6", "Nxe5", "fxe5"):
        board.push_san(san)
    line = "4. Qh5+ g6 (4... Ke7 5. Qxe5+ Kf7 6. Bc4+) 5. Qxe5+ Qe7 6. Qxh8"
    alone = solve(request_of("only wins 1, depth 1", "4. Qh5+", fen=board.fen()))
    assert codes(alone) == ["answer-fails"] or alone.verdict.depth == 1
    shown = solve(request_of("only wins 1, depth 1", "4. Qh5+", fen=board.fen(), lines=[line]))
    assert codes(shown) == []


def test_what_the_budget_leaves_open_is_a_warning_and_not_proved() -> None:
    budget = Budget(mate_nodes=50)
    solved = solve(request_of("only mate in 4", "1. Qh6+", fen=SEQUENCE), budget=budget)
    assert "exercise-not-settled" in codes(solved)
    assert solved.verdict.reach is not Reach.PROVED


def test_only_moves_against_mate() -> None:
    solved = solve(request_of("only move against mate in 1", "1... h6", fen=NO_LUFT))
    (finding,) = solved.findings
    assert finding.code == "exercise-cooked"
    board = chess.Board(SCHOLAR)
    eight = ("Nh6", "Ke7", "Qe7", "Qf6", "Qg5", "Qh4", "g6", "d5")  # common practice
    answers = [f"3... {san}" for san in eight]
    whole = solve(request_of("only move against mate in 1", *answers, fen=SCHOLAR))
    assert codes(whole) == []
    short = solve(request_of("only move against mate in 1", *answers[:-1], fen=SCHOLAR))
    assert codes(short) == ["exercise-cooked"]
    failing = solve(request_of("only move against mate in 1", "3... Nf6", fen=SCHOLAR))
    assert codes(failing) == ["answer-fails"]
    assert "4.Qxf7#" in failing.findings[0].notes[0]
    assert choice(whole.turns[0], "a6").is_mated
    assert board.turn == chess.BLACK


def test_a_defence_without_a_threat_is_no_task() -> None:
    solved = solve(request_of("only move against mate in 1", "1. h3", fen=BACK_RANK))
    (finding,) = solved.findings
    assert finding.message == "no mate in 1 is threatened here"


@pytest.mark.parametrize(
    ("check", "claim", "expected"),
    [
        ("true", "f2 is attacked 0 times by Black and guarded 1 time", []),
        ("false", "f2 is attacked 0 times by Black and guarded 1 time", ["false-exercise"]),
        ("false", "d1 is hanging", []),
        ("true", "d1 is hanging", ["false-exercise"]),
        ("true", "believe: White is better", ["no-claim"]),
        ("false", "e4 is hanging", ["no-claim"]),  # nothing stands there
        ("true", None, ["no-claim"]),
    ],
)
def test_true_and_false_are_settled_by_the_claim(
    check: str, claim: str | None, expected: list[str]
) -> None:
    assert codes(solve(request_of(check, fen=BACK_RANK, claim=claim))) == expected


def test_a_refuted_claim_is_proof_that_the_answer_false_is_right() -> None:
    solved = solve(request_of("false", fen=BACK_RANK, claim="d1 is hanging"))
    assert solved.verdict.reach is Reach.PROVED
    assert solved.verdict.text


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        ("1", []),
        ("2", ["false-exercise"]),
        ("True. It is guarded.", []),
        ("False. It is not.", ["false-exercise"]),
        ("Count again.", []),
    ],
)
def test_the_answer_in_words_agrees_with_the_claim(answer: str, expected: list[str]) -> None:
    claim = "f2 is attacked 0 times by Black and guarded 1 time"
    solved = solve(request_of("true", fen=BACK_RANK, claim=claim, answer_text=answer))
    assert codes(solved) == expected


@pytest.mark.parametrize(
    ("twin", "expected"),
    [
        pytest.param("6k1/5pp1/7p/8/8/8/5PPP/3R2K1 w - - 0 1", [], id="with luft"),
        pytest.param("7k/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1", ["twin-agrees"], id="still mate"),
        pytest.param("6k1/5ppp/8/8/8/8/5PPP/2R3K1 w - - 0 1", [], id="the key is illegal"),
    ],
)
def test_the_key_must_fail_at_the_twin(twin: str, expected: list[str]) -> None:
    assert (
        codes(solve(request_of("only mate in 1", "1. Rd8#", fen=BACK_RANK, twin=twin))) == expected
    )


@pytest.mark.parametrize(
    ("twin", "expected"),
    [
        pytest.param("6k1/5ppp/8/8/8/8/5PPP/3R1K2 w - - 0 1", ["twin-agrees"], id="guarded"),
        pytest.param("6k1/5ppp/8/8/8/8/6PP/3R2K1 w - - 0 1", [], id="not guarded otherwise"),
    ],
)
def test_a_claim_must_have_the_other_verdict_at_the_twin(twin: str, expected: list[str]) -> None:
    claim = "f2 is attacked 0 times by Black and guarded 1 time"
    solved = solve(request_of("true", fen=BACK_RANK, claim=claim, twin=twin))
    assert codes(solved) == expected or "twin-agrees" in codes(solved)


def test_a_claim_of_a_numbered_move_is_asked_at_a_twin_of_another_move_number() -> None:
    claim = "1.Rd8# mates in 1"
    luft = "6k1/5pp1/7p/8/8/8/5PPP/3R2K1 w - - 0 31"
    assert codes(solve(request_of("true", fen=BACK_RANK, claim=claim, twin=luft))) == []
    same = "7k/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 31"
    agrees = solve(request_of("true", fen=BACK_RANK, claim=claim, twin=same))
    assert codes(agrees) == ["twin-agrees"]


def test_judgement_is_the_coachs_word_and_tests_only_that_tries_are_no_answers() -> None:
    solved = solve(
        request_of("none because both develop", "1. h3", fen=BACK_RANK, wrong=["1. g3", "1. h3"])
    )
    assert solved.verdict.reach is Reach.COACHS_WORD
    assert solved.verdict.text == "both develop"
    assert codes(solved) == ["wrong-try-works"]
    assert choice(solved.turns[0], "g3").judgement is Judgement.WRONG
