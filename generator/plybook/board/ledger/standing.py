"""All that the ledger carries from ply to ply, and the account of each side drawn up from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board.ledger.castling import WINGS, has_right, king_of
from plybook.board.ledger.centre import LOOKS_AT_CENTRE, CentreCount, CentreKey, count_centre
from plybook.board.ledger.men import GONE, HOMES, STONES, Roster, Track
from plybook.board.ledger.model import (
    Account,
    Cause,
    Centre,
    Development,
    Fact,
    KingState,
    LostRight,
    Men,
    Stone,
    Tempo,
    Wing,
)

__all__ = ["Exposure", "Hit", "Shelf", "Standing"]

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
_RIMS: Final = chess.BB_FILE_A | chess.BB_FILE_H
_ORIGINAL_MINORS: Final = 4


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


class Shelf:
    """Records of one line that were made before: equal ones are made once and shared."""

    __slots__ = ("_centres", "_men")

    def __init__(self) -> None:
        self._centres: dict[CentreKey, Centre] = {}
        self._men: dict[tuple[object, ...], Men] = {}

    def centre(self, key: CentreKey) -> Centre:
        """Return the record of a centre count."""
        found = self._centres.get(key)
        if found is None:
            pawns, pieces, guards, pawn_guards = key
            found = self._centres[key] = Centre(
                pawns=pawns,
                pieces=pieces,
                guards=(guards[0], guards[1], guards[2], guards[3]),
                pawn_guards=(pawn_guards[0], pawn_guards[1], pawn_guards[2], pawn_guards[3]),
            )
        return found

    def men(self, lists: tuple[tuple[Stone, ...], ...], gone: int) -> Men:
        """Return the record of a side's men."""
        found = self._men.get((lists, gone))
        if found is None:
            toward, against, elsewhere, rim, back, asleep, shut_in = lists
            found = self._men[lists, gone] = Men(
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


class Standing:
    """One place of a line, while it is being worked on. Pairs are by colour, black first.

    `count` is the ply of the game; `last_capture` the square of a capture just made and
    `last_move` its label; `holders` the men that hold the centre; `hit` a queen just hit;
    `exposures` the files that opened on each king; `pins` the men pinned along them.
    """

    __slots__ = (
        "accounts", "board", "castled", "count", "exposures", "hit", "holders", "in_check",
        "last_capture", "last_move", "lost", "men", "pins", "queen_tempi", "queen_tempi_strict",
        "shelf",
    )  # fmt: skip  # one row reads better than sixteen

    def __init__(self, board: chess.Board, *, in_check: bool) -> None:
        self.board = board
        self.shelf = Shelf()
        self.men = Track(Roster(board))
        self.in_check = in_check
        self.count = 2 * (board.fullmove_number - 1) + (not board.turn)
        self.castled: tuple[Wing | None, Wing | None] = (None, None)
        self.lost = (_missing(board, chess.BLACK), _missing(board, chess.WHITE))
        self.last_capture: chess.Square | None = None
        self.last_move = ""
        self.holders = (0, 0)
        self.hit: Hit | None = None
        self.queen_tempi = (0, 0)
        self.queen_tempi_strict = (0, 0)
        self.exposures: tuple[tuple[Exposure, ...], tuple[Exposure, ...]] = ((), ())
        self.pins: tuple[tuple[Stone, ...], ...] = ()
        self.accounts = self._draw_up(None)

    def copy(self) -> Standing:
        """Return an independent copy, for a line that branches off here."""
        twin = Standing.__new__(Standing)
        for name in Standing.__slots__:
            setattr(twin, name, getattr(self, name))
        twin.board = self.board.copy(stack=False)
        twin.men = self.men.copy()
        return twin

    def close(self) -> None:
        """Draw up both accounts anew, after a move."""
        self.accounts = self._draw_up(self.accounts)

    def _draw_up(self, before: tuple[Account, Account] | None) -> tuple[Account, Account]:
        count = count_centre(self.board)
        self.holders = count.holders
        was = before or (None, None)
        return (
            self._account(chess.BLACK, count, was[chess.BLACK]),
            self._account(chess.WHITE, count, was[chess.WHITE]),
        )

    def _account(self, color: chess.Color, count: CentreCount, was: Account | None) -> Account:
        men = self._men(color, count.holders[not color])
        king = king_of(
            self.board,
            color,
            castled=self.castled[color],
            lost=self.lost[color],
            was=was.king.state if was else KingState.AWAY,
        )
        may_be_done = not king.rights or king.castled is not None
        track = self.men
        return Account(
            centre=self.shelf.centre(count.keys[color]),
            men=men,
            king=king,
            development=self._development(color, men),
            tempo=Tempo(
                moves=track.made[color],
                visible=track.visible[color],
                with_the_dead=track.dead[color],
            ),
            queen_tempi=self.queen_tempi[color],
            queen_tempi_strict=self.queen_tempi_strict[color],
            is_done=(was is not None and was.is_done)
            or (may_be_done and not self._has_minor_at_home(color)),
        )

    def _men(self, color: chess.Color, targets: int) -> Men:
        """Return where a side's men are. `targets`: enemy men that hold the centre."""
        track, board = self.men, self.board
        roster = track.roster
        own = board.occupied_co[color]
        back_rank = 0 if color else 7
        targets &= ~board.kings
        named = STONES[color]
        lists: tuple[list[Stone], ...] = ([], [], [], [], [], [], [])
        toward, against, elsewhere, rim, back, asleep, shut_in = lists
        gone = max(0, _ORIGINAL_MINORS - len(roster.minors[color]))
        for man in roster.minors[color]:
            square, kind = track.squares[man], roster.kinds[man]
            if square == GONE:
                gone += 1
                continue
            stone = named[kind][square]
            if square >> 3 == back_rank:
                if track.has_moved(man):
                    back.append(stone)
                    continue
                asleep.append(stone)
                if not _NEIGHBOURS[kind][square] & ~own:
                    shut_in.append(stone)
            elif kind == chess.KNIGHT and _RIMS >> square & 1:
                rim.append(stone)
            elif LOOKS_AT_CENTRE[kind] >> square & 1:
                toward.append(stone)
            elif targets and board.attacks_mask(square) & targets:
                against.append(stone)
            else:
                elsewhere.append(stone)
        for man in roster.rooks[color]:
            square = track.squares[man]
            if square == roster.homes[man] and not track.has_moved(man):
                asleep.append(named[chess.ROOK][square])
                if not _NEIGHBOURS[chess.ROOK][square] & ~own:
                    shut_in.append(named[chess.ROOK][square])
        return self.shelf.men(tuple(tuple(each) for each in lists), gone)

    def _development(self, color: chess.Color, men: Men) -> Development:
        track, board = self.men, self.board
        roster = track.roster
        own_pawns = board.pawns & board.occupied_co[color]
        rooks = sum(
            1
            for square in chess.scan_forward(board.rooks & board.occupied_co[color])
            if square & 7 in (3, 4) or not own_pawns & chess.BB_FILES[square & 7]
        )
        centre_pawns = sum(
            1
            for man in roster.centre_pawns[color]
            if track.squares[man] != GONE and track.has_moved(man)
        )
        return Development(
            minors=men.out,
            castled=int(self.castled[color] is not None),
            centre_pawns=min(centre_pawns, 2),
            rooks=min(rooks, 2),
        )

    def _has_minor_at_home(self, color: chess.Color) -> bool:
        track, homes = self.men, HOMES[color]
        return any(
            track.squares[man] != GONE and homes[track.roster.kinds[man]] >> track.squares[man] & 1
            for man in track.roster.minors[color]
        )


def _missing(board: chess.Board, color: chess.Color) -> tuple[LostRight, ...]:
    """Return the rights to castle that a side has no more when the line starts."""
    return tuple(
        LostRight(wing=wing, cause=Cause.BEFORE, move=None)
        for wing in WINGS
        if not has_right(board, color, wing)
    )
