"""All that the ledger carries from ply to ply, and the account of each side drawn up from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board.ledger.castling import WINGS, has_right, is_shut_in, king_of, ways_shut
from plybook.board.ledger.centre import LOOKS_AT_CENTRE, CentreCount, count_centre
from plybook.board.ledger.mates import mate_in_one
from plybook.board.ledger.men import GONE, HOMES, Roster, Track
from plybook.board.ledger.model import (
    Account,
    Cause,
    Development,
    Fact,
    King,
    LostRight,
    Men,
    Stone,
    Tempo,
    Wing,
)
from plybook.board.ledger.shelf import MenKey, centre_of, development_of, men_of
from plybook.board.ledger.swap import Gain, Swap

__all__ = ["Exposure", "Hit", "Standing"]

_NEIGHBOURS: Final = {
    chess.BISHOP: tuple(
        chess.BB_KING_ATTACKS[square] & chess.BB_DIAG_ATTACKS[square][0] for square in chess.SQUARES
    ),
    chess.ROOK: tuple(
        chess.BB_KING_ATTACKS[square]
        & (chess.BB_RANK_ATTACKS[square][0] | chess.BB_FILE_ATTACKS[square][0])
        for square in chess.SQUARES
    ),
    chess.KNIGHT: tuple(chess.BB_KNIGHT_ATTACKS),
}
#: Stands for: not every way to castle is barred by men between.
_NOT_SHUT: Final = -1
_RIMS: Final = chess.BB_FILE_A | chess.BB_FILE_H


@dataclass(frozen=True, slots=True)
class Hit:
    """A queen that was just hit: her square, the move that hit her, and what else it did."""

    square: chess.Square
    move: str
    is_strict: bool
    reasons: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Exposure:
    """A file (0 to 7) that opened on a king: by which move, and at which ply of the game."""

    file: int
    move: str
    count: int


class Standing:
    """One place of a line, while it is being worked on. Pairs are by colour, black first.

    `count` is the ply of the game; `last_capture` the square of a capture just made and
    `last_move` its label; `holders` the men that hold the centre; `hit` a queen just hit;
    `shut` the squares between king and rooks that bar every castling;
    `exposures` the files that opened on each king; `pins` the men pinned along them.

    What the waiting side (the one that just moved) could do if the other passed is asked at most
    once a place: `waiting_profits`, `waiting_mate`.
    """

    __slots__ = (
        "_mate", "_profits", "_swap", "accounts", "board", "castled", "count", "exposures",
        "has_captured", "hit", "holders", "in_check", "last_capture", "last_move", "lost", "men",
        "pins", "queen_tempi", "queen_tempi_strict", "shut",
    )  # fmt: skip  # three rows read better than twenty

    def __init__(self, board: chess.Board, *, in_check: bool) -> None:
        self.board = board
        self.men = Track(Roster(board))
        self.in_check = in_check
        self.count = 2 * (board.fullmove_number - 1) + (not board.turn)
        self.castled: tuple[Wing | None, Wing | None] = (None, None)
        self.lost = (_missing(board, chess.BLACK), _missing(board, chess.WHITE))
        self.last_capture: chess.Square | None = None
        self.last_move = ""
        self.hit: Hit | None = None
        self.queen_tempi = (0, 0)
        self.queen_tempi_strict = (0, 0)
        self.exposures: tuple[tuple[Exposure, ...], tuple[Exposure, ...]] = ((), ())
        self.pins: tuple[tuple[Stone, ...], ...] = ()
        self.shut = (_NOT_SHUT, _NOT_SHUT)
        self.has_captured = False
        self.forget()
        count = count_centre(board)
        self.holders = count.holders
        self.accounts = (
            self._account(chess.BLACK, count, None, is_touched=True),
            self._account(chess.WHITE, count, None, is_touched=True),
        )

    def copy(self) -> Standing:
        """Return an independent copy, for a line that branches off here."""
        twin = Standing.__new__(Standing)
        for name in Standing.__slots__:
            setattr(twin, name, getattr(self, name))
        twin.board = self.board.copy(stack=False)
        twin.men = self.men.copy()
        return twin

    def forget(self) -> None:
        """Drop what is known of the position alone, since it changes."""
        self._swap: Swap | None = None
        self._profits: dict[chess.Square, Gain] | None = None
        self._mate: tuple[chess.Move | None] | None = None

    @property
    def swap(self) -> Swap:
        """The exchanges of this position."""
        if self._swap is None:
            self._swap = Swap(self.board)
        return self._swap

    @property
    def waiting_profits(self) -> dict[chess.Square, Gain]:
        """What the waiting side could take with profit. The side to move must not be in check."""
        if self._profits is None:
            self._profits = self.swap.profits(not self.board.turn)
        return self._profits

    @property
    def waiting_mate(self) -> chess.Move | None:
        """A move by which the waiting side would mate at once."""
        if self._mate is None:
            self._mate = (mate_in_one(self.board, not self.board.turn),)
        return self._mate[0]

    def close(self, *, mover: chess.Color, has_captured: bool) -> None:
        """Draw up both accounts anew, after a move."""
        self.has_captured = has_captured
        black, white = self.accounts
        count = count_centre(self.board)
        self.holders = count.holders
        self.accounts = (
            self._account(chess.BLACK, count, black, is_touched=not mover or has_captured),
            self._account(chess.WHITE, count, white, is_touched=mover or has_captured),
        )

    def _account(
        self, color: chess.Color, count: CentreCount, was: Account | None, *, is_touched: bool
    ) -> Account:
        """Return the account of a side. A side is touched when one of its men moved or was taken;
        of another only the enemy's reach has changed."""
        men = was.men if was else None
        if men is None or is_touched or men.against or men.elsewhere:
            men = men_of(self._where(color, count.holders[not color]))
        king = self._king(color, was.king if was else None, is_touched=is_touched)
        centre = centre_of(count.keys[color])
        if was is not None and not is_touched:
            if centre is was.centre and men is was.men and king is was.king:
                return was
            development, tempo, is_done = was.development, was.tempo, was.is_done
        else:
            development, tempo = self._development(color, men), self._tempo(color)
            is_done = (was is not None and was.is_done) or self._is_done(color, king)
        return Account(
            centre=centre,
            men=men,
            king=king,
            development=development,
            tempo=tempo,
            queen_tempi=self.queen_tempi[color],
            queen_tempi_strict=self.queen_tempi_strict[color],
            is_done=is_done,
        )

    def _king(self, color: chess.Color, was: King | None, *, is_touched: bool) -> King:
        """Return the record of a king, the last one where nothing about it can have changed.

        That is so when no man of the side moved or was taken and no right is left, and when the
        same men still bar every way to castle.
        """
        shut = ways_shut(self.board, color)
        if was is not None and self.lost[color] is was.lost:
            if not is_touched and not was.rights:
                return was
            if shut == self.shut[color] and not self.has_captured:
                return was
        king = king_of(
            self.board,
            color,
            castled=self.castled[color],
            lost=self.lost[color],
            was=was,
        )
        barred = shut if is_shut_in(king) else _NOT_SHUT
        self.shut = (self.shut[0], barred) if color else (barred, self.shut[1])
        return king

    def _tempo(self, color: chess.Color) -> Tempo:
        track = self.men
        return Tempo(
            moves=track.made[color],
            visible=track.visible[color],
            with_the_dead=track.dead[color],
        )

    def _where(self, color: chess.Color, targets: int) -> MenKey:
        """Return where a side's men are. `targets`: enemy men that hold the centre."""
        track, board = self.men, self.board
        roster, squares, has_moved = track.roster, track.squares, track.has_moved
        own = board.occupied_co[color]
        back_rank = chess.BB_RANK_1 if color else chess.BB_RANK_8
        targets &= ~board.kings
        toward = against = elsewhere = rim = back = asleep = shut_in = knights = rooks = 0
        gone = roster.missing[color]
        for man in roster.minors[color]:
            square = squares[man]
            if square < 0:
                gone += 1
                continue
            bit, kind = 1 << square, roster.kinds[man]
            if kind == 2:
                knights |= bit
            if bit & back_rank:
                if has_moved[man]:
                    back |= bit
                    continue
                asleep |= bit
                if not _NEIGHBOURS[kind][square] & ~own:
                    shut_in |= bit
            elif bit & LOOKS_AT_CENTRE[kind]:
                toward |= bit
            elif kind == 2 and bit & _RIMS:
                rim |= bit
            elif targets and board.attacks_mask(square) & targets:
                against |= bit
            else:
                elsewhere |= bit
        for man in roster.rooks[color]:
            if not has_moved[man] and squares[man] == roster.homes[man]:
                bit = 1 << squares[man]
                rooks |= bit
                asleep |= bit
                if not _NEIGHBOURS[chess.ROOK][squares[man]] & ~own:
                    shut_in |= bit
        return (
            color, toward, against, elsewhere, rim, back, asleep, shut_in, knights, rooks, gone
        )  # fmt: skip  # the order of the key at a glance

    def _development(self, color: chess.Color, men: Men) -> Development:
        track, board = self.men, self.board
        own = board.occupied_co[color]
        own_pawns = board.pawns & own
        rooks, towers = 0, board.rooks & own
        while towers:
            file = (towers & -towers).bit_length() - 1 & 7
            towers &= towers - 1
            if file in (3, 4) or not own_pawns & chess.BB_FILES[file]:
                rooks += 1
        centre_pawns = 0
        for man in track.roster.centre_pawns[color]:
            if track.has_moved[man] and track.squares[man] != GONE:
                centre_pawns += 1
        castled = 0 if self.castled[color] is None else 1
        return development_of(men.out, castled, min(centre_pawns, 2), min(rooks, 2))

    def _is_done(self, color: chess.Color, king: King) -> bool:
        """Return whether a side has castled or cannot any more, and no minor piece stands on a home
        square of its kind."""
        if king.rights and king.castled is None:
            return False
        track, homes = self.men, HOMES[color]
        for man in track.roster.minors[color]:
            square = track.squares[man]
            if square != GONE and homes[track.roster.kinds[man]] >> square & 1:
                return False
        return True


def _missing(board: chess.Board, color: chess.Color) -> tuple[LostRight, ...]:
    """Return the rights to castle that a side has no more when the line starts."""
    return tuple(
        LostRight(wing=wing, cause=Cause.BEFORE, move=None)
        for wing in WINGS
        if not has_right(board.castling_rights, color, wing)
    )
