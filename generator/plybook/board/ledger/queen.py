"""The queen when she is out: moves that hit her, and the tempi that they win."""

from __future__ import annotations

import chess

from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.men import stone_at
from plybook.board.ledger.moment import Moment
from plybook.board.ledger.standing import Hit

__all__ = ["count_tempo", "find_driven", "find_hit"]

#: What makes a tempo worth most: the move that wins it is useful besides.
_STRICT = (FactKind.DEVELOPS, FactKind.CENTRE_PAWN)


def count_tempo(moment: Moment) -> None:
    """Add to the tempi the queen has cost, before the accounts are drawn up."""
    if not _is_driven(moment):
        return
    assert moment.hit is not None
    standing, color = moment.standing, moment.color
    standing.queen_tempi = _one_more(standing.queen_tempi, color)
    if moment.hit.is_strict:
        standing.queen_tempi_strict = _one_more(standing.queen_tempi_strict, color)


def _one_more(pair: tuple[int, int], color: chess.Color) -> tuple[int, int]:
    return (pair[0], pair[1] + 1) if color else (pair[0] + 1, pair[1])


def _is_driven(moment: Moment) -> bool:
    """Return whether the queen was just hit and runs: a capture that does not lose is no run."""
    hit = moment.hit
    return (
        hit is not None
        and moment.kind == chess.QUEEN
        and moment.origin == hit.square
        and (moment.value is None or moment.value < 0)
    )


def find_driven(moment: Moment) -> None:
    """Note a tempo that the queen has cost: her move away, and the move that drove her.

    A check that she gives in going is a fact of its own; the tempo counts all the same.
    """
    if _is_driven(moment):
        assert moment.hit is not None
        moment.add(
            FactKind.QUEEN_DRIVEN,
            man=moment.stone,
            moves=(moment.hit.move, moment.label),
            reasons=moment.hit.reasons,
        )


def find_hit(moment: Moment) -> None:
    """Note a move after which the enemy queen, which is out, can be taken with profit.

    With check the question makes no sense: the other side may not pass.
    """
    enemy = not moment.color
    if moment.ply.outcome or not moment.counts_opening_of(enemy):
        return
    standing = moment.standing
    board, men = standing.board, standing.men
    for square in chess.scan_forward(board.queens & board.occupied_co[enemy]):
        if not men.has_moved[men.at[square]]:
            continue
        if not board.attackers_mask(moment.color, square):
            continue
        gain = moment.standing.swap.best(square, moment.color)
        if gain is None or gain[0] <= 0:
            continue
        before = moment.prior_swap.best(square, moment.color)
        if before is not None and before[0] > 0:
            continue
        reasons = moment.found(*_STRICT, FactKind.OPENS_A_WAY)
        moment.add(
            FactKind.HITS_QUEEN,
            man=moment.stone,
            others=(stone_at(board, square),),
            amount=gain[0],
            reasons=reasons,
        )
        standing.hit = Hit(
            square=square,
            move=moment.label,
            is_strict=any(fact.kind in _STRICT for fact in reasons),
            reasons=reasons,
        )
