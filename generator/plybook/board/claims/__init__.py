"""What the coach says, tested: proved, or answered with the move that refutes it."""

from plybook.board.claims.cache import VerdictCache
from plybook.board.claims.model import Budget, ClaimRequest, Evidence, MoveSaid, Reach, Verdict
from plybook.board.claims.settle import settle_claims
from plybook.board.claims.sharing import Tell

__all__ = [
    "Budget",
    "ClaimRequest",
    "Evidence",
    "MoveSaid",
    "Reach",
    "Tell",
    "Verdict",
    "VerdictCache",
    "settle_claims",
]
