"""Replies to a threat: which there are, that there is only one, that there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.mates import MateProver
from plybook.board.claims.mating import mate_limit, reply_net
from plybook.board.claims.model import CannotAskError, Evidence, MoveSaid, Reach, Verdict
from plybook.board.claims.threats import MateThreat, Threat, find_threat
from plybook.board.claims.words import also, colour, listed, net_words, say, say_line, say_move
from plybook.text.claim_model import (
    MoveWord,
    NoReplyStopsMate,
    OnlyReply,
    OnlySoundReply,
    Replies,
    SoundReplies,
    ThreatensMate,
)

__all__ = [
    "Defence",
    "find_defences",
    "settle_no_reply",
    "settle_only_reply",
    "settle_only_sound_reply",
    "settle_replies",
    "settle_sound_replies",
]


@dataclass(frozen=True, slots=True)
class Defence:
    """A reply after which the threat no longer holds, and what it leaves its side with.

    `net` is in pawns, captures alone being played on; below 0 the reply loses material at once.
    """

    move: chess.Move
    net: int

    @property
    def words(self) -> str:
        """What the reply costs."""
        return net_words(self.net)


def find_defences(board: chess.Board, threat: Threat, prover: MateProver) -> tuple[Defence, ...]:
    """Return every legal reply that meets a threat, the cheapest first.

    Mate and stalemate meet every threat.
    """
    found = []
    for reply in board.legal_moves:
        after = board.copy(stack=False)
        after.push(reply)
        if any(after.generate_legal_moves()):
            if threat.carried_out(after, prover) is None:
                found.append(Defence(reply, reply_net(board, reply)))
        else:
            found.append(Defence(reply, 0))
    return tuple(sorted(found, key=lambda defence: -defence.net))


def settle_only_reply(claim: OnlyReply, asked: Asked) -> Verdict:
    """Exactly one legal reply meets the threat."""
    return _settle(asked, (claim.reply,), loses_nothing=False)


def settle_replies(claim: Replies, asked: Asked) -> Verdict:
    """The legal replies that meet the threat are those named and no others."""
    return _settle(asked, claim.replies, loses_nothing=False)


def settle_only_sound_reply(claim: OnlySoundReply, asked: Asked) -> Verdict:
    """Exactly one legal reply meets the threat and loses no material at once."""
    return _settle(asked, (claim.reply,), loses_nothing=True)


def settle_sound_replies(claim: SoundReplies, asked: Asked) -> Verdict:
    """The replies that meet the threat and lose no material at once are those named."""
    return _settle(asked, claim.replies, loses_nothing=True)


def _settle(asked: Asked, words: tuple[MoveWord, ...], *, loses_nothing: bool) -> Verdict:
    board = asked.board()
    named = [asked.move(word) for word in words]
    if not any(board.generate_legal_moves()):
        raise CannotAskError("the game is over here")
    stated = asked.question.threat
    stated_in = stated.moves if isinstance(stated, ThreatensMate) else 1
    prover = MateProver(node_limit=mate_limit(asked.budget, stated_in))
    threat = find_threat(board, prover, stated)
    defences = find_defences(board, threat, prover)
    if loses_nothing:
        defences = tuple(defence for defence in defences if defence.net >= 0)
    moves = [defence.move for defence in defences]
    missing = [move for move in named if move not in moves]
    if missing:
        return _does_not_meet(board, missing[0], threat, prover)
    others = [defence for defence in defences if defence.move not in named]
    if others:
        return _other_answers(board, others, nodes=prover.nodes)
    count = board.legal_moves.count()
    which = f"of {count} legal replies" if count > 1 else "of the one legal reply"
    return Verdict(
        reach=Reach.PROVED,
        evidence=say(f"{which} against {threat.words}: ", listed(_said(board, defences))),
        nodes=prover.nodes,
    )


def _said(board: chess.Board, defences: Sequence[Defence]) -> list[Evidence]:
    return [say(say_move(board, defence.move), defence.words) for defence in defences]


def _other_answers(board: chess.Board, others: list[Defence], *, nodes: int) -> Verdict:
    """Return the verdict where replies answer that the coach has not named."""
    first = others[0]
    said = say_move(board, first.move)
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(said, " answers it", first.words, also(_said(board, others[1:]))),
        counter=(said,),
        cost=max(0, -first.net),
        nodes=nodes,
    )


def _does_not_meet(
    board: chess.Board, reply: chess.Move, threat: Threat, prover: MateProver
) -> Verdict:
    """Return the verdict where a reply named does not do what is claimed of it."""
    after = board.copy(stack=False)
    after.push(reply)
    line: tuple[MoveSaid, ...]
    execution = threat.carried_out(after, prover) if any(after.legal_moves) else None
    if execution is not None:
        line = say_line(board, (reply, execution))
        words = say(line[0], f" does not stop {threat.words}: ", say_move(after, execution))
    else:
        line = say_line(board, (reply,))
        words = say(line[0], net_words(reply_net(board, reply)))
    return Verdict(reach=Reach.FALSE, evidence=words, counter=line, nodes=prover.nodes)


def settle_no_reply(claim: NoReplyStopsMate, asked: Asked) -> Verdict:
    """After every legal reply the other side mates in at most that many moves."""
    board = asked.board()
    count = board.legal_moves.count()
    if not count:
        raise CannotAskError("the game is over here")
    prover = MateProver(node_limit=mate_limit(asked.budget, claim.moves))
    defences = find_defences(board, MateThreat(claim.moves), prover)
    if defences:
        return _other_answers(board, list(defences), nodes=prover.nodes)
    mates = f"{colour(not board.turn)} mates in {claim.moves} at most"
    which = f"each of {count} replies" if count > 1 else "the one legal reply"
    return Verdict(reach=Reach.PROVED, evidence=(f"after {which} {mates}",), nodes=prover.nodes)
