"""Why a side cannot castle, by article 3.8.2 of the Laws of Chess."""

from __future__ import annotations

from typing import Literal

import chess

from plybook.board.claims.asked import Asked, color_of
from plybook.board.claims.model import Reach, Verdict
from plybook.board.claims.words import square_list, squares_of
from plybook.text.claim_model import (
    CannotCastleAttacked,
    CannotCastleLost,
    CannotCastleMan,
    SideWord,
    WingWord,
)

__all__ = [
    "reasons_against",
    "settle_castling_attacked",
    "settle_castling_lost",
    "settle_man_between",
]

Kind = Literal["lost", "man", "attacked"]


def reasons_against(
    board: chess.Board, color: chess.Color, wing: WingWord
) -> tuple[tuple[Kind, str, str], ...]:
    """Return every reason of the Laws against castling: kind, square, and the attackers.

    A lost right comes alone. Whose turn it is does not matter. Empty: castling is possible.
    """
    is_short = wing == "king-side"
    has_right = (
        board.has_kingside_castling_rights if is_short else board.has_queenside_castling_rights
    )
    if not has_right(color):
        return (("lost", "", ""),)
    rank = 0 if color else 56
    between = (5, 6) if is_short else (1, 2, 3)
    reasons: list[tuple[Kind, str, str]] = [
        ("man", chess.SQUARE_NAMES[rank + file], "")
        for file in between
        if board.occupied >> rank + file & 1
    ]
    for file in (4, 5, 6) if is_short else (4, 3, 2):
        attackers = board.attackers_mask(not color, rank + file)
        if attackers:
            reasons.append(("attacked", chess.SQUARE_NAMES[rank + file], square_list(attackers)))
    return tuple(reasons)


def settle_man_between(claim: CannotCastleMan, asked: Asked) -> Verdict:
    """A man stands between king and rook, on the square named."""
    return _settle(asked, claim.side, claim.wing, ("man", claim.square, ""))


def settle_castling_lost(claim: CannotCastleLost, asked: Asked) -> Verdict:
    """The king or that rook has moved, or the rook is gone."""
    return _settle(asked, claim.side, claim.wing, ("lost", "", ""))


def settle_castling_attacked(claim: CannotCastleAttacked, asked: Asked) -> Verdict:
    """The king's square, the one it crosses or the one it lands on is attacked."""
    board = asked.board()
    square = chess.parse_square(claim.square)
    attackers = squares_of(board.attackers_mask(not color_of(claim.side), square))
    wanted: tuple[Kind, str, str] = ("attacked", claim.square, ", ".join(attackers))
    verdict = _settle(asked, claim.side, claim.wing, wanted)
    if verdict.reach is Reach.PROVED and claim.attacker not in attackers:
        return Verdict(
            reach=Reach.FALSE,
            evidence=(f"{claim.square} is attacked from {', '.join(attackers)}",),
        )
    return verdict


def _settle(asked: Asked, side: SideWord, wing: WingWord, wanted: tuple[Kind, str, str]) -> Verdict:
    board = asked.board()
    reasons = reasons_against(board, color_of(side), wing)
    if wanted in reasons:
        others = [_words(reason) for reason in reasons if reason != wanted]
        also = f"; also {', '.join(others)}" if others else ""
        return Verdict(reach=Reach.PROVED, evidence=(f"{_words(wanted)}{also}",))
    found = ", ".join(map(_words, reasons))
    words = f"what prevents it: {found}" if reasons else "nothing prevents it"
    return Verdict(reach=Reach.FALSE, evidence=(words,))


def _words(reason: tuple[Kind, str, str]) -> str:
    kind, square, attackers = reason
    match kind:
        case "lost":
            return "the right is lost"
        case "man":
            return f"a man on {square}"
        case "attacked":
            return f"{square} is attacked from {attackers}"
