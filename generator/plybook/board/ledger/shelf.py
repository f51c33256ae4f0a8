"""Records that recur along a line, made once and shared: most plies change little."""

from __future__ import annotations

import chess

from plybook.board.ledger.centre import CentreKey
from plybook.board.ledger.men import STONES, stones
from plybook.board.ledger.model import Cause, Centre, Development, Hindrance, Men, Stone, Wing

__all__ = ["MenKey", "Shelf"]

#: Colour; masks of the minor pieces in the order of the fields of `Men`, rooks among the sleepers;
#: which of all these are knights, which are rooks; captured minor pieces.
MenKey = tuple[bool, int, int, int, int, int, int, int, int, int, int]


class Shelf:
    """The records of one line, by what they are made from."""

    __slots__ = ("_centres", "_developments", "_hindrances", "_men")

    def __init__(self) -> None:
        self._centres: dict[CentreKey, Centre] = {}
        self._men: dict[MenKey, Men] = {}
        self._developments: dict[tuple[int, int, int, int], Development] = {}
        self._hindrances: dict[tuple[object, ...], Hindrance] = {}

    def centre(self, key: CentreKey) -> Centre:
        """Return the record of a centre count."""
        found = self._centres.get(key)
        if found is None:
            standing, d4, e4, d5, e5, pawns = key
            found = self._centres[key] = Centre(
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
        return found

    def men(self, key: MenKey) -> Men:
        """Return the record of where a side's men are."""
        found = self._men.get(key)
        if found is None:
            color, *masks, knights, rooks, gone = key

            def named(mask: int) -> tuple[Stone, ...]:
                return tuple(
                    STONES[color][_kind(square, knights, rooks)][square]
                    for square in chess.scan_forward(mask)
                )

            toward, against, elsewhere, rim, back, asleep, shut_in = map(named, masks)
            found = self._men[key] = Men(
                toward=toward,
                against=against,
                elsewhere=elsewhere,
                rim=rim,
                back=back,
                asleep=asleep,
                shut_in=shut_in,
                gone=gone,
            )
        return found

    def development(self, minors: int, castled: int, centre_pawns: int, rooks: int) -> Development:
        """Return the record of a development count."""
        key = (minors, castled, centre_pawns, rooks)
        found = self._developments.get(key)
        if found is None:
            found = self._developments[key] = Development(
                minors=minors, castled=castled, centre_pawns=centre_pawns, rooks=rooks
            )
        return found

    def hindrance(
        self, board: chess.Board, wing: Wing, cause: Cause, square: chess.Square | None, mask: int
    ) -> Hindrance:
        """Return the record of a hindrance by the men on the squares of a mask."""
        key = (
            wing is Wing.SHORT, square, cause.value, mask, mask & board.occupied_co[True],
            mask & board.pawns, mask & board.knights, mask & board.bishops, mask & board.rooks,
        )  # fmt: skip  # who stands where, at a glance
        found = self._hindrances.get(key)
        if found is None:
            found = self._hindrances[key] = Hindrance(
                wing=wing,
                cause=cause,
                square=None if square is None else chess.SQUARE_NAMES[square],
                by=stones(board, mask),
            )
        return found


def _kind(square: chess.Square, knights: int, rooks: int) -> chess.PieceType:
    if knights >> square & 1:
        return chess.KNIGHT
    return chess.ROOK if rooks >> square & 1 else chess.BISHOP
