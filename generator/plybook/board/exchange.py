"""Exchanges on one square: what a capture wins when both sides capture as well as they can.

Values: pawn 1, knight 3, bishop 3, rook 5, queen 9 (common practice, no source).
"""

from __future__ import annotations

from typing import Final

import chess

__all__ = ["VALUES", "best_capture", "exchange_value", "gain_of", "with_turn"]

VALUES: Final = {
    chess.PAWN: 1,
    chess.KNIGHT: 3,
    chess.BISHOP: 3,
    chess.ROOK: 5,
    chess.QUEEN: 9,
    chess.KING: 0,
}


def with_turn(board: chess.Board, color: chess.Color) -> chess.Board | None:
    """Return the position with `color` to move, or None where that cannot be asked.

    It cannot when the side that would then have moved stands in check. The en passant right goes
    with a pass.
    """
    if board.turn == color:
        return board
    turned = board.copy(stack=False)
    turned.turn = color
    turned.ep_square = None
    return None if turned.was_into_check() else turned


#: What is left on the board and which man stands on the square: this settles the rest of an
#: exchange, in whatever order the others have captured.
_Seen = dict[tuple[chess.Bitboard, chess.PieceType | None], int]


def exchange_value(board: chess.Board, move: chess.Move) -> int:
    """Return what the side to move wins by a legal capture or promotion, in pawns.

    Both sides then recapture on the same square by legal moves only, or stop when that is better.
    Pins, discovered pins, promotions and captures by the king are therefore right.
    """
    return _value(board, move, {})


def _value(board: chess.Board, move: chess.Move, seen: _Seen) -> int:
    after = board.copy(stack=False)
    after.push(move)
    return gain_of(board, move) - max(0, _best_recapture(after, move.to_square, seen))


def _best_recapture(board: chess.Board, square: chess.Square, seen: _Seen) -> int:
    key = (board.occupied, board.piece_type_at(square))
    if key not in seen:
        values = [_value(board, move, seen) for move in _captures_on(board, square)]
        seen[key] = max(values, default=0)
    return seen[key]


def _captures_on(board: chess.Board, square: chess.Square) -> list[chess.Move]:
    return list(board.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[square]))


def _captures_in_passing(board: chess.Board, square: chess.Square) -> list[chess.Move]:
    """Return the captures en passant of the pawn on `square`: they go to another square."""
    passed = board.ep_square
    if passed is None or square != passed + (-8 if board.turn else 8):
        return []
    return list(board.generate_legal_ep())


def gain_of(board: chess.Board, move: chess.Move) -> int:
    """Return what a move itself adds to the mover's material: the man taken, the promotion."""
    taken = board.piece_type_at(move.to_square)
    gain = VALUES[taken] if taken else 0
    if board.is_en_passant(move):
        gain = VALUES[chess.PAWN]
    if move.promotion:
        gain += VALUES[move.promotion] - VALUES[chess.PAWN]
    return gain


def best_capture(board: chess.Board, square: chess.Square) -> tuple[int, chess.Move] | None:
    """Return the most profitable capture of the man on `square` by the other side, if it profits.

    The other side is taken to be on move. None: no capture wins anything, or it cannot be asked.
    """
    owner = board.color_at(square)
    if owner is None:
        return None
    turned = with_turn(board, not owner)
    if turned is None:
        return None
    best: tuple[int, chess.Move] | None = None
    for move in (*_captures_on(turned, square), *_captures_in_passing(turned, square)):
        value = exchange_value(turned, move)
        if value > 0 and (best is None or value > best[0]):
            best = (value, move)
    return best
