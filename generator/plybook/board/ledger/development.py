"""Facts of the centre, of men coming out, and of the king."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.ledger.castling import wing_files
from plybook.board.ledger.centre import CENTRE, CENTRE_SQUARES
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.men import HOMES, STONES, stones
from plybook.board.ledger.model import Cause, Hindrance, KingState, LostRight
from plybook.board.ledger.moment import SQUARES, Moment

__all__ = ["find_centre", "find_king", "find_men"]

_NAMES: Final = tuple(chess.SQUARE_NAMES[square] for square in CENTRE_SQUARES)


def find_centre(moment: Moment) -> None:
    """Note how the move changed the mover's hold on the centre."""
    before, after = moment.before.centre, moment.after.centre
    if before is not after:
        if after.pawns > before.pawns:
            moment.add(FactKind.CENTRE_PAWN, man=moment.stone, squares=(moment.ply.target,))
        elif after.pawns < before.pawns:
            moment.add(
                FactKind.CENTRE_PAWN_GIVEN_UP, man=moment.stone, squares=(moment.ply.origin,)
            )
        if after.control > before.control:
            moment.add(
                FactKind.CENTRE_CONTROL,
                man=moment.stone,
                squares=tuple(
                    name for at, name in enumerate(_NAMES) if after.guards[at] > before.guards[at]
                ),
                amount=after.control - before.control,
            )
    taken = moment.captured
    if taken is not None and taken.man == "p" and CENTRE >> SQUARES[taken.square] & 1:
        moment.add(FactKind.CENTRE_PAWN_REMOVED, man=moment.stone, others=(taken,))


def find_men(moment: Moment) -> None:
    """Note a knight or bishop that comes out, where it looks, or that goes back."""
    roster = moment.standing.men.roster
    if moment.man not in roster.minors[moment.color]:
        return
    stone, men = moment.stone, moment.after.men
    if moment.is_first:
        moment.add(FactKind.DEVELOPS, man=stone, squares=(moment.ply.origin,))
        _find_order(moment)
    if stone in men.back:
        is_home = HOMES[moment.color][moment.kind] >> moment.target & 1
        moment.add(FactKind.GOES_HOME if is_home else FactKind.BACK_RANK, man=stone)
    elif stone in men.rim:
        moment.add(FactKind.ON_THE_RIM, man=stone)
    elif stone in men.toward:
        looks = (
            chess.BB_KNIGHT_ATTACKS[moment.target]
            if moment.kind == chess.KNIGHT
            else chess.BB_DIAG_ATTACKS[moment.target][0]
        )
        seen = tuple(chess.SQUARE_NAMES[s] for s in CENTRE_SQUARES if looks >> s & 1)
        moment.add(FactKind.TOWARD_CENTRE, man=stone, squares=seen)
    elif stone in men.against:
        board = moment.standing.board
        targets = moment.standing.holders[not moment.color] & ~board.kings
        held = board.attacks_mask(moment.target) & targets
        moment.add(FactKind.AGAINST_CENTRE, man=stone, others=stones(board, held))
    else:
        moment.add(FactKind.AWAY_FROM_CENTRE, man=stone)


def _find_order(moment: Moment) -> None:
    """Note which kind of minor piece came first, where the rule of Em. Lasker (1895) speaks."""
    is_knight = moment.kind == chess.KNIGHT
    waiting = "b" if is_knight else "n"
    asleep = tuple(stone for stone in moment.after.men.asleep if stone.man == waiting)
    if len(asleep) == 2:  # both of them
        kind = FactKind.KNIGHT_FIRST if is_knight else FactKind.BISHOP_FIRST
        moment.add(kind, man=moment.stone, others=asleep)


def find_king(moment: Moment) -> None:
    """Note what the move did to either king: castling, rights, the way blocked, the shelter."""
    if moment.ply.rook is not None:
        wing = moment.standing.castled[moment.color]
        moment.add(FactKind.CASTLES, man=moment.stone, wing=wing)
    for color in (moment.color, not moment.color):
        before, after = moment.accounts_before[color].king, moment.standing.accounts[color].king
        if len(after.lost) > len(before.lost):
            _note_lost(moment, color, after.lost[len(before.lost) :])
        if after.state is not before.state:
            _find_state(moment, color)
    _find_shelter(moment)


def _note_lost(moment: Moment, color: chess.Color, lost: tuple[LostRight, ...]) -> None:
    """Note lost rights; both at once, by the king's move, are one fact without a wing."""
    wing = lost[0].wing if len(lost) == 1 else None
    moment.add(FactKind.RIGHT_LOST, color=color, man=moment.stone, wing=wing, cause=lost[0].cause)


def _find_state(moment: Moment, color: chess.Color) -> None:
    king = moment.standing.accounts[color].king
    stone = STONES[color][chess.KING][SQUARES[king.square]]
    if king.state is KingState.STUCK:
        moment.add(FactKind.STUCK, color=color, man=stone)
    elif king.state is KingState.WALKED:
        moment.add(FactKind.WALKS_TO_SAFETY, color=color, man=stone)
    elif king.state is KingState.HELD:
        holds = _holding(king.hindrances)
        if holds is not None and holds.square is not None:
            moment.add(
                FactKind.HELD,
                color=color,
                man=stone,
                squares=(holds.square,),
                others=holds.by,
                wing=holds.wing,
                cause=holds.cause,
            )


def _holding(hindrances: tuple[Hindrance, ...]) -> Hindrance | None:
    """Return the hindrance that holds a king for longer than a check does."""
    lasting = (Cause.CROSSES, Cause.LANDS)
    return next((each for each in hindrances if each.cause in lasting), None)


def _find_shelter(moment: Moment) -> None:
    king = moment.before.king
    if moment.kind != chess.PAWN or king.castled is None or king.shelter is None:
        return
    second = chess.BB_RANK_2 if moment.color else chess.BB_RANK_7
    square = SQUARES[king.square]
    if wing_files(square) & second & 1 << moment.origin:
        moment.add(
            FactKind.SHELTER_PAWN,
            man=moment.stone,
            others=(STONES[moment.color][chess.KING][square],),
            squares=(moment.ply.origin,),
        )
