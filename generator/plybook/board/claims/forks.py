"""Forks: one man attacks several, as a shape, and so that every reply loses something."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.model import CannotAskError, Reach, Verdict
from plybook.board.claims.words import man_on, say, say_line, say_move
from plybook.board.exchange import exchange_value, gain_of
from plybook.text.claim_model import Attacks, Forks

__all__ = ["fork_net", "settle_attacks", "settle_forks"]


def settle_attacks(claim: Attacks, asked: Asked) -> Verdict:
    """The moved man attacks an enemy man on each of the squares: the shape, nothing more."""
    board, (move,) = asked.advanced((claim.move,))
    square = _landing(asked.board(), move)
    missed = _missed(board, square, claim.targets)
    if missed:
        return Verdict(reach=Reach.FALSE, evidence=(missed,))
    targets = [man_on(board, chess.parse_square(name)) for name in claim.targets]
    return Verdict(
        reach=Reach.PROVED,
        evidence=(f"{man_on(board, square)} attacks {' and '.join(targets)}",),
    )


def _landing(board: chess.Board, move: chess.Move) -> chess.Square:
    """Return where the man stands that a move brings up: castling brings up the rook."""
    if board.is_castling(move):
        return move.to_square + (-1 if board.is_kingside_castling(move) else 1)
    return move.to_square


def _missed(board: chess.Board, square: chess.Square, targets: tuple[str, ...]) -> str:
    """Return which target is not attacked by the man that moved to `square`; empty: all are."""
    attacked = board.attacks_mask(square) & board.occupied_co[board.turn]
    for name in targets:
        target = chess.parse_square(name)
        if not attacked >> target & 1:
            if board.color_at(target) != board.turn:
                return f"no man to attack stands on {name}"
            return f"{man_on(board, square)} does not attack {man_on(board, target)}"
    return ""


def fork_net(board: chess.Board, reply: chess.Move, square: chess.Square, targets: int) -> int:
    """Return what the forking man on `square` nets after a reply, the reply's own capture off.

    It nets what its best capture of a man on one of the target squares is worth, or nothing.
    """
    got = gain_of(board, reply)
    after = board.copy(stack=False)
    after.push(reply)
    best = 0
    if after.color_at(square) == after.turn:
        aims = targets & after.occupied_co[not after.turn]
        for capture in after.generate_legal_moves(chess.BB_SQUARES[square], aims):
            best = max(best, exchange_value(after, capture))
    return best - got


def settle_forks(claim: Forks, asked: Asked) -> Verdict:
    """A real fork: after every legal reply the man that moved wins something on a target."""
    board, (move,) = asked.advanced((claim.move,))
    square = _landing(asked.board(), move)
    missed = _missed(board, square, claim.targets)
    if missed:
        return Verdict(reach=Reach.FALSE, evidence=(missed,))
    if len(claim.targets) < 2:
        raise CannotAskError("a fork has two targets or more")
    replies = list(board.legal_moves)
    if not replies:
        raise CannotAskError(f"the game is over after {claim.move}")
    targets = sum(chess.BB_SQUARES[chess.parse_square(name)] for name in claim.targets)
    nets = [(_net_or_mate(board, reply, square, targets), reply) for reply in replies]
    least, answer = min(nets, key=lambda found: found[0])
    if least >= 1:
        return Verdict(
            reach=Reach.PROVED,
            evidence=(f"each of {len(replies)} replies loses {least} or more",)
            if len(replies) > 1
            else (f"the only reply loses {least}",),
        )
    counter = say_line(asked.board(), (move, answer))
    if answer.to_square == square:
        kind = chess.piece_name(board.piece_type_at(square) or chess.PAWN)
        words = f" takes the forking {kind}"
    elif least <= -_MATED:
        words = " mates"
    elif least < 0:
        words = f" wins {-least} itself"
    else:
        words = " loses nothing"
    return Verdict(reach=Reach.FALSE, evidence=say(say_move(board, answer), words), counter=counter)


_MATED = 100


def _net_or_mate(board: chess.Board, reply: chess.Move, square: chess.Square, targets: int) -> int:
    after = board.copy(stack=False)
    after.push(reply)
    if after.is_checkmate():
        return -_MATED
    return fork_net(board, reply, square, targets)
