"""Mates and only moves of small endings against the Syzygy tables (tablebase.json says whose)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import chess
import pytest

from exercises.exercise_stand import codes, request_of, rights, solve

_FOUND: Final = json.loads(Path(__file__).with_name("tablebase.json").read_text("ascii"))


def ids(rows: list[Any]) -> list[Any]:
    return [pytest.param(row, id=row["fen"].replace(" ", "_")) for row in rows]


def said(board: chess.Board, uci: str) -> str:
    """Return a move as movetext."""
    dots = "." if board.turn else "..."
    return f"{board.fullmove_number}{dots} {board.san(chess.Move.from_uci(uci))}"


@pytest.mark.parametrize("row", ids(_FOUND["mates"]))
def test_mates_are_the_only_ones_exactly_where_the_tables_know_one(row: Any) -> None:
    board, keys = chess.Board(row["fen"]), row["keys"]
    check = f"only mate in {row['moves']}"
    solved = solve(request_of(check, said(board, keys[0]), fen=row["fen"]))
    found = [code for code in codes(solved) if code != "exercise-dual"]
    assert found == ["exercise-cooked"] * (len(keys) > 1)
    assert rights(solved.turns[0]) == sorted(board.san(chess.Move.from_uci(key)) for key in keys)


@pytest.mark.parametrize("row", ids([row for row in _FOUND["mates"] if row["moves"] > 1]))
def test_a_longer_mate_than_the_tables_know_is_short(row: Any) -> None:
    board = chess.Board(row["fen"])
    check = f"mate in {row['moves'] + 1}" if row["moves"] < 3 else "mate in 3"
    solved = solve(request_of(check, said(board, row["keys"][0]), fen=row["fen"]))
    assert codes(solved) == ["exercise-short"] * (row["moves"] < 3)


@pytest.mark.parametrize("row", ids(_FOUND["defences"]))
def test_only_moves_are_those_of_the_tables(row: Any) -> None:
    board, holds = chess.Board(row["fen"]), row["holds"]
    check = f"only move against mate in {row['moves']}"
    solved = solve(request_of(check, said(board, holds[0]), fen=row["fen"]))
    if codes(solved) == ["answer-fails"]:  # nothing is threatened: a move only walks into mate
        assert solved.findings[0].message == f"no mate in {row['moves']} is threatened here"
        assert not board.is_check()
    else:
        assert codes(solved) == ["exercise-cooked"] * (len(holds) > 1)
    assert rights(solved.turns[0]) == sorted(board.san(chess.Move.from_uci(one)) for one in holds)


@pytest.mark.parametrize("row", ids([row for row in _FOUND["defences"] if len(row["holds"]) == 1]))
def test_every_other_move_walks_into_the_mate_of_the_tables(row: Any) -> None:
    board = chess.Board(row["fen"])
    solved = solve(
        request_of(
            f"only move against mate in {row['moves']}",
            said(board, row["holds"][0]),
            fen=row["fen"],
        )
    )
    for choice in solved.turns[0].choices:
        if choice.judgement.value == "other":
            assert choice.reply is not None
            assert choice.is_mated == choice.reply.san.endswith("#")
