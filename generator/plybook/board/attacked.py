"""What a moved man newly attacks: the targets worth saying aloud."""

from __future__ import annotations

import chess

from plybook.board.exchange import VALUES
from plybook.board.model import Line

__all__ = ["newly_attacked"]

_SAID = 2  # more targets than this are noise to a listener


def newly_attacked(line: Line) -> tuple[tuple[str, ...], ...]:
    """Return, for each ply, squares of enemy men that the moved man attacks and that matter.

    A target matters when it is worth more than the man that moved, or has no guard. At most two,
    in the order of the squares. A ply that gives check or mate attacks nothing more.
    """
    boards = {0: chess.Board(line.start.fen)}
    found = []
    waiting = _last_uses(line)
    for ply in line.plies:
        board = boards[ply.parent]
        if waiting[ply.parent] != ply.index:
            board = board.copy(stack=False)
        board.push(chess.Move.from_uci(f"{ply.origin}{ply.target}{ply.promotion or ''}"))
        boards[ply.index] = board
        found.append(() if ply.outcome in {"check", "mate"} else _targets(board, ply.target))
    return tuple(found)


def _last_uses(line: Line) -> dict[int, int]:
    """Return, by place, the last ply that is played from it: it may use the board itself."""
    return {ply.parent: ply.index for ply in line.plies}


def _targets(board: chess.Board, name: str) -> tuple[str, ...]:
    square = chess.parse_square(name)
    mover = not board.turn
    man = board.piece_type_at(square)
    targets = []
    for target in chess.SquareSet(board.attacks_mask(square) & board.occupied_co[not mover]):
        victim = board.piece_type_at(target)
        if man is None or victim is None or victim == chess.KING:
            continue
        if (VALUES[victim] > VALUES[man] and man != chess.KING) or not board.attackers_mask(
            not mover, target
        ):
            targets.append(chess.SQUARE_NAMES[target])
    return tuple(targets[:_SAID])
