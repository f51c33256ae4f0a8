"""What the `check` of an exercise may say of its answer."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

__all__ = [
    "Check",
    "CheckDefence",
    "CheckJudged",
    "CheckMate",
    "CheckTruth",
    "CheckWin",
    "read_check",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckMate:
    """only mate in 2; mate in 2"""

    moves: int
    is_only: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckWin:
    """only wins 1, depth 3"""

    worth: int  # pawns
    depth: int  # plies after the move, the reply being the first


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDefence:
    """only move against mate in 1"""

    moves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckTruth:
    """true; false"""

    is_true: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckJudged:
    """none because several moves do the job"""

    reason: str


Check = CheckMate | CheckWin | CheckDefence | CheckTruth | CheckJudged

_DEPTH: Final = 3  # plies, where a check does not say how deep
_MATE = re.compile(r"(only )?mate in ([1-9])")
_WIN = re.compile(r"only wins ([1-9][0-9]?)(?:, depth ([1-9]))?")
_DEFENCE = re.compile(r"only move against mate in ([1-9])")
_JUDGED = re.compile(r"none because (\S.*)")


def read_check(text: str) -> Check | None:
    """Return what a check says, or None where it cannot be tested in this form."""
    if found := _MATE.fullmatch(text):
        return CheckMate(moves=int(found[2]), is_only=bool(found[1]))
    if found := _WIN.fullmatch(text):
        return CheckWin(worth=int(found[1]), depth=int(found[2] or _DEPTH))
    if found := _DEFENCE.fullmatch(text):
        return CheckDefence(moves=int(found[1]))
    if text in ("true", "false"):
        return CheckTruth(is_true=text == "true")
    if found := _JUDGED.fullmatch(text):
        return CheckJudged(reason=found[1])
    return None
