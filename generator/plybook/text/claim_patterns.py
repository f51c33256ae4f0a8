"""The sentences a coach may claim: one table a language.

A pattern is a sentence with slots: `{pinned:square}` is a square that becomes the field `pinned`
of the pattern's class. The kinds of slot are in text/claims.py; the words they take, here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from plybook.text import claim_model as say

__all__ = ["ENGLISH", "ClaimLanguage", "Pattern"]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A kind of sentence: its words with slots, what it becomes, and one of its kind to show."""

    words: str
    claim: type[say.Claim]
    example: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClaimLanguage:
    """All sentences of one language, and the words its slots take.

    `times`, `minors` and `tempi` hold the words for one and for several. A language is equal only
    to itself, so that what is made from its table can be kept by it.
    """

    code: str
    sides: Mapping[str, say.SideWord]
    men: Mapping[str, say.ManWord]
    wings: Mapping[str, say.WingWord]
    pins: Mapping[str, say.PinWord]
    times: tuple[str, str]
    minors: tuple[str, str]
    tempi: tuple[str, str]
    joiner: str  # stands before the last item of a list
    patterns: tuple[Pattern, ...]


_ENGLISH_PATTERNS: Final = (
    Pattern(
        "the {man:man} {pinned:square} is pinned by {pinner:square} to {behind:square}, {kind:pin}",
        say.Pinned,
        "the knight f3 is pinned by g4 to d1, relative",
    ),
    Pattern(
        "the {man:man} {front:square} is skewered by {slider:square} to {behind:square}",
        say.Skewered,
        "the queen d5 is skewered by g2 to b7",
    ),
    Pattern(
        "{square:square} is attacked {attacks:times} by {side:side} and guarded {guards:times}",
        say.Attacked,
        "f7 is attacked 2 times by White and guarded 1 time",
    ),
    Pattern("{square:square} is loose", say.Loose, "g4 is loose"),
    Pattern("{square:square} is hanging", say.Hanging, "e4 is hanging"),
    Pattern("{square:square} is safe", say.Safe, "d5 is safe"),
    Pattern(
        "{square:square} is trapped and costs {worth:count} or more",
        say.Trapped,
        "b3 is trapped and costs 1 or more",
    ),
    Pattern(
        "{square:square} is overloaded: it guards {wards:several}",
        say.Overloaded,
        "f6 is overloaded: it guards d7 and e7",
    ),
    Pattern("{move:move} forks {targets:several}", say.Forks, "5.Qxe5+ forks e8 and h8"),
    Pattern("{move:move} attacks {targets:squares}", say.Attacks, "5.Qxe5+ attacks e8 and h8"),
    Pattern("{move:move} gives double check", say.GivesDoubleCheck, "10.Bg5+ gives double check"),
    Pattern(
        "{move:move} uncovers {slider:square} on {target:square}",
        say.Uncovers,
        "10.Bg5+ uncovers d1 on d8",
    ),
    Pattern(
        "after {move:move} the only legal reply is {reply:move}",
        say.OnlyLegalReply,
        "after 16.Qb8+ the only legal reply is Nxb8",
    ),
    Pattern(
        "{side:side} threatens mate in {moves:count} by {move:move}",
        say.ThreatensMate,
        "White threatens mate in 1 by Qxf7#",
    ),
    Pattern(
        "{side:side} threatens to win {worth:count} on {square:square}",
        say.ThreatensWin,
        "Black threatens to win 3 on e4",
    ),
    Pattern(
        "the only reply to the threat is {reply:move}",
        say.OnlyReply,
        "the only reply to the threat is 4...Qe7",
    ),
    Pattern(
        "the only reply that loses nothing is {reply:move}",
        say.OnlySoundReply,
        "the only reply that loses nothing is 4...Qe7",
    ),
    Pattern(
        "no reply stops mate in {moves:count}", say.NoReplyStopsMate, "no reply stops mate in 1"
    ),
    Pattern("the replies are {replies:moves}", say.Replies, "the replies are Qe7, Qf6"),
    Pattern(
        "the replies that lose nothing are {replies:moves}",
        say.SoundReplies,
        "the replies that lose nothing are Qe7, Qf6",
    ),
    Pattern("{move:move} mates in {moves:count}", say.Mates, "6.Bxf7+ mates in 2"),
    Pattern(
        "{move:move} is the only mate in {moves:count}",
        say.OnlyMate,
        "6.Bxf7+ is the only mate in 2",
    ),
    Pattern(
        "{before:run}{move:tried} is illegal, guarded by {guard:square}",
        say.IllegalGuarded,
        "6.Bxf7+ Kxf7 is illegal, guarded by e5",
    ),
    Pattern(
        "{before:run}{move:tried} is illegal, pinned by {pinner:square}",
        say.IllegalPinned,
        "e7xd6 is illegal, pinned by e2",
    ),
    Pattern(
        "{before:run}{move:tried} is legal but loses {worth:count}",
        say.LegalButLoses,
        "d4xc3 is legal but loses 9",
    ),
    Pattern(
        "{side:side} cannot castle {wing:wing}: {square:square} is attacked from {attacker:square}",
        say.CannotCastleAttacked,
        "Black cannot castle king-side: f8 is attacked from c5",
    ),
    Pattern(
        "{side:side} cannot castle {wing:wing}: a man on {square:square}",
        say.CannotCastleMan,
        "Black cannot castle king-side: a man on f8",
    ),
    Pattern(
        "{side:side} cannot castle {wing:wing}: the right is lost",
        say.CannotCastleLost,
        "Black cannot castle king-side: the right is lost",
    ),
    Pattern(
        "{move:move} wins {worth:count} or more, depth {depth:depth}",
        say.Wins,
        "5.Nxe5 wins 1 or more, depth 5",
    ),
    Pattern(
        "{move:move} wins {worth:count} or more by the lines given",
        say.WinsByLines,
        "5.Nxe5 wins 1 or more by the lines given",
    ),
    Pattern(
        "{move:move} does not win {worth:count}, depth {depth:depth}, because {reply:move}",
        say.WinsNot,
        "5.Nxe5 does not win 1, depth 5, because 5...Nxe5",
    ),
    Pattern(
        "{side:side} leads in development {count:number} to {other:number}",
        say.LeadsDevelopment,
        "White leads in development 5 to 3",
    ),
    Pattern("{side:side} has {count:minors} out", say.MinorsOut, "Black has 1 minor piece out"),
    Pattern("the queen has cost {tempi:tempi}", say.QueenCost, "the queen has cost 2 tempi"),
    Pattern(
        "the queen of {side:side} has cost {tempi:tempi}",
        say.QueenCost,
        "the queen of Black has cost 2 tempi",
    ),
    Pattern("believe: {words:words}", say.Believed, "believe: White has a strong attack"),
)

ENGLISH: Final = ClaimLanguage(
    code="en",
    sides={"White": "white", "Black": "black"},
    men={
        "pawn": "pawn",
        "knight": "knight",
        "bishop": "bishop",
        "rook": "rook",
        "queen": "queen",
        "king": "king",
    },
    wings={"king-side": "king-side", "queen-side": "queen-side"},
    pins={"absolute": "absolute", "relative": "relative"},
    times=("time", "times"),
    minors=("minor piece", "minor pieces"),
    tempi=("tempo", "tempi"),
    joiner="and",
    patterns=_ENGLISH_PATTERNS,
)
