"""A claim request as plain text: what a worker gets, and what the cache knows it by."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass

import chess

from plybook.board.claims.model import Budget, ClaimRequest
from plybook.board.model import Line, Ply
from plybook.text.claim_model import (
    Claim,
    LeadsDevelopment,
    MinorsOut,
    OnlyReply,
    OnlySoundReply,
    QueenCost,
    Replies,
    SoundReplies,
    ThreatensMate,
    ThreatensWin,
    WinsByLines,
)
from plybook.text.claims import canonical

__all__ = ["Book", "Question", "book_of", "key_of", "question_of", "uci_of"]

#: The moves that the lines play from a position, by its key, in the order of the lines.
Book = tuple[tuple[bytes, tuple[str, ...]], ...]

#: What a claim asks about beside its position.
_ASKS_HISTORY = (LeadsDevelopment, MinorsOut, QueenCost)
_ASKS_THREAT = (OnlyReply, OnlySoundReply, Replies, SoundReplies)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A claim about the position after the moves `played` (UCI) from the FEN `start`."""

    claim: Claim
    start: str
    played: tuple[str, ...]
    threat: ThreatensMate | ThreatensWin | None = None
    book: Book = ()


def question_of(request: ClaimRequest) -> Question:
    """Return the request with all that its claim asks about, and nothing else."""
    claim = request.claim
    lead = (*request.lead, (request.line, request.place))
    if not isinstance(claim, _ASKS_HISTORY):
        lead = lead[-1:]
    played = [uci_of(line.plies[index - 1]) for line, place in lead for index in line.path(place)]
    book: Book = ()
    if isinstance(claim, WinsByLines):
        lines = (request.line, *(line for line in request.lines if line is not request.line))
        book = book_of(lines, request.line.key(request.place))
    return Question(
        claim=claim,
        start=lead[0][0].start.fen,
        played=tuple(played),
        threat=request.threat if isinstance(claim, _ASKS_THREAT) else None,
        book=book,
    )


def uci_of(ply: Ply) -> str:
    """Return a move as UCI."""
    return f"{ply.origin}{ply.target}{ply.promotion or ''}"


def book_of(lines: Iterable[Line], start: bytes) -> Book:
    """Return the moves of all positions that the lines reach from one position, in that order."""
    moves: dict[bytes, dict[str, bytes]] = {}
    for line in lines:
        for ply in line.plies:
            moves.setdefault(line.key(ply.parent), {}).setdefault(uci_of(ply), ply.key)
    reached = {start: None}
    waiting = [start]
    while waiting:
        for after in moves.get(waiting.pop(0), {}).values():
            if after not in reached:
                reached[after] = None
                waiting.append(after)
    return tuple((key, tuple(moves[key])) for key in reached if key in moves)


def key_of(question: Question, *, budget: Budget, version: int) -> str:
    """Return the cache key: everything the verdict depends on, as one digest.

    `version` is that of the claim's definition; the library's version stands for its rules.
    """
    asks_history = isinstance(question.claim, _ASKS_HISTORY)
    board = chess.Board(question.start)
    for uci in question.played:
        board.push_uci(uci)
    parts = [
        canonical(question.claim),
        repr(question.threat),
        [question.start, *question.played] if asks_history else board.fen(),
        [[key.hex(), *moves] for key, moves in question.book],
        [budget.mate_nodes, budget.search_nodes, budget.lines_depth],
        version,
        chess.__version__,
    ]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()
