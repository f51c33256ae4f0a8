"""Reasons for a move: captures, checks, threats; and the man that moves again, with its reasons."""

from __future__ import annotations

import chess

from plybook.board.exchange import with_turn
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.mates import mate_in_one
from plybook.board.ledger.men import STONES, stone_at
from plybook.board.ledger.model import Fact
from plybook.board.ledger.moment import Moment

__all__ = ["find_again", "find_early_queen", "find_forcing"]

#: Facts that can excuse a second move, the weightiest first.
_EXCUSES = (
    FactKind.ANSWERS_CHECK,
    FactKind.RECAPTURES,
    FactKind.WINS_MATERIAL,
    FactKind.TRADES,
    FactKind.SACRIFICES,
    FactKind.GIVES_MATE,
    FactKind.GIVES_CHECK,
    FactKind.THREATENS_MATE,
    FactKind.THREATENS,
)


def find_forcing(moment: Moment) -> None:
    """Note what the move forces: a capture, an answered check, a check, a threat."""
    stone = moment.stone
    if moment.was_in_check:
        moment.add(FactKind.ANSWERS_CHECK, man=stone)
    if moment.value is not None:
        assert moment.captured is not None
        moment.add(_capture_kind(moment), man=stone, others=(moment.captured,), amount=moment.value)
    outcome = moment.ply.outcome
    if outcome == "mate":
        moment.add(FactKind.GIVES_MATE, man=stone)
    elif outcome == "check":
        moment.add(FactKind.GIVES_CHECK, man=stone)
    elif not outcome and moment.is_opening and not moment.was_in_check:
        _find_threats(moment)


def _capture_kind(moment: Moment) -> FactKind:
    if moment.is_recapture:
        return FactKind.RECAPTURES
    value = moment.value or 0
    if value > 0:
        return FactKind.WINS_MATERIAL
    return FactKind.SACRIFICES if value < 0 else FactKind.TRADES


def _find_threats(moment: Moment) -> None:
    """Note what the mover could do next if the other side passed, and could not do before.

    A side that was in check had no free choice before, and a side in check may not pass: neither is
    asked (the caller sees to it).
    """
    board, color = moment.standing.board, moment.color
    mate = moment.standing.waiting_mate
    if mate is not None and mate_in_one(moment.prior, color) is None:
        asked = with_turn(board, color)
        assert asked is not None
        number = f"{moment.ply.number + 1}{'.' if color else '...'}"
        moment.add(
            FactKind.THREATENS_MATE,
            man=stone_at(board, mate.from_square),
            squares=(chess.SQUARE_NAMES[mate.to_square],),
            moves=(f"{number}{asked.san(mate)}",),
        )
    fresh = []
    for square, gain in moment.standing.waiting_profits.items():
        before = moment.prior_swap.best(square, color)
        if before is None or gain[0] > max(before[0], 0):
            fresh.append((-gain[0], square, gain[1]))
    if fresh:
        fresh.sort()
        moment.add(
            FactKind.THREATENS,
            man=stone_at(board, fresh[0][2]),
            others=tuple(stone_at(board, square) for _, square, _ in fresh),
            amount=-fresh[0][0],
        )


def find_again(moment: Moment) -> None:
    """Note a piece that has moved before and moves again in the opening, with every excuse.

    Castling is the king's move alone: the rook's next move is its first.
    """
    if moment.is_again and moment.is_opening:
        men, man = moment.standing.men, moment.man
        moment.add(
            FactKind.SAME_MAN_AGAIN,
            man=moment.stone,
            amount=men.moves[man] + men.roster.has_moved[man],
            reasons=_excuses(moment),
        )


def find_early_queen(moment: Moment) -> None:
    """Note the queen's first move while too few minor pieces have left home or the board."""
    if moment.kind != chess.QUEEN or not moment.is_first or not moment.is_opening:
        return
    men = moment.before.men
    if men.out + men.gone < moment.settings.queen_waits_for:
        at_home = tuple(stone for stone in men.asleep if stone.man != "r") + men.back
        moment.add(
            FactKind.QUEEN_EARLY,
            man=moment.stone,
            others=at_home,
            amount=men.out,
            reasons=_excuses(moment),
        )


def _excuses(moment: Moment) -> tuple[Fact, ...]:
    pressed = moment.pressed
    found = moment.found(*_EXCUSES)
    if pressed is None or pressed[0] < 0 or moment.presser is None:
        return found
    kind = FactKind.WAS_ATTACKED if pressed[0] > 0 else FactKind.LEFT_A_TRADE
    was = STONES[moment.color][moment.kind][moment.origin]
    first = Fact(kind=kind, side=moment.side, man=was, others=(moment.presser,), amount=pressed[0])
    return (first, *found) if pressed[0] > 0 else (*found, first)
