"""The opening ledger: for every line, ply by ply, computed facts of what the opening asks.

Facts, never grades: whether a fact keeps a principle or breaks it is said by the principle.
"""

from plybook.board.ledger.kinds import VOCABULARY, FactKind, Meaning, Role
from plybook.board.ledger.model import (
    DEFAULT,
    Account,
    Cause,
    Entry,
    Fact,
    KingState,
    LeadIn,
    Ledger,
    LedgerSettings,
    Stone,
    Wing,
)
from plybook.board.ledger.walk import ledger_of
from plybook.board.ledger.words import ENGLISH, Words, say

__all__ = [
    "DEFAULT",
    "ENGLISH",
    "VOCABULARY",
    "Account",
    "Cause",
    "Entry",
    "Fact",
    "FactKind",
    "KingState",
    "LeadIn",
    "Ledger",
    "LedgerSettings",
    "Meaning",
    "Role",
    "Stone",
    "Wing",
    "Words",
    "ledger_of",
    "say",
]
