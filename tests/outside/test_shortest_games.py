"""Records: the shortest mates and stalemates, and the position with the most moves.

The source of each game stands beside it in `short_games.json`. The position with 218 moves was
published by N. Petrović in 1964; its moves are counted in test_perft.py too.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import chess
import pytest

from outside.playing import play
from plybook.board import open_place

GAMES: Final[list[dict[str, Any]]] = json.loads(
    Path(__file__).with_name("short_games.json").read_text(encoding="utf-8")
)
MOST_MOVES: Final = "R6R/3Q4/1Q4Q1/4Q3/2Q4Q/Q4Q2/pp1Q4/kBNN1KB1 w - - 0 1"


@pytest.mark.parametrize("game", GAMES, ids=[game["name"] for game in GAMES])
def test_a_short_game_ends_where_the_records_say(game: dict[str, Any]) -> None:
    line, faults = play(game["moves"])
    assert faults == ()
    assert len(line.plies) == game["plies"]
    assert [ply.index for ply in line.plies if ply.outcome == game["outcome"]] == [game["plies"]]
    assert open_place(line, game["plies"]).outcome == game["outcome"]


@pytest.mark.parametrize("game", GAMES, ids=[game["name"] for game in GAMES])
def test_the_result_of_a_short_game_must_be_the_one_on_the_board(game: dict[str, Any]) -> None:
    mated_by_white = game["plies"] % 2 == 1
    right = {"mate": "1-0" if mated_by_white else "0-1", "stalemate": "1/2-1/2"}[game["outcome"]]
    for result in ("1-0", "0-1", "1/2-1/2"):
        _, faults = play(f"{game['moves']} {result}")
        expected = [] if result == right else ["wrong-result"]
        assert [fault.code for fault in faults] == expected


def test_all_32_men_stand_in_the_stalemate_of_12_moves() -> None:
    game = next(game for game in GAMES if game["name"] == "stalemate with all 32 men")
    line, _ = play(game["moves"])
    placement = open_place(line, len(line.plies)).placement
    assert len(placement.replace(".", "")) == 32


def test_each_of_the_218_moves_is_taken_in_its_san() -> None:
    board = chess.Board(MOST_MOVES)
    spellings = sorted(board.san(move) for move in board.legal_moves)
    assert len(set(spellings)) == 218
    variations = " ".join(f"(1. {san})" for san in spellings[1:])
    line, faults = play(f"1. {spellings[0]} {variations}", fen=MOST_MOVES)
    assert faults == ()
    assert sorted(ply.san for ply in line.plies) == spellings
