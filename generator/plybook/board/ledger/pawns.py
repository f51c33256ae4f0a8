"""Pawn moves and what they help: everything that can be computed, and nothing of plans."""

from __future__ import annotations

import chess

from plybook.board.exchange import best_capture
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.mates import mate_in_one
from plybook.board.ledger.men import stone_at, stones
from plybook.board.ledger.model import Fact
from plybook.board.ledger.moment import Moment, open_ways

__all__ = ["find_pawn"]

#: Facts that are a job for a pawn, in the order in which they are told.
_JOBS = (
    FactKind.CENTRE_PAWN,
    FactKind.RECAPTURES,
    FactKind.WINS_MATERIAL,
    FactKind.TRADES,
    FactKind.SACRIFICES,
    FactKind.CENTRE_PAWN_REMOVED,
    FactKind.ANSWERS_CHECK,
    FactKind.GIVES_MATE,
    FactKind.GIVES_CHECK,
    FactKind.PROMOTES,
    FactKind.PAWN_HITS_MAN,
    FactKind.THREATENS_MATE,
    FactKind.THREATENS,
    FactKind.PAWN_HITS_PAWN,
    FactKind.OPENS_A_WAY,
    FactKind.STOPS_MATE,
    FactKind.STOPS_THREAT,
    FactKind.CENTRE_CONTROL,
)


def find_pawn(moment: Moment) -> None:
    """Note what a pawn move in the opening does, and last whether that is a job.

    Without a computed job it is not called bad: what the coach has in mind may not be computable.
    """
    if moment.kind != chess.PAWN:
        return
    if moment.ply.promotion:
        moment.add(FactKind.PROMOTES, man=moment.stone)
    if not moment.is_opening:
        return
    _find_ways(moment)
    if not moment.ply.promotion:
        _find_targets(moment)
    _find_stopped(moment)
    jobs = _without_echo(moment.found(*_JOBS))
    kind = FactKind.PAWN_JOB if jobs else FactKind.PAWN_WITHOUT_JOB
    moment.add(kind, man=moment.stone, reasons=jobs)


def _without_echo(jobs: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """Return the jobs without a threat that says no more than whom the pawn hits."""
    hit = {
        stone
        for fact in jobs
        if fact.kind in (FactKind.PAWN_HITS_MAN, FactKind.PAWN_HITS_PAWN)
        for stone in fact.others
    }
    return tuple(
        fact
        for fact in jobs
        if fact.kind is not FactKind.THREATENS or not hit.issuperset(fact.others)
    )


def _find_ways(moment: Moment) -> None:
    now = open_ways(moment.standing, moment.color)
    board = moment.standing.board
    freed = tuple(
        stone_at(board, square)
        for square, ways in sorted(moment.ways.items())
        if now.get(square, 0) > ways
    )
    if freed:
        moment.add(FactKind.OPENS_A_WAY, man=moment.stone, others=freed)


def _find_targets(moment: Moment) -> None:
    """Note enemy men that the pawn attacks: pieces only where taking them would now pay."""
    board = moment.standing.board
    attacked = chess.BB_PAWN_ATTACKS[moment.color][moment.target]
    attacked &= board.occupied_co[not moment.color]
    pawns = attacked & board.pawns
    if pawns:
        moment.add(FactKind.PAWN_HITS_PAWN, man=moment.stone, others=stones(board, pawns))
    pieces = attacked & ~board.pawns & ~board.kings
    if not pieces or moment.ply.outcome in {"check", "mate"}:
        return
    hit = []
    for square in chess.scan_forward(pieces):
        gain = moment.standing.swap.best(square, moment.color)
        before = moment.prior_swap.best(square, moment.color)
        if gain is not None and gain[0] > max(before[0] if before else 0, 0):
            hit.append((gain[0], square))
    if hit:
        moment.add(
            FactKind.PAWN_HITS_MAN,
            man=moment.stone,
            others=tuple(stone_at(board, square) for _, square in hit),
            amount=max(gain for gain, _ in hit),
        )


def _find_stopped(moment: Moment) -> None:
    """Note threats of the other side, all of one move's depth, that are there no more."""
    enemy = not moment.color
    board = moment.standing.board
    if moment.feared_mate and mate_in_one(board, enemy) is None:
        moment.add(FactKind.STOPS_MATE, man=moment.stone)
    stopped = []
    for square, (loss, _) in sorted(moment.feared.items()):
        now = moment.target if square == moment.origin else square
        left = moment.standing.swap.best(now, enemy)
        if board.ep_square is not None and now == moment.target:
            passing = best_capture(board, now)
            left = None if passing is None else (passing[0], passing[1].from_square)
        if left is None or left[0] < loss:
            stopped.append((now, loss - max(left[0] if left else 0, 0)))
    if stopped:
        moment.add(
            FactKind.STOPS_THREAT,
            man=moment.stone,
            others=tuple(stone_at(board, square) for square, _ in stopped),
            amount=max(saved for _, saved in stopped),
        )
