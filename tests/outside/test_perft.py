"""Counts of legal moves, against published tables.

The counts are of python-chess, the library that the board room stands on: if it were wrong, every
line of every lesson would be. The tables are the ones that programmers of chess have checked one
another with for decades (collected as "perft"; the start position is also OEIS A048987).
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import chess
import pytest

ROWS: list[dict[str, Any]] = json.loads(
    Path(__file__).with_name("perft.json").read_text(encoding="utf-8")
)
NAMES = [row["name"] for row in ROWS]


def count_positions(board: chess.Board, depth: int) -> int:
    """Return the number of move sequences of `depth` plies."""
    if depth == 1:
        return board.legal_moves.count()
    total = 0
    for move in board.legal_moves:
        board.push(move)
        total += count_positions(board, depth - 1)
        board.pop()
    return total


def count_kinds(board: chess.Board, depth: int) -> Counter[str]:
    """Return what kinds of move the last of `depth` plies are."""
    kinds: Counter[str] = Counter()
    for move in board.legal_moves:
        if depth == 1:
            kinds["captures"] += board.is_capture(move)
            kinds["en_passant"] += board.is_en_passant(move)
            kinds["castles"] += board.is_castling(move)
            kinds["promotions"] += move.promotion is not None
        board.push(move)
        if depth > 1:
            kinds += count_kinds(board, depth - 1)
        elif board.is_check():
            kinds["checks"] += 1
            kinds["mates"] += not any(board.generate_legal_moves())
        board.pop()
    return kinds


@pytest.mark.parametrize("row", ROWS, ids=NAMES)
def test_the_number_of_legal_move_sequences_is_the_published_one(row: dict[str, Any]) -> None:
    counts = [
        count_positions(chess.Board(row["fen"]), depth) for depth in range(1, len(row["nodes"]) + 1)
    ]
    assert counts == row["nodes"]


@pytest.mark.parametrize(
    "row",
    [row for row in ROWS if row["last_ply"]],
    ids=[row["name"] for row in ROWS if row["last_ply"]],
)
def test_the_kinds_of_the_last_ply_are_the_published_ones(row: dict[str, Any]) -> None:
    expected = dict(row["last_ply"])
    kinds = count_kinds(chess.Board(row["fen"]), expected.pop("depth"))
    assert {kind: kinds[kind] for kind in expected} == expected
