"""Settling claims: from the cache, in this process, or in several, always in the order asked."""

from __future__ import annotations

from collections.abc import Sequence

from plybook.board.claims.asked import Asked
from plybook.board.claims.cache import VerdictCache
from plybook.board.claims.model import (
    Budget,
    CannotAskError,
    ClaimRequest,
    NodesSpentError,
    Reach,
    Verdict,
)
from plybook.board.claims.question import Question, key_of, question_of
from plybook.board.claims.sharing import Tell, settle_once
from plybook.board.claims.table import DEFINITIONS
from plybook.text.claim_model import (
    Claim,
    Mates,
    NoReplyStopsMate,
    OnlyMate,
    ThreatensMate,
    Trapped,
    Wins,
    WinsByLines,
    WinsNot,
)

__all__ = ["settle_claims", "settle_question"]


def settle_claims(
    requests: Sequence[ClaimRequest],
    *,
    budget: Budget,
    cache: VerdictCache | None = None,
    jobs: int = 1,
    tell: Tell | None = None,
) -> tuple[Verdict, ...]:
    """Return the verdict on each claim, in order, the same whatever `cache` and `jobs` are.

    What is not in the cache is settled and put there. With `jobs` above 1 the work is shared
    among so many processes when there is enough of it. `tell` hears how many of those are done.
    """
    kept = cache if cache is not None else VerdictCache()
    questions = [question_of(request) for request in requests]
    return tuple(
        settle_once(
            settle_question,
            [(_key(question, budget), question) for question in questions],
            budget,
            known=lambda key, _: kept.get(key),
            keep=kept.put,
            work=lambda question: _work(question.claim),
            jobs=jobs,
            tell=tell,
        )
    )


def _key(question: Question, budget: Budget) -> str:
    return key_of(question, budget=budget, version=DEFINITIONS[type(question.claim)].version)


def settle_question(question: Question, budget: Budget) -> Verdict:
    """Return the verdict on one question. It depends on the question and the budget alone."""
    settle = DEFINITIONS[type(question.claim)].settle
    try:
        return settle(question.claim, Asked(question, budget))
    except CannotAskError as refusal:
        return Verdict(reach=Reach.CANNOT_BE_ASKED, evidence=refusal.evidence)
    except NodesSpentError as limit:
        words = f"not settled after {limit.nodes:,} positions: add your line or lower the claim"
        return Verdict(reach=Reach.NOT_SETTLED, evidence=(words,), nodes=limit.nodes)


def _work(claim: Claim) -> float:
    """Return roughly how much work a claim is, in units of 50 ms."""
    match claim:
        case Mates() | OnlyMate() | ThreatensMate():
            return float(4 ** (claim.moves - 2))
        case NoReplyStopsMate():
            return float(4 ** (claim.moves - 1))
        case Wins() | WinsNot():
            return float(3 ** (claim.depth - 3))
        case WinsByLines() | Trapped():
            return 10.0
        case _:
            return 0.1
