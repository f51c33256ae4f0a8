"""Counts of development, from the moves that led to the position.

Men are followed from their first square. A line that starts from a position has no moves before
it: castling before it is not known, and every knight and bishop in it counts as an original one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board.claims.asked import Asked, color_of
from plybook.board.claims.model import CannotAskError, Reach, Verdict
from plybook.board.claims.words import colour, listed, say, times
from plybook.board.exchange import best_capture, exchange_value
from plybook.text.claim_model import LeadsDevelopment, MinorsOut, QueenCost

__all__ = ["Census", "settle_leads_development", "settle_minors_out", "settle_queen_cost"]

_MINORS: Final = (chess.KNIGHT, chess.BISHOP)
_BACK_RANKS: Final = (chess.BB_RANK_8, chess.BB_RANK_1)  # by colour: Black's, White's
_PAWN_RANKS: Final = (chess.BB_RANK_7, chess.BB_RANK_2)
_CENTRE_FILES: Final = chess.BB_FILE_D | chess.BB_FILE_E


@dataclass(slots=True)
class _Man:
    kind: chess.PieceType  # of its first square; a promoted pawn stays a pawn
    color: chess.Color
    home: chess.Square


class Census:
    """The men of a game followed through its moves."""

    def __init__(self, board: chess.Board) -> None:
        """Follow the men from a board's first position through the moves on its stack."""
        self.board = board
        start = board.root()
        self._at = {
            square: _Man(piece.piece_type, piece.color, square)
            for square, piece in start.piece_map().items()
        }
        self._castled: set[chess.Color] = set()
        self.queen_cost = {chess.WHITE: 0, chess.BLACK: 0}
        self._harried: set[chess.Square] = set()
        for move in board.move_stack:
            self._follow(start, move)

    def _follow(self, board: chess.Board, move: chess.Move) -> None:
        """Move the man, and count a tempo where a queen that has just been attacked leaves."""
        if move.from_square in self._harried and exchange_value(board, move) < 1:
            self.queen_cost[board.turn] += 1
        before = self._hanging_queens(board, not board.turn)
        if board.is_en_passant(move):
            self._at.pop(move.to_square + (-8 if board.turn else 8))
        if board.is_castling(move):
            rank = 0 if board.turn else 56
            is_short = board.is_kingside_castling(move)
            rook = self._at.pop(rank + (7 if is_short else 0))
            self._at[rank + (5 if is_short else 3)] = rook
            self._castled.add(board.turn)
        self._at[move.to_square] = self._at.pop(move.from_square)
        board.push(move)
        self._harried = self._hanging_queens(board, board.turn) - before

    @staticmethod
    def _hanging_queens(board: chess.Board, color: chess.Color) -> set[chess.Square]:
        queens = board.pieces_mask(chess.QUEEN, color)
        return {square for square in chess.scan_forward(queens) if best_capture(board, square)}

    def minors_out(self, color: chess.Color) -> tuple[chess.Square, ...]:
        """Return where the side's original knights and bishops stand off their back rank."""
        return tuple(
            square
            for square, man in sorted(self._at.items())
            if man.color == color and man.kind in _MINORS and not _BACK_RANKS[color] >> square & 1
        )

    def has_castled(self, color: chess.Color) -> bool:
        """Return whether a castling move of the side was seen."""
        return color in self._castled

    def centre_pawns(self, color: chess.Color) -> tuple[chess.Square, ...]:
        """Return where the side's d- and e-pawns stand that have moved and are still pawns."""
        return tuple(
            square
            for square, man in sorted(self._at.items())
            if man.color == color
            and man.kind == chess.PAWN
            and self.board.piece_type_at(square) == chess.PAWN
            and _CENTRE_FILES >> man.home & 1
            and not _PAWN_RANKS[color] >> square & 1
        )

    def active_rooks(self, color: chess.Color) -> tuple[chess.Square, ...]:
        """Return the side's rooks on the d- or e-file or on a file without own pawns."""
        pawns = self.board.pieces_mask(chess.PAWN, color)
        return tuple(
            square
            for square in chess.scan_forward(self.board.pieces_mask(chess.ROOK, color))
            if (file := chess.BB_FILES[chess.square_file(square)]) & _CENTRE_FILES
            or not file & pawns
        )

    def development(self, color: chess.Color) -> int:
        """Return the development count: minor pieces out, 1 for castling, pawns and rooks."""
        return (
            len(self.minors_out(color))
            + self.has_castled(color)
            + min(2, len(self.centre_pawns(color)))
            + min(2, len(self.active_rooks(color)))
        )


def settle_minors_out(claim: MinorsOut, asked: Asked) -> Verdict:
    """The side's original knights and bishops alive and off their back rank."""
    census = Census(asked.played())
    out = census.minors_out(color_of(claim.side))
    names = [chess.SQUARE_NAMES[square] for square in out]
    words = say(f"{len(out)} out: ", listed(names)) if out else ("none is out",)
    return Verdict(reach=Reach.PROVED if len(out) == claim.count else Reach.FALSE, evidence=words)


def settle_leads_development(claim: LeadsDevelopment, asked: Asked) -> Verdict:
    """The development counts of both sides are those named, the leader's being greater."""
    census = Census(asked.played())
    color = color_of(claim.side)
    counts = (census.development(color), census.development(not color))
    is_true = counts == (claim.count, claim.other) and counts[0] > counts[1]
    words = f"{_summed(census, color)}; {_summed(census, not color)}"
    return Verdict(reach=Reach.PROVED if is_true else Reach.FALSE, evidence=(words,))


def _summed(census: Census, color: chess.Color) -> str:
    parts = [
        times(len(census.minors_out(color)), "minor piece"),
        "castled" if census.has_castled(color) else "not castled",
        times(min(2, len(census.centre_pawns(color))), "centre pawn"),
        times(min(2, len(census.active_rooks(color))), "rook"),
    ]
    return f"{colour(color)} {census.development(color)} ({', '.join(parts)})"


def settle_queen_cost(claim: QueenCost, asked: Asked) -> Verdict:
    """How often an attack made the queen move away without winning anything."""
    cost = Census(asked.played()).queen_cost
    if claim.side is not None:
        count = cost[color_of(claim.side)]
    elif all(cost.values()):
        raise CannotAskError("both queens have cost tempi: write `the queen of White has cost …`")
    else:
        count = max(cost.values())
    words = ", ".join(f"{colour(color)}'s queen {cost[color]}" for color in (True, False))
    return Verdict(reach=Reach.PROVED if count == claim.tempi else Reach.FALSE, evidence=(words,))
