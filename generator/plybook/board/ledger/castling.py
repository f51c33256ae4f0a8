"""Castling now, later or never, in the order of article 3.8.2 of the Laws of Chess."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board.ledger.men import stones
from plybook.board.ledger.model import Cause, Hindrance, King, KingState, LostRight, Wing

__all__ = ["WINGS", "has_right", "hindrance_of", "is_in_the_middle", "king_of", "wing_files"]


@dataclass(frozen=True, slots=True)
class _Way:
    """A castling: the rook's square, the squares between, and the king's three squares in order."""

    right: int
    between: int
    path: tuple[chess.Square, chess.Square, chess.Square]


def _way(rank: int, wing: Wing) -> _Way:
    files = (4, 5, 6) if wing is Wing.SHORT else (4, 3, 2)
    between = (5, 6) if wing is Wing.SHORT else (1, 2, 3)
    rook = 7 if wing is Wing.SHORT else 0
    return _Way(
        right=1 << rank + rook,
        between=sum(1 << rank + file for file in between),
        path=(rank + files[0], rank + files[1], rank + files[2]),
    )


WINGS: Final = (Wing.SHORT, Wing.LONG)
_WAYS: Final = tuple({wing: _way(rank, wing) for wing in WINGS} for rank in (56, 0))
_ATTACKED: Final = (Cause.IN_CHECK, Cause.CROSSES, Cause.LANDS)
_LEFT: Final = chess.BB_FILE_A | chess.BB_FILE_B | chess.BB_FILE_C
_RIGHT: Final = chess.BB_FILE_F | chess.BB_FILE_G | chess.BB_FILE_H


def has_right(board: chess.Board, color: chess.Color, wing: Wing) -> bool:
    """Return whether a side has not lost the right to castle on a wing."""
    return bool(board.castling_rights & _WAYS[color][wing].right)


def hindrance_of(board: chess.Board, color: chess.Color, wing: Wing) -> Hindrance | None:
    """Return why a side with the right could not castle on a wing, were it to move; else None.

    A side that is not to move is judged all the same: nothing here depends on the turn.
    """
    way = _WAYS[color][wing]
    standing = way.between & board.occupied
    if standing:
        return Hindrance(wing=wing, cause=Cause.BETWEEN, square=None, by=stones(board, standing))
    for square, cause in zip(way.path, _ATTACKED, strict=True):
        attackers = board.attackers_mask(not color, square)
        if attackers:
            return Hindrance(
                wing=wing,
                cause=cause,
                square=chess.SQUARE_NAMES[square],
                by=stones(board, attackers),
            )
    return None


def wing_files(square: chess.Square) -> int:
    """Return the three files in front of a king on a wing (g, h or a, b, c); 0 in the middle."""
    file = square & 7
    return _LEFT if file <= 2 else _RIGHT if file >= 6 else 0


def is_in_the_middle(square: chess.Square) -> bool:
    """Return whether a square is on the d-, e- or f-file."""
    return square & 7 in (3, 4, 5)


def king_of(
    board: chess.Board,
    color: chess.Color,
    *,
    castled: Wing | None,
    lost: tuple[LostRight, ...],
    was: KingState,
) -> King:
    """Return the record of a king. `was` is its state one ply before, AWAY at the start."""
    square = board.king(color)
    assert square is not None  # a board without both kings is never played on
    rights = tuple(wing for wing in WINGS if has_right(board, color, wing))
    found = tuple(hindrance_of(board, color, wing) for wing in rights)
    hindrances = tuple(hindrance for hindrance in found if hindrance is not None)
    if castled:
        state = KingState.CASTLED
    elif rights:
        is_attacked = any(hindrance.square is not None for hindrance in hindrances)
        is_held = is_attacked and len(hindrances) == len(rights)
        state = KingState.HELD if is_held else KingState.MAY_CASTLE
    elif is_in_the_middle(square):
        state = KingState.STUCK
    elif was is not KingState.AWAY and (square >> 3) in ((0, 1) if color else (7, 6)):
        state = KingState.WALKED
    else:
        state = KingState.AWAY
    return King(
        square=chess.SQUARE_NAMES[square],
        state=state,
        castled=castled,
        rights=rights,
        hindrances=hindrances,
        lost=lost,
        shelter=_shelter(board, color, square),
    )


def _shelter(board: chess.Board, color: chess.Color, king: chess.Square) -> int | None:
    files = wing_files(king)
    if not files or king >> 3 != (0 if color else 7):
        return None
    second = chess.BB_RANK_2 if color else chess.BB_RANK_7
    return (files & second & board.pawns & board.occupied_co[color]).bit_count()
