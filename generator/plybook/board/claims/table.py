"""The definitions: what settles each kind of claim. One row a pattern."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, TypeVar

from plybook.board.claims import (
    believed,
    castling,
    counts,
    coverage,
    development,
    discoveries,
    forks,
    legality,
    mating,
    overloaded,
    pinned,
    replies,
    threats,
    trapped,
    winning,
)
from plybook.board.claims.asked import Asked
from plybook.board.claims.model import Verdict
from plybook.text import claim_model as say

__all__ = ["DEFINITIONS", "Definition"]


@dataclass(frozen=True, slots=True)
class Definition:
    """How a kind of claim is settled.

    `version` is raised by hand whenever a verdict or its words can come out otherwise; verdicts
    kept from another version are then not used again.
    """

    settle: Callable[[say.Claim, Asked], Verdict]
    version: int


_Kind = TypeVar("_Kind", bound=say.Claim)


def _row(
    kind: type[_Kind], settle: Callable[[_Kind, Asked], Verdict], *, version: int = 1
) -> tuple[type[Any], Definition]:
    def settle_any(claim: say.Claim, asked: Asked) -> Verdict:
        assert isinstance(claim, kind)
        return settle(claim, asked)

    return kind, Definition(settle_any, version)


DEFINITIONS: Final[Mapping[type[Any], Definition]] = MappingProxyType(
    dict(
        (
            _row(say.Attacked, counts.settle_attacked),
            _row(say.Loose, counts.settle_loose),
            _row(say.Hanging, counts.settle_hanging),
            _row(say.Safe, counts.settle_safe),
            _row(say.Pinned, pinned.settle_pinned),
            _row(say.Skewered, pinned.settle_skewered),
            _row(say.Forks, forks.settle_forks),
            _row(say.Attacks, forks.settle_attacks),
            _row(say.GivesDoubleCheck, discoveries.settle_double_check),
            _row(say.Uncovers, discoveries.settle_uncovers),
            _row(say.ThreatensMate, threats.settle_threatens_mate),
            _row(say.ThreatensWin, threats.settle_threatens_win),
            _row(say.OnlyReply, replies.settle_only_reply),
            _row(say.OnlySoundReply, replies.settle_only_sound_reply),
            _row(say.NoReplyStopsMate, replies.settle_no_reply),
            _row(say.Replies, replies.settle_replies),
            _row(say.SoundReplies, replies.settle_sound_replies),
            _row(say.Mates, mating.settle_mates),
            _row(say.OnlyMate, mating.settle_only_mate),
            _row(say.OnlyLegalReply, legality.settle_only_legal_reply),
            _row(say.IllegalGuarded, legality.settle_illegal_guarded),
            _row(say.IllegalPinned, legality.settle_illegal_pinned),
            _row(say.LegalButLoses, legality.settle_legal_but_loses),
            _row(say.Wins, winning.settle_wins),
            _row(say.WinsNot, winning.settle_wins_not),
            _row(say.WinsByLines, coverage.settle_wins_by_lines),
            _row(say.Trapped, trapped.settle_trapped),
            _row(say.Overloaded, overloaded.settle_overloaded),
            _row(say.CannotCastleAttacked, castling.settle_castling_attacked),
            _row(say.CannotCastleMan, castling.settle_man_between),
            _row(say.CannotCastleLost, castling.settle_castling_lost),
            _row(say.LeadsDevelopment, development.settle_leads_development),
            _row(say.MinorsOut, development.settle_minors_out),
            _row(say.QueenCost, development.settle_queen_cost),
            _row(say.Believed, believed.settle_believed),
        )
    )
)
