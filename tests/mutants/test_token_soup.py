"""Tokens thrown together at random: the reader never fails, and never plays an illegal move.

The plain library raises an error of its own on one such text in eleven.
"""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Final

import chess
import pytest

from outside.playing import play

TEXTS: Final = 1500
WORDS: Final = (
    "e4", "e5", "Nf3", "Nc6", "Bb5", "a6", "O-O", "exd5", "Qxf7#", "e8=Q", "Ng1-f3", "1.", "1...",
    "2.", "5.", "1..", "…", "(", ")", "{", "}", "{a comment}", ";", "%", "$5", "$300", "$", "*",
    "1-0", "1/2-1/2", "½", "!", "??", "!!!", "--", "Z0", "N", "nf3", "♘f3", "0-0", "Sf3", "best",
    "\t", "-", "<", "\u200b",
)  # fmt: skip


def soup(rng: random.Random) -> str:
    """Return up to 25 words with spaces, line ends or nothing between them."""
    words = [rng.choice(WORDS) for _ in range(rng.randint(1, 25))]
    parts = [words[0]]
    for before, word in pairwise(words):
        glue = " " if before == word else rng.choice(("", " ", " ", " ", "\n"))
        parts += [glue, word]
    return "".join(parts)


@pytest.mark.parametrize("seed", ["peas", "beans", "leeks", "barley"])
def test_token_soup_is_read_to_faults_inside_it_and_legal_moves(seed: str) -> None:
    rng = random.Random(seed)
    for _ in range(TEXTS):
        text = soup(rng)
        line, faults = play(text)
        rows = text.split("\n")
        for fault in faults:
            span = fault.span
            assert 1 <= span.line <= span.end_line <= len(rows), text
            assert 1 <= span.column <= len(rows[span.line - 1]) + 1, text
            assert 1 <= span.end_column <= len(rows[span.end_line - 1]) + 1, text
            assert len(fault.message) <= 72, fault.message
        boards = [chess.Board()]
        for ply in line.plies:
            board = boards[ply.parent].copy(stack=False)
            move = board.parse_san(ply.san)
            board.push(move)
            boards.append(board)


@pytest.mark.parametrize("word", ["e4e4", "Ke1-e1", "a8a8=Q"])
def test_a_move_to_its_own_square_is_reported(word: str) -> None:
    _, faults = play(f"1. {word}")
    assert [fault.code for fault in faults] == ["unreadable-move"]
