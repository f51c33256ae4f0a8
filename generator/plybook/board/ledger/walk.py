"""The ledger of a line: every ply of the tree is made once, and its facts are noted."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.ledger.castling import WINGS, has_right
from plybook.board.ledger.development import find_centre, find_king, find_men
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.model import (
    DEFAULT,
    Cause,
    Entry,
    LeadIn,
    Ledger,
    LedgerSettings,
    LostRight,
    Wing,
)
from plybook.board.ledger.moment import SQUARES, Moment
from plybook.board.ledger.opened import find_opened
from plybook.board.ledger.pawns import find_pawn
from plybook.board.ledger.queen import count_tempo, find_driven, find_hit
from plybook.board.ledger.reasons import find_again, find_early_queen, find_forcing
from plybook.board.ledger.standing import Standing
from plybook.board.model import Line, Ply, Position
from plybook.board.positions import position_key

__all__ = ["ledger_of"]


def ledger_of(
    line: Line, *, settings: LedgerSettings = DEFAULT, lead_in: LeadIn | None = None
) -> Ledger:
    """Return the ledger of a line, one entry a place, sidelines included.

    An entry depends on the moves that lead to its place alone, so the ledger of a line is the
    beginning of its longer line's. `lead_in` gives the moves before a line that starts inside
    another; without it, a man on a home square of its kind counts as unmoved and every other as
    moved. A partial board has no ledger: there are no entries. Raises ValueError when the lead-in
    does not end where the line starts.
    """
    if line.start.is_partial:
        return Ledger(entries=(), settings=settings)
    standing = _standing_at(lead_in.start if lead_in else line.start)
    if lead_in:
        for ply in lead_in.plies:
            _advance(standing, ply, settings)
        if position_key(standing.board) != line.start.key:
            raise ValueError("the lead-in does not end where the line starts")
    entries = [_entry(standing, place=0, moment=None, settings=settings)]
    waiting = {ply.parent: ply.index for ply in line.plies}  # the last ply played from a place
    standings = {0: standing}
    for ply in line.plies:
        if waiting[ply.parent] == ply.index:
            standing = standings.pop(ply.parent)
        else:
            standing = standings[ply.parent].copy()
        moment = _advance(standing, ply, settings)
        if ply.index in waiting:
            standings[ply.index] = standing
        entries.append(_entry(standing, place=ply.index, moment=moment, settings=settings))
    return Ledger(entries=tuple(entries), settings=settings)


def _standing_at(start: Position) -> Standing:
    return Standing(chess.Board(start.fen), in_check=start.outcome == "check")


def _advance(standing: Standing, ply: Ply, settings: LedgerSettings) -> Moment:
    """Make a move on a standing and return it with its facts."""
    moment = Moment(standing, ply, settings)
    _make(moment)
    count_tempo(moment)
    standing.close(mover=moment.color, has_captured=moment.captured is not None)
    for find in _FINDERS:
        find(moment)
    return moment


def _find_end(moment: Moment) -> None:
    """Note that the opening ends: done by a side, or no longer counted."""
    is_cut = moment.standing.count == moment.settings.opening_plies
    for color in (moment.color, not moment.color):
        if moment.standing.accounts[color].is_done:
            if not moment.accounts_before[color].is_done:
                moment.add(FactKind.OPENING_DONE, color=color)
        elif is_cut:
            moment.add(FactKind.OPENING_CUT, color=color)


#: What is looked for in a move, in this order: later ones build on facts of earlier ones.
_FINDERS: Final = (
    find_centre,
    find_men,
    find_king,
    find_forcing,
    find_pawn,
    find_again,
    find_early_queen,
    find_driven,
    find_hit,
    find_opened,
    _find_end,
)


def _make(moment: Moment) -> None:
    """Make the move on the board and among the men."""
    standing, ply = moment.standing, moment.ply
    board, men = standing.board, standing.men
    rights = board.castling_rights
    if ply.captured_on is not None:
        men.capture(SQUARES[ply.captured_on])
    if ply.rook is not None:
        rook = (SQUARES[ply.rook[0]], SQUARES[ply.rook[1]])
        men.castle((moment.origin, moment.target), rook)
        wing = Wing.SHORT if moment.target > moment.origin else Wing.LONG
        pair = standing.castled
        standing.castled = (pair[0], wing) if moment.color else (wing, pair[1])
    else:
        men.move(moment.origin, moment.target, promotion=moment.move.promotion)
    board.push(moment.move)
    standing.forget()
    if board.castling_rights != rights:
        _lose_rights(moment, rights)
    standing.count += 1
    standing.hit = None
    standing.in_check = ply.outcome == "check"
    standing.last_capture = moment.target if ply.captured is not None else None
    standing.last_move = moment.label


def _lose_rights(moment: Moment, had: int) -> None:
    """Write down which rights the move ended, and why; castling uses its rights up."""
    standing = moment.standing
    pair = [standing.lost[0], standing.lost[1]]
    for color in (chess.BLACK, chess.WHITE):
        if standing.castled[color] is not None:
            continue
        cause = Cause.ROOK_TAKEN
        if color == moment.color:
            cause = Cause.KING_MOVED if moment.kind == chess.KING else Cause.ROOK_MOVED
        for wing in WINGS:
            if has_right(had, color, wing) and not has_right(
                standing.board.castling_rights, color, wing
            ):
                lost = LostRight(wing=wing, cause=cause, move=moment.label)
                pair[color] = (*pair[color], lost)
    standing.lost = (pair[0], pair[1])


def _entry(
    standing: Standing, *, place: int, moment: Moment | None, settings: LedgerSettings
) -> Entry:
    black, white = standing.accounts
    return Entry(
        place=place,
        mover=moment.side if moment else None,
        facts=tuple(moment.facts) if moment else (),
        white=white,
        black=black,
        is_opening=standing.count < settings.opening_plies
        and not (white.is_done and black.is_done),
    )
