"""Castling now, later or never, in the order of article 3.8.2 of the Laws of Chess."""

from __future__ import annotations

from dataclasses import dataclass
from operator import is_
from typing import Final

import chess

from plybook.board.ledger.model import Hindrance, King, KingState, LostRight, Wing
from plybook.board.ledger.shelf import hindrance_by

__all__ = [
    "WINGS",
    "has_right",
    "is_in_the_middle",
    "is_shut_in",
    "king_of",
    "ways_shut",
    "wing_files",
]


@dataclass(frozen=True, slots=True)
class _Way:
    """A castling: the rook's square, the squares between, the king's three squares in order."""

    wing: Wing
    right: int
    between: int
    path: tuple[chess.Square, ...]


def _way(rank: int, wing: Wing) -> _Way:
    files = (4, 5, 6) if wing is Wing.SHORT else (4, 3, 2)
    between = (5, 6) if wing is Wing.SHORT else (1, 2, 3)
    rook = 7 if wing is Wing.SHORT else 0
    return _Way(
        wing=wing,
        right=1 << rank + rook,
        between=sum(1 << rank + file for file in between),
        path=tuple(rank + file for file in files),
    )


WINGS: Final = (Wing.SHORT, Wing.LONG)
_WAYS: Final = tuple(tuple(_way(rank, wing) for wing in WINGS) for rank in (56, 0))
_BETWEEN: Final = tuple(sum(way.between for way in ways) for ways in _WAYS)
_LEFT: Final = chess.BB_FILE_A | chess.BB_FILE_B | chess.BB_FILE_C
_RIGHT: Final = chess.BB_FILE_F | chess.BB_FILE_G | chess.BB_FILE_H


def has_right(rights: int, color: chess.Color, wing: Wing) -> bool:
    """Return whether the rights of a board hold the one of a side to castle on a wing."""
    return any(rights & way.right for way in _WAYS[color] if way.wing is wing)


def _hindrance(board: chess.Board, color: chess.Color, way: _Way) -> Hindrance | None:
    """Return why a side with the right could not castle, were it to move; None when it could.

    A side that is not to move is judged all the same: nothing here depends on the turn.
    """
    standing = way.between & board.occupied
    if standing:
        return hindrance_by(board, way.wing, None, standing)
    for square in way.path:
        attackers = board.attackers_mask(not color, square)
        if attackers:
            return hindrance_by(board, way.wing, square, attackers)
    return None


def ways_shut(board: chess.Board, color: chess.Color) -> int:
    """Return the squares between king and rooks that are not empty."""
    return _BETWEEN[color] & board.occupied


def is_shut_in(king: King) -> bool:
    """Return whether men between bar every castling to which a king still has the right."""
    return len(king.hindrances) == len(king.rights) > 0 and not any(
        hindrance.square for hindrance in king.hindrances
    )


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
    was: King | None,
) -> King:
    """Return the record of a king. `was` is the one of a ply before; it is used again where nothing
    has changed."""
    square = (board.kings & board.occupied_co[color]).bit_length() - 1
    wings, found = [], []
    for way in _WAYS[color]:
        if board.castling_rights & way.right:
            wings.append(way.wing)
            hindrance = _hindrance(board, color, way)
            if hindrance is not None:
                found.append(hindrance)
    rights, hindrances = tuple(wings), tuple(found)
    state = _state(color, square, castled=castled, hindrances=hindrances, rights=rights, was=was)
    shelter = _shelter(board, color, square)
    if (
        was is not None
        and was.state is state
        and was.lost is lost
        and was.shelter == shelter
        and was.square == chess.SQUARE_NAMES[square]
        and len(was.hindrances) == len(hindrances)
        and all(map(is_, was.hindrances, hindrances))
    ):
        return was  # no right was lost, so the rights are the same too
    return King(
        square=chess.SQUARE_NAMES[square],
        state=state,
        castled=castled,
        rights=rights,
        hindrances=hindrances,
        lost=lost,
        shelter=shelter,
    )


def _state(
    color: chess.Color,
    square: chess.Square,
    *,
    castled: Wing | None,
    hindrances: tuple[Hindrance, ...],
    rights: tuple[Wing, ...],
    was: King | None,
) -> KingState:
    """Return where a king is on its way. Held: every way that is clear of men is attacked."""
    if castled:
        return KingState.CASTLED
    if rights:
        is_attacked = any(hindrance.square is not None for hindrance in hindrances)
        is_held = is_attacked and len(hindrances) == len(rights)
        return KingState.HELD if is_held else KingState.MAY_CASTLE
    if is_in_the_middle(square):
        return KingState.STUCK
    came_in_this_line = was is not None and was.state is not KingState.AWAY
    if came_in_this_line and square >> 3 in ((0, 1) if color else (7, 6)):
        return KingState.WALKED
    return KingState.AWAY


def _shelter(board: chess.Board, color: chess.Color, king: chess.Square) -> int | None:
    files = wing_files(king)
    if not files or king >> 3 != (0 if color else 7):
        return None
    second = chess.BB_RANK_2 if color else chess.BB_RANK_7
    return (files & second & board.pawns & board.occupied_co[color]).bit_count()
