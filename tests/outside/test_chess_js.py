"""Games as chess.js 1.4.0 plays them, a library that shares no code with the one we stand on.

Each ply is compared: its SAN, and the position after it as a FEN. The count of legal moves tells
mate and stalemate apart from the rest.
"""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import Any, Final

import chess
import pytest

from outside.playing import numbered, play
from plybook.board import open_place

_HERE: Final = Path(__file__).parent
_ROOT: Final = _HERE.parent.parent
GAMES: Final[list[dict[str, Any]]] = json.loads(
    (_HERE / "chess_js.json").read_text(encoding="utf-8")
)
LIVE_GAMES: Final = 12


@pytest.mark.parametrize("game", GAMES, ids=[f"game {at}" for at in range(1, len(GAMES) + 1)])
def test_a_recorded_game_is_spelled_and_played_alike(game: dict[str, Any]) -> None:
    rows = [row.split(" ", 2) for row in game["plies"]]
    line, faults = play(numbered([row[0] for row in rows], fen=game["start"]), fen=game["start"])
    assert faults == ()
    assert line.is_whole
    assert len(line.plies) == len(rows)
    for ply, (san, count, fen) in zip(line.plies, rows, strict=True):
        assert (ply.san, open_place(line, ply.index).fen) == (san, fen)
        assert (ply.outcome in {"mate", "stalemate"}) == (count == "0")


def test_the_recorded_games_meet_every_kind_of_move() -> None:
    """A recording of quiet moves alone would prove little."""
    rows = [row.split(" ", 2) for game in GAMES for row in game["plies"]]
    words = [row[0] for row in rows]
    assert len(rows) > 5000
    assert sum(word.startswith("O-O") for word in words) >= 20
    assert sum("=" in word for word in words) >= 100
    assert sum(word.endswith("+") for word in words) >= 500
    assert sum(word.endswith("#") for word in words) >= 10
    assert sum(fen.split()[3] != "-" for _, _, fen in rows) >= 40
    assert sum(count == "0" and not san.endswith("#") for san, count, _ in rows) == 2


@cache
def missing_tool() -> str | None:
    """Return why chess.js cannot be asked here, None when it can."""
    node = shutil.which("node")
    if node is None:
        return "Node is not installed"
    probe = subprocess.run(
        [node, "--print", "require.resolve('chess.js')"],
        cwd=_ROOT,
        capture_output=True,
        check=False,
    )
    if probe.returncode:
        return "the npm package is missing: npm install --no-save chess.js@1.4.0"
    return None


def random_game(rng: random.Random) -> list[chess.Move]:
    """Return up to 60 plies of legal moves from the start of the game."""
    board = chess.Board()
    moves: list[chess.Move] = []
    while len(moves) < 60 and any(board.legal_moves):
        move = rng.choice(list(board.legal_moves))
        moves.append(move)
        board.push(move)
    return moves


def test_fresh_games_are_spelled_and_played_alike() -> None:
    reason = missing_tool()
    if reason:
        pytest.skip(reason)
    rng = random.Random("fresh games")
    games = [random_game(rng) for _ in range(LIVE_GAMES)]
    asked = [
        {"start": chess.STARTING_FEN, "moves": [move.uci() for move in moves]} for moves in games
    ]
    answer = subprocess.run(
        ["node", str(_HERE / "chess_js_live.mjs")],
        input=json.dumps(asked),
        cwd=_ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        timeout=60,
    )
    for moves, rows in zip(games, json.loads(answer.stdout), strict=True):
        words = [row.split(" ", 2)[0] for row in rows]
        line, faults = play(numbered(words))
        assert faults == ()
        assert [ply.origin + ply.target for ply in line.plies] == [m.uci()[:4] for m in moves]
        reached = [open_place(line, ply.index).fen for ply in line.plies]
        assert reached == [row.split(" ", 2)[2] for row in rows]
