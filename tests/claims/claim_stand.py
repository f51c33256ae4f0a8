"""A sentence about the end of a line, settled: what the tests of claims stand on."""

from __future__ import annotations

import chess

from outside.playing import play
from plybook.board.claims import Budget, ClaimRequest, Verdict, settle_claims
from plybook.board.model import Line
from plybook.diagnostics import Report, Span
from plybook.text.claim_model import Claim, ThreatensMate, ThreatensWin
from plybook.text.claims import read_claim
from plybook.text.model import ClaimDraft

__all__ = ["SPAN", "claim_of", "line_of", "request_of", "settle", "settle_at"]

SPAN = Span("lessons/01-a.md", 5, 1, 5, 80)


def claim_of(sentence: str) -> Claim:
    """Return the claim of a sentence that is understood."""
    claim = read_claim(ClaimDraft(text=sentence, span=SPAN), report=Report())
    assert claim is not None, sentence
    return claim


def line_of(movetext: str, *, fen: str = chess.STARTING_FEN) -> Line:
    """Return the line of a movetext without a fault."""
    line, found = play(movetext, fen=fen)
    assert not found, found
    return line


def request_of(
    sentence: str,
    line: Line,
    place: int,
    *,
    threat: str | None = None,
    lines: tuple[Line, ...] = (),
) -> ClaimRequest:
    """Return the request for a sentence about a place of a line."""
    stated = None if threat is None else claim_of(threat)
    assert stated is None or isinstance(stated, ThreatensMate | ThreatensWin)
    return ClaimRequest(
        claim=claim_of(sentence), line=line, place=place, threat=stated, lines=lines
    )


def settle_at(
    sentence: str,
    line: Line,
    place: int,
    *,
    threat: str | None = None,
    budget: Budget | None = None,
) -> Verdict:
    """Return the verdict on a sentence about a place of a line."""
    request = request_of(sentence, line, place, threat=threat)
    (verdict,) = settle_claims([request], budget=budget or Budget())
    return verdict


def settle(
    sentence: str,
    movetext: str = "",
    *,
    fen: str = chess.STARTING_FEN,
    threat: str | None = None,
    budget: Budget | None = None,
) -> Verdict:
    """Return the verdict on a sentence about the end of a line's main line."""
    line = line_of(movetext, fen=fen)
    place = max((ply.index for ply in line.main()), default=0)
    return settle_at(sentence, line, place, threat=threat, budget=budget)
