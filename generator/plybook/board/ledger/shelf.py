"""Records that recur from ply to ply and from line to line, made once and shared.

Each is a pure function of a few numbers with a bounded memory: what it forgets it makes again.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import chess

from plybook.board.ledger.centre import CentreKey
from plybook.board.ledger.men import STONES
from plybook.board.ledger.model import Cause, Centre, Development, Hindrance, Men, Stone, Wing

__all__ = ["MenKey", "centre_of", "development_of", "hindrance_by", "men_of"]

#: Colour; masks of the minor pieces in the order of the fields of `Men`, rooks among the sleepers;
#: which of all these are knights, which are rooks; captured minor pieces.
MenKey = tuple[bool, int, int, int, int, int, int, int, int, int, int]

_KEPT: Final = 1 << 14

#: What an attack on a square of the king's way does, by the square's file: c and d, e, f and g.
_CAUSES: Final = {
    2: Cause.LANDS,
    3: Cause.CROSSES,
    4: Cause.IN_CHECK,
    5: Cause.CROSSES,
    6: Cause.LANDS,
}


@lru_cache(_KEPT)
def centre_of(key: CentreKey) -> Centre:
    """Return the record of a centre count."""
    standing, d4, e4, d5, e5, pawns = key
    return Centre(
        pawns=(standing & pawns).bit_count(),
        pieces=(standing & ~pawns).bit_count(),
        guards=(d4.bit_count(), e4.bit_count(), d5.bit_count(), e5.bit_count()),
        pawn_guards=(
            (d4 & pawns).bit_count(),
            (e4 & pawns).bit_count(),
            (d5 & pawns).bit_count(),
            (e5 & pawns).bit_count(),
        ),
    )


@lru_cache(_KEPT)
def men_of(key: MenKey) -> Men:
    """Return the record of where a side's men are."""
    color, toward, against, elsewhere, rim, back, asleep, shut_in, knights, rooks, gone = key

    def named(mask: int) -> tuple[Stone, ...]:
        return _named(color, mask, mask & knights, mask & rooks) if mask else ()

    return Men(
        toward=named(toward),
        against=named(against),
        elsewhere=named(elsewhere),
        rim=named(rim),
        back=named(back),
        asleep=named(asleep),
        shut_in=named(shut_in),
        gone=gone,
    )


@lru_cache(_KEPT)
def _named(color: bool, mask: int, knights: int, rooks: int) -> tuple[Stone, ...]:
    """Return the men of a mask, a1 first; those that are neither knights nor rooks are bishops."""
    found = []
    for square in chess.scan_forward(mask):
        kind = chess.BISHOP
        if knights >> square & 1:
            kind = chess.KNIGHT
        elif rooks >> square & 1:
            kind = chess.ROOK
        found.append(STONES[color][kind][square])
    return tuple(found)


@lru_cache(_KEPT)
def development_of(minors: int, castled: int, centre_pawns: int, rooks: int) -> Development:
    """Return the record of a development count."""
    return Development(minors=minors, castled=castled, centre_pawns=centre_pawns, rooks=rooks)


def hindrance_by(
    board: chess.Board, wing: Wing, square: chess.Square | None, men: int
) -> Hindrance:
    """Return the record of a hindrance: the attackers of a square of the king's way, or, without a
    square, the men between."""
    return _hindrance(
        wing is Wing.SHORT,
        square,
        men & board.occupied_co[True],
        men & board.occupied_co[False],
        men & board.pawns,
        men & board.knights,
        men & board.bishops,
        men & board.rooks,
        men & board.queens,
    )


@lru_cache(_KEPT)
def _hindrance(
    is_short: bool, square: chess.Square | None, white: int, black: int, *by_kind: int
) -> Hindrance:
    """Return the record of a hindrance; a man in none of the masks by kind is a king."""
    men = []
    for each in chess.scan_forward(white | black):
        kinds = [kind for kind, mask in enumerate(by_kind, start=1) if mask >> each & 1]
        kind = kinds[0] if kinds else chess.KING
        men.append(STONES[white >> each & 1][kind][each])
    return Hindrance(
        wing=Wing.SHORT if is_short else Wing.LONG,
        cause=Cause.BETWEEN if square is None else _CAUSES[square & 7],
        square=None if square is None else chess.SQUARE_NAMES[square],
        by=tuple(men),
    )
