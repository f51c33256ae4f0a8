"""The coach's word: printed as such, never counted as proved."""

from __future__ import annotations

from plybook.board.claims.asked import Asked
from plybook.board.claims.model import Reach, Verdict
from plybook.text.claim_model import Believed

__all__ = ["settle_believed"]


def settle_believed(claim: Believed, asked: Asked) -> Verdict:
    """Initiative, compensation and plans are not computed."""
    return Verdict(reach=Reach.COACHS_WORD)
