"""Pins: a man that shields a more valuable one from a bishop, rook or queen."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from plybook.board.exchange import VALUES, exchange_value, with_turn

__all__ = ["Pin", "find_pin"]


@dataclass(frozen=True, slots=True)
class Pin:
    """A pin. `worth` is what the pinner wins behind the pinned man; 0 for a pin to the king."""

    is_absolute: bool
    worth: int


def find_pin(
    board: chess.Board, pinner: chess.Square, pinned: chess.Square, behind: chess.Square
) -> Pin | None:
    """Return the pin of three squares on one line, or None.

    Absolute: the man behind is the king. Relative: the man behind is worth more than the pinned
    one, and with the pinned man gone the pinner takes it with profit.
    """
    attacker, shield, prize = (board.piece_at(square) for square in (pinner, pinned, behind))
    if attacker is None or shield is None or prize is None:
        return None
    if attacker.piece_type not in (chess.BISHOP, chess.ROOK, chess.QUEEN):
        return None
    if shield.color == attacker.color or prize.color == attacker.color:
        return None
    if pinned not in board.attacks(pinner) or pinned not in chess.SquareSet(
        chess.between(pinner, behind)
    ):
        return None
    bare = board.copy(stack=False)
    bare.remove_piece_at(pinned)
    if behind not in bare.attacks(pinner):
        return None
    if prize.piece_type == chess.KING:
        return Pin(is_absolute=True, worth=0)
    if VALUES[prize.piece_type] <= VALUES[shield.piece_type]:
        return None
    turned = with_turn(bare, attacker.color)
    move = chess.Move(pinner, behind)
    if turned is None or not turned.is_legal(move):
        return None
    worth = exchange_value(turned, move)
    return Pin(is_absolute=False, worth=worth) if worth > 0 else None
