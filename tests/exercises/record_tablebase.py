"""Write tablebase.json: mates and defences of small endings as the Syzygy tables know them.

    python tests/exercises/record_tablebase.py FOLDER

FOLDER holds the tables of three and four men that the source distribution of PyPI's `chess` 1.11.2
carries in data/syzygy/regular. Positions come from a fixed seed, so that a run writes the same
bytes. Only king and queen, or king and rook, against the king are asked: there nothing can be
captured on the way, and the way to the next capture or pawn move that the tables count (DTZ) is the
way to mate.
"""

from __future__ import annotations

import json
import random
import sys
from pathlib import Path
from typing import Final

import chess
import chess.syzygy

_ENDINGS: Final = ("Q", "R")
_PLACE: Final = Path(__file__).with_name("tablebase.json")


def moves_to_mate(tables: chess.syzygy.Tablebase, board: chess.Board) -> int | None:
    """Return in how many moves White mates, with either side to move; None where it does not.

    A count of the tables may be one half-move short; whose turn it is tells which.
    """
    if board.is_checkmate():
        return 0
    if not any(board.legal_moves) or board.is_insufficient_material():
        return None
    if tables.probe_wdl(board) * (1 if board.turn else -1) <= 0:
        return None
    plies = abs(tables.probe_dtz(board))
    return plies // 2 + 1 if board.turn else (plies + 1) // 2


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    """Return the position after a move."""
    trial = board.copy(stack=False)
    trial.push(move)
    return trial


def in_time(
    tables: chess.syzygy.Tablebase, board: chess.Board, moves: int, *, mates: bool
) -> list[str]:
    """Return the moves after which White mates in `moves` at most, or those after which not."""
    found = []
    for move in board.legal_moves:
        count = moves_to_mate(tables, after(board, move))
        if (count is not None and count <= moves) == mates:
            found.append(move.uci())
    return sorted(found)


def placed(source: random.Random, men: str, *, turn: bool) -> chess.Board:
    """Return a position with the black king near an edge."""
    while True:
        board = chess.Board(None)
        king = source.choice([square for square in chess.SQUARES if square % 8 in (0, 7)])
        others = source.sample([s for s in chess.SQUARES if s != king], len(men) + 1)
        board.set_piece_at(king, chess.Piece(chess.KING, chess.BLACK))
        board.set_piece_at(others[0], chess.Piece(chess.KING, chess.WHITE))
        for square, man in zip(others[1:], men, strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(man))
        board.turn = turn
        if board.is_valid() and any(board.legal_moves):
            return board


def record(folder: str) -> dict[str, list[dict[str, object]]]:
    """Return what the file holds."""
    source = random.Random(1910)
    mates: list[dict[str, object]] = []
    defences: list[dict[str, object]] = []
    with chess.syzygy.open_tablebase(folder) as tables:
        while len(mates) < 80:
            board = placed(source, _ENDINGS[len(mates) % len(_ENDINGS)], turn=True)
            count = moves_to_mate(tables, board)
            if count is not None and count <= 3:
                keys = in_time(tables, board, count - 1, mates=True)
                mates.append({"fen": board.fen(), "moves": count, "keys": keys})
        while len(defences) < 60:
            board = placed(source, _ENDINGS[len(defences) % len(_ENDINGS)], turn=False)
            moves = 1 + len(defences) // 8 % 2
            holds = in_time(tables, board, moves, mates=False)
            if 0 < len(holds) < board.legal_moves.count():
                defences.append({"fen": board.fen(), "moves": moves, "holds": holds})
    return {"mates": mates, "defences": defences}


if __name__ == "__main__":
    found = record(sys.argv[1])
    rows = ",\n".join(
        f'"{name}": [\n' + ",\n".join(map(json.dumps, rows)) + "\n]" for name, rows in found.items()
    )
    _PLACE.write_text("{\n" + rows + "\n}\n", encoding="ascii")
