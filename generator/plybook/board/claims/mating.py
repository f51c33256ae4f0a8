"""Mates in n, and the only mate in n."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.material import MaterialSearch, balance_of
from plybook.board.claims.mates import STALEMATE, MateProver
from plybook.board.claims.model import Budget, NodesSpentError, Reach, Verdict
from plybook.board.claims.words import also, listed, say, say_line, say_move, spaced
from plybook.text.claim_model import Mates, OnlyMate

__all__ = [
    "judge_mate",
    "mate_limit",
    "mating_line",
    "reply_net",
    "settle_mates",
    "settle_only_mate",
]

_ALWAYS: Final = 3  # mates in up to so many moves are settled whatever the budget


def mate_limit(budget: Budget, moves: int) -> int | None:
    """Return how many positions may be looked at for a mate in so many moves; None: no limit."""
    return None if moves <= _ALWAYS else budget.mate_nodes


def settle_mates(claim: Mates, asked: Asked) -> Verdict:
    """The move forces mate in at most that many moves, and not in fewer."""
    board = asked.board()
    move = asked.move(claim.move)
    prover = MateProver(node_limit=mate_limit(asked.budget, claim.moves))
    verdict = judge_mate(board, move, claim.moves, prover)
    if verdict.reach is not Reach.PROVED or not 1 < claim.moves <= _ALWAYS + 1:
        return verdict  # a longer search for a quicker mate could spend what the proof has left
    quicker = prover.find_mate(board, claim.moves - 1)
    if quicker is None:
        return verdict
    return Verdict(
        reach=verdict.reach,
        evidence=say(verdict.evidence, "; there is a quicker mate: ", say_move(board, quicker)),
        nodes=prover.nodes,
    )


def judge_mate(board: chess.Board, move: chess.Move, moves: int, prover: MateProver) -> Verdict:
    """Return whether a move mates in `moves` and not in fewer, with the line or the answer."""
    after = board.copy(stack=False)
    after.push(move)
    reply = prover.find_refutation(after, moves - 1)
    if reply is not None:
        return _refuted(board, move, moves, prover, known=reply)
    if moves > 1 and prover.find_refutation(after, moves - 2) is None:
        fewer = next(n for n in range(1, moves) if prover.find_refutation(after, n - 1) is None)
        line = say_line(board, mating_line(board, move, fewer, prover))
        return Verdict(
            reach=Reach.FALSE,
            evidence=say(f"it mates sooner, in {fewer}: ", spaced(line)),
            counter=line,
            nodes=prover.nodes,
        )
    line = say_line(board, _shown(board, move, moves, prover))
    return Verdict(reach=Reach.PROVED, evidence=spaced(line), nodes=prover.nodes)


def _shown(
    board: chess.Board, move: chess.Move, moves: int, prover: MateProver
) -> list[chess.Move]:
    """Return the line of a mate that is proved; the move alone when the budget ends there."""
    try:
        return mating_line(board, move, moves, prover)
    except NodesSpentError:
        return [move]


def mating_line(
    board: chess.Board, move: chess.Move, moves: int, prover: MateProver
) -> list[chess.Move]:
    """Return a line from a move that mates in `moves` to the mate: the replies hold out longest."""
    trial = board.copy(stack=False)
    line = [move]
    trial.push(move)
    for left in range(moves - 1, 0, -1):
        replies = list(trial.legal_moves)
        if not replies:
            break
        reply = next((r for r in replies if _holds_out(trial, r, left - 1, prover)), replies[0])
        line.append(reply)
        trial.push(reply)
        mate = prover.find_mate(trial, left)
        assert mate is not None  # the line follows a proof
        line.append(mate)
        trial.push(mate)
    return line


def _holds_out(board: chess.Board, reply: chess.Move, moves: int, prover: MateProver) -> bool:
    board.push(reply)
    mate = prover.find_mate(board, moves) if moves else None
    board.pop()
    return mate is None


def _refuted(
    board: chess.Board, move: chess.Move, moves: int, prover: MateProver, *, known: chess.Move
) -> Verdict:
    """Return the verdict on a move that `known` keeps from mating in `moves`: how it is met."""
    after = board.copy(stack=False)
    after.push(move)
    if known == STALEMATE:
        line = say_line(board, (move,))
        words = say(line[0], " is stalemate")
        return Verdict(reach=Reach.FALSE, evidence=words, counter=line, nodes=prover.nodes)
    if moves < _ALWAYS and prover.find_refutation(after, moves) is None:
        line = say_line(board, mating_line(board, move, moves + 1, prover))
        words = say(f"the mate takes {moves + 1}: ", spaced(line))
        return Verdict(reach=Reach.FALSE, evidence=words, counter=line, nodes=prover.nodes)
    answers = _answers(after, moves, prover) or [known]
    nets = sorted(((reply_net(after, reply), reply) for reply in answers), key=lambda row: -row[0])
    net, reply = nets[0]
    others = [say_move(after, other) for _, other in nets[1:]]
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(say_move(after, reply), " answers it", also(others)),
        counter=say_line(board, (move, reply)),
        cost=max(0, -net),
        nodes=prover.nodes,
    )


def _answers(after: chess.Board, moves: int, prover: MateProver) -> list[chess.Move]:
    """Return every reply that keeps a move from mating; none when the budget ends before that."""
    found = []
    try:
        for reply in after.legal_moves:
            trial = after.copy(stack=False)
            trial.push(reply)
            if prover.find_mate(trial, moves - 1) is None:
                found.append(reply)
    except NodesSpentError:
        return []
    return found


def reply_net(board: chess.Board, reply: chess.Move) -> int:
    """Return what a move leaves its side with, in pawns, when only captures follow."""
    before = balance_of(board)
    after = board.copy(stack=False)
    after.push(reply)
    search = MaterialSearch(level=before if board.turn else -before)
    return -search.value(after, 0) - before


def settle_only_mate(claim: OnlyMate, asked: Asked) -> Verdict:
    """The move mates in that many moves, and no other legal move does, nor in fewer."""
    board = asked.board()
    move = asked.move(claim.move)
    prover = MateProver(node_limit=mate_limit(asked.budget, claim.moves))
    verdict = judge_mate(board, move, claim.moves, prover)
    if verdict.reach is not Reach.PROVED:
        return verdict
    others = []
    for other in board.legal_moves:
        if other != move:
            after = board.copy(stack=False)
            after.push(other)
            if prover.find_refutation(after, claim.moves - 1) is None:
                others.append(other)
    if not others:
        count = board.legal_moves.count() - 1
        words = f"; none of the {count} other moves mates" if count else "; it is the only move"
        return Verdict(
            reach=Reach.PROVED, evidence=say(verdict.evidence, words), nodes=prover.nodes
        )
    said = [say_move(board, other) for other in others]
    verb = "mates" if len(others) == 1 else "mate"
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(listed(said), f" {verb} too"),
        counter=say_line(board, mating_line(board, others[0], claim.moves, prover)),
        nodes=prover.nodes,
    )
