"""The four centre squares, and the d-file and e-file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

__all__ = [
    "CENTRE",
    "CENTRE_FILES",
    "CENTRE_SQUARES",
    "LOOKS_AT_CENTRE",
    "CentreCount",
    "count_centre",
]

#: d4, e4, d5, e5 (Capablanca, Chess Fundamentals, 1921).
CENTRE_SQUARES: Final = (chess.D4, chess.E4, chess.D5, chess.E5)
CENTRE: Final = chess.BB_CENTER
CENTRE_FILES: Final = (chess.BB_FILE_D, chess.BB_FILE_E)

#: By kind of minor piece, the squares from which it reaches the centre on an empty board.
LOOKS_AT_CENTRE: Final = {
    chess.KNIGHT: chess.SquareSet(
        square for square in chess.SQUARES if chess.BB_KNIGHT_ATTACKS[square] & CENTRE
    ).mask,
    chess.BISHOP: chess.SquareSet(
        square for square in chess.SQUARES if chess.BB_DIAG_ATTACKS[square][0] & CENTRE
    ).mask,
}

#: A side's men that stand on the centre, those that attack d4, e4, d5, e5, and the pawns among all
#: of these, as masks.
CentreKey = tuple[int, int, int, int, int, int]


@dataclass(frozen=True, slots=True)
class CentreCount:
    """The centre of one position. `keys` and `holders` by colour, black first: who holds what,
    and a mask of all men that stand on or attack a centre square."""

    keys: tuple[CentreKey, CentreKey]
    holders: tuple[int, int]


def count_centre(board: chess.Board) -> CentreCount:
    """Return who stands on and who guards the centre squares."""
    black, white = board.occupied_co[False], board.occupied_co[True]
    d4, e4, d5, e5 = [_guards(board, square) for square in CENTRE_SQUARES]
    standing = board.occupied & CENTRE
    holders = standing | d4 | e4 | d5 | e5
    pawns = holders & board.pawns
    return CentreCount(
        (
            (standing & black, d4 & black, e4 & black, d5 & black, e5 & black, pawns & black),
            (standing & white, d4 & white, e4 & white, d5 & white, e5 & white, pawns & white),
        ),
        (holders & black, holders & white),
    )


def _guards(board: chess.Board, square: chess.Square) -> int:
    """Return the men of both colours that attack a square."""
    occupied = board.occupied
    return (
        chess.BB_DIAG_ATTACKS[square][chess.BB_DIAG_MASKS[square] & occupied]
        & (board.bishops | board.queens)
        | (
            chess.BB_RANK_ATTACKS[square][chess.BB_RANK_MASKS[square] & occupied]
            | chess.BB_FILE_ATTACKS[square][chess.BB_FILE_MASKS[square] & occupied]
        )
        & (board.rooks | board.queens)
        | chess.BB_KNIGHT_ATTACKS[square] & board.knights
        | chess.BB_KING_ATTACKS[square] & board.kings
        | chess.BB_PAWN_ATTACKS[False][square] & board.pawns & board.occupied_co[True]
        | chess.BB_PAWN_ATTACKS[True][square] & board.pawns & board.occupied_co[False]
    )
