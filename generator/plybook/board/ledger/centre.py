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
    "pawns_in_the_middle",
]

#: d4, e4, d5, e5 (Capablanca, Chess Fundamentals, 1921).
CENTRE_SQUARES: Final = (chess.D4, chess.E4, chess.D5, chess.E5)
CENTRE: Final = chess.BB_CENTER
CENTRE_FILES: Final = (chess.BB_FILE_D, chess.BB_FILE_E)
_MIDDLE: Final = chess.BB_FILE_D | chess.BB_FILE_E

#: By kind of minor piece, the squares from which it reaches the centre on an empty board.
LOOKS_AT_CENTRE: Final = {
    chess.KNIGHT: chess.SquareSet(
        square for square in chess.SQUARES if chess.BB_KNIGHT_ATTACKS[square] & CENTRE
    ).mask,
    chess.BISHOP: chess.SquareSet(
        square for square in chess.SQUARES if chess.BB_DIAG_ATTACKS[square][0] & CENTRE
    ).mask,
}

#: Own pawns there, other own men there, guards of each square, pawn guards of each square.
CentreKey = tuple[int, int, tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class CentreCount:
    """The centre of one position. `keys` and `holders` by colour, black first: the counts, and a
    mask of the men that stand on or attack a centre square."""

    keys: tuple[CentreKey, CentreKey]
    holders: tuple[int, int]


def count_centre(board: chess.Board) -> CentreCount:
    """Return who stands on and who guards the centre squares."""
    occupied, pawns = board.occupied, board.pawns
    bishops, rooks = board.bishops | board.queens, board.rooks | board.queens
    knights, kings = board.knights, board.kings
    black, white = board.occupied_co[False], board.occupied_co[True]
    guards: tuple[list[int], list[int]] = ([], [])
    pawn_guards: tuple[list[int], list[int]] = ([], [])
    holders = occupied & CENTRE
    for square in CENTRE_SQUARES:
        men = (
            chess.BB_DIAG_ATTACKS[square][chess.BB_DIAG_MASKS[square] & occupied] & bishops
            | (
                chess.BB_RANK_ATTACKS[square][chess.BB_RANK_MASKS[square] & occupied]
                | chess.BB_FILE_ATTACKS[square][chess.BB_FILE_MASKS[square] & occupied]
            )
            & rooks
            | chess.BB_KNIGHT_ATTACKS[square] & knights
            | chess.BB_KING_ATTACKS[square] & kings
        )
        by_white = chess.BB_PAWN_ATTACKS[False][square] & pawns & white
        by_black = chess.BB_PAWN_ATTACKS[True][square] & pawns & black
        holders |= men | by_white | by_black
        guards[0].append((men & black | by_black).bit_count())
        guards[1].append((men & white | by_white).bit_count())
        pawn_guards[0].append(by_black.bit_count())
        pawn_guards[1].append(by_white.bit_count())
    keys = tuple(
        (
            (side & CENTRE & pawns).bit_count(),
            (side & CENTRE & ~pawns).bit_count(),
            tuple(guards[color]),
            tuple(pawn_guards[color]),
        )
        for color, side in ((0, black), (1, white))
    )
    return CentreCount((keys[0], keys[1]), (holders & black, holders & white))


def pawns_in_the_middle(board: chess.Board) -> int:
    """Return how many pawns of both sides stand on the d-file and the e-file."""
    return (board.pawns & _MIDDLE).bit_count()
