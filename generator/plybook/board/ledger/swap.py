"""Exchanges on one square, fast: the same values as board/exchange.py, by masks alone.

The ledger asks for many exchanges a ply, so it does not copy a board for each capture. Values,
legality and the right to stop are those of `exchange_value`. En passant is left to that: here no
man is ever taken but on its own square.
"""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.exchange import VALUES

__all__ = ["Gain", "Swap"]

_DIAGONAL_MASKS: Final = chess.BB_DIAG_MASKS
_DIAGONALS: Final = chess.BB_DIAG_ATTACKS
_RANK_MASKS: Final = chess.BB_RANK_MASKS
_RANKS: Final = chess.BB_RANK_ATTACKS
_FILE_MASKS: Final = chess.BB_FILE_MASKS
_FILES: Final = chess.BB_FILE_ATTACKS
_KNIGHTS: Final = chess.BB_KNIGHT_ATTACKS
_KINGS: Final = chess.BB_KING_ATTACKS
_PAWNS: Final = chess.BB_PAWN_ATTACKS

_VALUE: Final = (0, *(VALUES[kind] for kind in chess.PIECE_TYPES))
_QUEEN: Final = VALUES[chess.QUEEN]

#: The best capture on a square: what it wins, and the square it comes from.
Gain = tuple[int, chess.Square]


class Swap:
    """The exchanges of one position. It does not follow the board when that moves on."""

    __slots__ = ("_by_kind", "_is_easy", "_kings", "_sides", "bishops", "occupied", "rooks")

    def __init__(self, board: chess.Board) -> None:
        self.occupied = board.occupied
        self.bishops = board.bishops | board.queens
        self.rooks = board.rooks | board.queens
        self._sides = (board.occupied_co[False], board.occupied_co[True])
        self._by_kind = (
            0, board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
        )  # fmt: skip  # the order of the kinds at a glance
        kings = tuple(board.kings & side for side in self._sides)
        self._kings = tuple(king.bit_length() - 1 for king in kings)
        self._is_easy = (self._has_no_lines(False), self._has_no_lines(True))

    def _has_no_lines(self, color: chess.Color) -> bool:
        """Return whether no capture of this colour can leave its own king attacked.

        That is so when no enemy line piece looks toward the king, near or far, and no knight or
        pawn gives check.
        """
        king = self._kings[color]
        if king < 0:
            return True
        lines = (
            _DIAGONALS[king][0] & self.bishops
            | (_RANKS[king][0] | _FILES[king][0]) & self.rooks
            | _KNIGHTS[king] & self._by_kind[chess.KNIGHT]
            | _PAWNS[color][king] & self._by_kind[chess.PAWN]
        )
        return not lines & self._sides[not color]

    def attackers(self, square: chess.Square, color: chess.Color, occupied: int) -> int:
        """Return the men of a colour that attack a square, among those in `occupied`."""
        by_kind = self._by_kind
        return (
            (
                _DIAGONALS[square][_DIAGONAL_MASKS[square] & occupied] & self.bishops
                | (
                    _RANKS[square][_RANK_MASKS[square] & occupied]
                    | _FILES[square][_FILE_MASKS[square] & occupied]
                )
                & self.rooks
                | _KNIGHTS[square] & by_kind[2]
                | _PAWNS[not color][square] & by_kind[1]
                | _KINGS[square] & by_kind[6]
            )
            & self._sides[color]
            & occupied
        )

    def kind_at(self, square: chess.Square) -> int:
        """Return the kind of the man on a square, 0 for none."""
        bit = 1 << square
        for kind, men in enumerate(self._by_kind):
            if men & bit:
                return kind
        return 0

    def best(self, square: chess.Square, color: chess.Color) -> Gain | None:
        """Return the best capture by `color` of the man on a square; None when none is legal.

        It may be a loss. Of equals, the capture by the cheapest man.
        """
        return self._best(square, color, self.occupied, _VALUE[self.kind_at(square)])

    def value(self, origin: chess.Square, target: chess.Square, *, is_promotion: bool) -> int:
        """Return what a legal move to `target` wins when both sides then take there or stop.

        A promotion is to a queen: no other is ever worth more on one square.
        """
        kind = self.kind_at(origin)
        color = bool(self._sides[True] >> origin & 1)
        gain = _VALUE[self.kind_at(target)] + (_QUEEN - 1 if is_promotion else 0)
        worth = _QUEEN if is_promotion else _VALUE[kind]
        left = (self.occupied ^ 1 << origin) | 1 << target
        reply = self._best(target, not color, left, worth)
        return gain if reply is None or reply[0] <= 0 else gain - reply[0]

    def _best(
        self, square: chess.Square, color: chess.Color, occupied: int, victim: int
    ) -> Gain | None:
        attackers = self.attackers(square, color, occupied)
        if not attackers:
            return None
        best: Gain | None = None
        promotes = square >> 3 in (0, 7)
        for kind, men in enumerate(self._by_kind):
            group = attackers & men
            attackers ^= group
            while group:
                bit = group & -group
                group ^= bit
                is_promotion = promotes and kind == 1
                gain = victim + _QUEEN - 1 if is_promotion else victim
                if best is not None and best[0] >= gain:
                    return best  # nobody dearer can win more
                left = occupied ^ bit
                if not self._is_legal(square, color, kind, left):
                    continue
                worth = _QUEEN if is_promotion else _VALUE[kind]
                reply = self._best(square, not color, left, worth)
                value = gain if reply is None or reply[0] <= 0 else gain - reply[0]
                if best is None or value > best[0]:
                    best = (value, bit.bit_length() - 1)
            if not attackers:
                break
        return best

    def _is_legal(self, square: chess.Square, color: chess.Color, kind: int, left: int) -> bool:
        """Return whether a capture on `square` that leaves `left` keeps the own king safe."""
        if kind == chess.KING:
            return not self.attackers(square, not color, left)
        if self._is_easy[color]:
            return True
        king = self._kings[color]
        return not self.attackers(king, not color, left) & ~(1 << square)

    def attacked(self, color: chess.Color) -> int:
        """Return the squares that the men of a colour attack."""
        own, occupied = self._sides[color], self.occupied
        pawns = own & self._by_kind[1]
        if color:
            found = (pawns & ~chess.BB_FILE_A) << 7 | (pawns & ~chess.BB_FILE_H) << 9
        else:
            found = (pawns & ~chess.BB_FILE_A) >> 9 | (pawns & ~chess.BB_FILE_H) >> 7
        for square in chess.scan_forward(own & self.bishops):
            found |= _DIAGONALS[square][_DIAGONAL_MASKS[square] & occupied]
        for square in chess.scan_forward(own & self.rooks):
            found |= _RANKS[square][_RANK_MASKS[square] & occupied]
            found |= _FILES[square][_FILE_MASKS[square] & occupied]
        for square in chess.scan_forward(own & self._by_kind[2]):
            found |= _KNIGHTS[square]
        if self._kings[color] >= 0:
            found |= _KINGS[self._kings[color]]
        return found & chess.BB_ALL

    def profits(self, color: chess.Color) -> dict[chess.Square, Gain]:
        """Return the enemy men that `color`, if it is to move, can take with profit, by square.

        The caller sees to it that the question makes sense: the enemy king is not in check.
        """
        enemy = self._sides[not color] & ~self._by_kind[6]
        found = {}
        for square in chess.scan_forward(self.attacked(color) & enemy):
            gain = self.best(square, color)
            if gain is not None and gain[0] > 0:
                found[square] = gain
        return found
