"""Hints may speak of squares and men, not of the move."""

from __future__ import annotations

import pytest

from exercises.exercise_stand import line_from
from plybook.board.exercises import gives_away

FEN = "r3k2r/pp3ppp/2n5/3N4/8/8/PPP2PPP/R3K2R w KQkq - 0 1"


@pytest.mark.parametrize(
    ("hint", "move"),
    [
        ("Try Nc7+.", "1. Nc7+"),
        ("What about Nc7?", "1. Nc7+"),
        ("The knight goes to c7.", "1. Nc7+"),
        ("Move the KNIGHT to c7!", "1. Nc7+"),
        ("From d5 to c7.", "1. Nc7+"),
        ("Play d5-c7.", "1. Nc7+"),
        ("Go to c7 with the knight.", "1. Nc7+"),
        ("Check on c7 with your knight!", "1. Nc7+"),
        ("Can the knight take on c7?", "1. Nc7+"),
        ("Castle.", "1. O-O"),
        ("Play 1. c4 at once.", "1. c4"),
        ("Push the pawn to c4.", "1. c4"),
    ],
)
def test_a_hint_that_names_the_move_gives_it_away(hint: str, move: str) -> None:
    line = line_from(FEN, move)
    assert gives_away(hint, line.plies) == line.plies[0]


@pytest.mark.parametrize(
    "hint", ["Take on f7 with the queen.", "Take f7 with your QUEEN", "The queen can take on f7."]
)
def test_a_capture_told_in_words_gives_the_answer_away(hint: str) -> None:
    fen = "r1bqkb1r/pppp1ppp/2n2n2/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR w KQkq - 4 4"
    line = line_from(fen, "4. Qxf7#")
    assert gives_away(hint, line.plies) == line.plies[0]


@pytest.mark.parametrize(
    ("hint", "move"),
    [
        ("Which square does the knight want?", "1. Nc7+"),
        ("Two black men can be hit from c7.", "1. Nc7+"),
        ("The knight on d5 is your best piece.", "1. Nc7+"),
        ("The knight on c6 is guarded by b7.", "1. Nc7+"),
        ("Nc73 is no square.", "1. Nc7+"),
        ("What guards c7 together with the knight?", "1. Nc7+"),
        ("Do not take on c6 with the knight.", "1. Nc7+"),
        ("Is c4 a good square?", "1. c4"),
        ("Is your king safe?", "1. O-O"),
    ],
)
def test_a_hint_that_only_points_is_quiet(hint: str, move: str) -> None:
    assert gives_away(hint, line_from(FEN, move).plies) is None
