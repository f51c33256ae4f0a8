"""Moves as a page shows them: squares, the man taken, the rook that goes along."""

from __future__ import annotations

import chess

from plybook.board.exercises.model import Tried
from plybook.board.positions import capture_square, rook_squares

__all__ = ["tried"]


def tried(board: chess.Board, move: chess.Move) -> Tried:
    """Return a legal move of a position."""
    taken = capture_square(board, move)
    return Tried(
        san=board.san(move),
        origin=chess.SQUARE_NAMES[move.from_square],
        target=chess.SQUARE_NAMES[move.to_square],
        promotion=chess.piece_symbol(move.promotion) if move.promotion else None,
        captured_on=None if taken is None else chess.SQUARE_NAMES[taken],
        rook=rook_squares(board, move),
    )
