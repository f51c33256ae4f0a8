"""Threats: what a side would do if the other passed. Not asked when that other side is in check."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from plybook.board.claims.asked import Asked, color_of
from plybook.board.claims.mates import MateProver
from plybook.board.claims.mating import judge_mate, mate_limit
from plybook.board.claims.model import CannotAskError, Evidence, Reach, Verdict
from plybook.board.claims.turning import turned_to
from plybook.board.claims.words import colour, man_on, say, say_move
from plybook.board.exchange import best_capture, exchange_value
from plybook.text.claim_model import SideWord, ThreatensMate, ThreatensWin

__all__ = [
    "MateThreat",
    "Threat",
    "WinThreat",
    "find_threat",
    "settle_threatens_mate",
    "settle_threatens_win",
]


@dataclass(frozen=True, slots=True)
class MateThreat:
    """The attacker, to move, mates in at most `moves`."""

    moves: int

    def carried_out(self, board: chess.Board, prover: MateProver) -> chess.Move | None:
        """Return the move that carries the threat out, or None: it no longer holds."""
        return prover.find_mate(board, self.moves)

    @property
    def words(self) -> str:
        """The threat in words."""
        return f"mate in {self.moves}"


@dataclass(frozen=True, slots=True)
class WinThreat:
    """The attacker, to move, wins at least `worth` by one capture on `square`."""

    square: chess.Square
    worth: int

    def carried_out(self, board: chess.Board, prover: MateProver) -> chess.Move | None:
        """Return the move that carries the threat out, or None: it no longer holds."""
        if board.color_at(self.square) != (not board.turn):
            return None
        found = best_capture(board, self.square)
        return found[1] if found and found[0] >= self.worth else None

    @property
    def words(self) -> str:
        """The threat in words."""
        return f"the loss of {self.worth} on {chess.SQUARE_NAMES[self.square]}"


Threat = MateThreat | WinThreat


def passed(board: chess.Board, side: SideWord) -> chess.Board:
    """Return the position after a pass, with `side` to move.

    Raises CannotAskError where that has no meaning.
    """
    if color_of(side) == board.turn:
        raise CannotAskError(
            f"{colour(board.turn)} is to move: what it can do at once is no threat"
        )
    if board.is_check():
        raise CannotAskError(
            f'{colour(board.turn)} is in check, so "threatens" has no meaning here'
        )
    return turned_to(board, color_of(side))


def find_threat(
    board: chess.Board, prover: MateProver, stated: ThreatensMate | ThreatensWin | None
) -> Threat:
    """Return the threat that the side to move faces: the one stated, or the gravest found.

    Gravest first: mate in 1, mate in 2, then the capture that wins most. Raises CannotAskError
    where there is none, or the side to move is in check.
    """
    if stated is not None:
        threat = _of_sentence(stated)
        if threat.carried_out(passed(board, stated.side), prover) is None:
            raise CannotAskError(f"{threat.words} was stated before, and is not threatened here")
        return threat
    turned = passed(board, "black" if board.turn else "white")
    for moves in (1, 2):
        if prover.find_mate(turned, moves):
            return MateThreat(moves)
    worst: tuple[int, chess.Square] | None = None
    for square in chess.scan_forward(turned.occupied_co[not turned.turn] & ~turned.kings):
        found = best_capture(turned, square)
        if found and (worst is None or found[0] > worst[0]):
            worst = (found[0], square)
    if worst is None:
        raise CannotAskError("nothing is threatened here, neither mate in 1 or 2 nor a capture")
    return WinThreat(worst[1], worst[0])


def _of_sentence(stated: ThreatensMate | ThreatensWin) -> Threat:
    match stated:
        case ThreatensMate():
            return MateThreat(stated.moves)
        case ThreatensWin():
            return WinThreat(chess.parse_square(stated.square), stated.worth)


def settle_threatens_mate(claim: ThreatensMate, asked: Asked) -> Verdict:
    """After a pass, the move named mates in that many moves and no fewer."""
    turned = passed(asked.board(), claim.side)
    move = asked.move(claim.move, turned)
    prover = MateProver(node_limit=mate_limit(asked.budget, claim.moves))
    return judge_mate(turned, move, claim.moves, prover)


def settle_threatens_win(claim: ThreatensWin, asked: Asked) -> Verdict:
    """After a pass, one capture on the square wins at least that much."""
    turned = passed(asked.board(), claim.side)
    square = chess.parse_square(claim.square)
    if turned.color_at(square) != (not turned.turn):
        raise CannotAskError(
            f"{man_on(turned, square)}: no man of {colour(not turned.turn)} to win"
        )
    found = best_capture(turned, square)
    if found and found[0] >= claim.worth:
        said = say_move(turned, found[1])
        return Verdict(reach=Reach.PROVED, evidence=say(said, f" would win {found[0]}"))
    return Verdict(reach=Reach.FALSE, evidence=_what_is_won(turned, square))


def _what_is_won(turned: chess.Board, square: chess.Square) -> Evidence:
    moves = list(turned.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[square]))
    if not moves:
        return (f"{colour(turned.turn)} has no capture on {chess.SQUARE_NAMES[square]}",)
    values = [exchange_value(turned, move) for move in moves]
    value = max(values)
    move = moves[values.index(value)]
    result = f"wins {value}" if value > 0 else "only trades" if value == 0 else f"loses {-value}"
    return say("the best capture there, ", say_move(turned, move), f", {result}")
