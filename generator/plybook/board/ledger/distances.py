"""The fewest moves in which a man alone on the board goes from one square to another."""

from __future__ import annotations

from functools import cache
from typing import Final

import chess

__all__ = ["NEVER", "fewest_moves", "fewest_pawn_moves"]

#: Stands for "not at all": a bishop to a square of the other colour.
NEVER: Final = 99


@cache  # 5 kinds from 64 squares: made when first asked for, since most runs ask for few
def _steps(kind: chess.PieceType, origin: chess.Square) -> tuple[int, ...]:
    """Return the fewest moves from `origin` to each of the 64 squares, breadth first."""
    board = chess.Board(None)
    found = [NEVER] * 64
    found[origin] = 0
    wave = [origin]
    while wave:
        following = []
        for square in wave:
            board.set_piece_at(square, chess.Piece(kind, chess.WHITE))
            for target in board.attacks(square):
                if found[target] == NEVER:
                    found[target] = found[square] + 1
                    following.append(target)
            board.remove_piece_at(square)
        wave = following
    return tuple(found)


def fewest_moves(kind: chess.PieceType, origin: chess.Square, target: chess.Square) -> int:
    """Return the fewest moves of a piece (no pawn, no castling), NEVER where it cannot come."""
    return _steps(kind, origin)[target]


def fewest_pawn_moves(color: chess.Color, origin: chess.Square, target: chess.Square) -> int:
    """Return the fewest moves of a pawn: captures sideways, a double step from its first rank."""
    ahead = (target >> 3) - (origin >> 3) if color else (origin >> 3) - (target >> 3)
    aside = abs((target & 7) - (origin & 7))
    straight = ahead - aside
    if straight < 0:
        return NEVER
    is_first = origin >> 3 == (1 if color else 6)
    return aside + straight - (is_first and straight >= 2)
