"""A second opinion on the tables of exercises: which moves are legal, asked of squares alone.

Like replay.py it shares no code with those who made the tables.
"""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.replay import Step

__all__ = ["Arbiter"]

_MEN: Final = {"N": chess.KNIGHT, "B": chess.BISHOP, "R": chess.ROOK, "Q": chess.QUEEN}


class Arbiter:
    """A position, and what the Laws of Chess allow in it. Squares are numbers, 0 for a1.

    A ValueError says that the FEN cannot be read. An arbiter never changes.
    """

    __slots__ = ("_board",)

    def __init__(self, fen: str) -> None:
        self._board = chess.Board(fen)

    @property
    def fen(self) -> str:
        """The position in one line."""
        return self._board.fen()

    @property
    def placement(self) -> str:
        """The 64 characters of the position, a1 b1 … h8."""
        men = self._board.piece_map()
        return "".join(men[square].symbol() if square in men else "." for square in chess.SQUARES)

    @property
    def number(self) -> int:
        """The number of the move to come."""
        return self._board.fullmove_number

    def legal(self) -> frozenset[tuple[int, int, str]]:
        """Return every legal move: from, to (the king's, in castling), promotion or nothing."""
        return frozenset(
            (
                move.from_square,
                move.to_square,
                chess.piece_symbol(move.promotion).upper() if move.promotion else "",
            )
            for move in self._board.legal_moves
        )

    def after(self, step: Step) -> Arbiter | None:
        """Return the position after a move, None where it is illegal."""
        move = _move(step)
        if not self._board.is_legal(move):
            return None
        if self._board.is_castling(move) != (step.rook is not None):
            return None
        following = Arbiter.__new__(Arbiter)
        following._board = self._board.copy(stack=False)
        following._board.push(move)
        return following

    def san(self, step: Step) -> str:
        """Return a legal move as movetext."""
        return self._board.san(_move(step))


def _move(step: Step) -> chess.Move:
    return chess.Move(step.origin, step.target, promotion=_MEN.get(step.promotion))
