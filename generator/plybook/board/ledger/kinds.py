"""The vocabulary of the ledger: every kind of fact, its meaning in one line, and what it can serve.

A principle names kinds of fact, by their value, that keep it, break it, justify a breach or punish
one. Which does what is the coach's choice; `roles` says which choices make sense.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import Final

__all__ = ["VOCABULARY", "FactKind", "Meaning", "Role"]


class Role(Enum):
    """What a fact can do to a principle."""

    KEEP = "keep"
    BREAK = "break"
    JUSTIFY = "justify"
    PUNISH = "punish"


class FactKind(Enum):
    """A kind of fact. The values are an interface: never renamed, never used for another thing."""

    # centre
    CENTRE_PAWN = "centre-pawn"
    CENTRE_CONTROL = "centre-control"
    CENTRE_PAWN_REMOVED = "centre-pawn-removed"
    CENTRE_PAWN_GIVEN_UP = "centre-pawn-given-up"
    # men coming out
    DEVELOPS = "develops"
    TOWARD_CENTRE = "toward-centre"
    AGAINST_CENTRE = "against-centre"
    AWAY_FROM_CENTRE = "looks-elsewhere"
    ON_THE_RIM = "on-the-rim"
    GOES_HOME = "goes-home"
    BACK_RANK = "back-rank"
    KNIGHT_FIRST = "knight-first"
    BISHOP_FIRST = "bishop-first"
    # the king
    CASTLES = "castles"
    RIGHT_LOST = "castling-right-lost"
    HELD = "held-in-the-centre"
    STUCK = "stuck-in-the-centre"
    WALKS_TO_SAFETY = "walks-to-safety"
    SHELTER_PAWN = "shelter-pawn"
    # the same man again, and the reasons for a move
    SAME_MAN_AGAIN = "same-man-again"
    WAS_ATTACKED = "was-attacked"
    LEFT_A_TRADE = "left-a-trade"
    RECAPTURES = "recaptures"
    WINS_MATERIAL = "wins-material"
    TRADES = "trades"
    SACRIFICES = "sacrifices"
    ANSWERS_CHECK = "answers-check"
    GIVES_CHECK = "gives-check"
    GIVES_MATE = "gives-mate"
    THREATENS_MATE = "threatens-mate"
    THREATENS = "threatens"
    # the queen
    QUEEN_EARLY = "queen-early"
    HITS_QUEEN = "hits-queen"
    QUEEN_DRIVEN = "queen-driven"
    # pawns
    PAWN_JOB = "pawn-job"
    PAWN_WITHOUT_JOB = "pawn-without-job"
    OPENS_A_WAY = "opens-a-way"
    PAWN_HITS_MAN = "pawn-hits-man"
    PAWN_HITS_PAWN = "pawn-hits-pawn"
    STOPS_MATE = "stops-mate"
    STOPS_THREAT = "stops-threat"
    PROMOTES = "promotes"
    # the opening as a whole
    OPENING_DONE = "opening-done"
    OPENING_CUT = "opening-cut"
    # the centre opened against a king
    OPENS_CENTRE = "opens-centre"
    HALF_OPENS_CENTRE = "half-opens-centre"
    OPENED_ON_KING = "opened-on-king"
    FILE_TAKEN = "file-taken"
    FILE_CHECK = "file-check"
    FILE_PIN = "file-pin"
    FILE_WINS = "file-wins"
    KING_CAUGHT = "king-caught"


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a kind of fact says. `about` is the side of `Fact.side`; `mover` made the move."""

    text: str
    roles: frozenset[Role]
    about: str = "mover"  # or "either": then `Fact.side` alone tells


def _meaning(text: str, *roles: Role, about: str = "mover") -> Meaning:
    return Meaning(text, frozenset(roles), about)


_K, _B, _J, _P = Role.KEEP, Role.BREAK, Role.JUSTIFY, Role.PUNISH

#: Every kind with its meaning, in the order of the enumeration.
VOCABULARY: Final[Mapping[FactKind, Meaning]] = MappingProxyType(
    {
        FactKind.CENTRE_PAWN: _meaning(
            "one more own pawn stands on d4, e4, d5 or e5 after the move", _K, _J
        ),
        FactKind.CENTRE_CONTROL: _meaning(
            "own men guard the four centre squares more often than before", _K, _J
        ),
        FactKind.CENTRE_PAWN_REMOVED: _meaning("an enemy pawn on a centre square is gone", _K, _J),
        FactKind.CENTRE_PAWN_GIVEN_UP: _meaning(
            "one own pawn fewer stands on a centre square, by the own move", _B
        ),
        FactKind.DEVELOPS: _meaning("a knight or bishop leaves its back rank first", _K, _J),
        FactKind.TOWARD_CENTRE: _meaning(
            "the minor piece, alone on the board, would reach a centre square", _K
        ),
        FactKind.AGAINST_CENTRE: _meaning(
            "the minor piece attacks a man that stands on or guards a centre square", _K
        ),
        FactKind.AWAY_FROM_CENTRE: _meaning(
            "the minor piece does neither; it may still be right", _B
        ),
        FactKind.ON_THE_RIM: _meaning("a knight goes to the a-file or the h-file", _B),
        FactKind.GOES_HOME: _meaning(
            "a minor piece that was out goes back to a home square of its kind", _B
        ),
        FactKind.BACK_RANK: _meaning(
            "a minor piece that was out goes back to another square of its back rank", _B
        ),
        FactKind.KNIGHT_FIRST: _meaning("a knight comes out while both bishops are at home", _K),
        FactKind.BISHOP_FIRST: _meaning("a bishop comes out while both knights are asleep", _B),
        FactKind.CASTLES: _meaning("the side castles", _K, _J),
        FactKind.RIGHT_LOST: _meaning(
            "a right to castle is lost: the king moved, the rook moved, or it was taken",
            _B,
            _P,
            about="either",
        ),
        FactKind.HELD: _meaning(
            "a king that may castle later cannot now, as the enemy attacks its way",
            _B,
            _P,
            about="either",
        ),
        FactKind.STUCK: _meaning(
            "a king on the d-, e- or f-file has lost every right to castle",
            _B,
            _P,
            about="either",
        ),
        FactKind.WALKS_TO_SAFETY: _meaning(
            "a king without the right to castle reaches a wing by its own steps", _K, _J
        ),
        FactKind.SHELTER_PAWN: _meaning(
            "a pawn in front of the own castled king leaves its first square", _B
        ),
        FactKind.SAME_MAN_AGAIN: _meaning(
            "a knight, bishop, rook or queen that has moved moves again in the opening", _B
        ),
        FactKind.WAS_ATTACKED: _meaning("the man could have been taken with profit", _J),
        FactKind.LEFT_A_TRADE: _meaning("the man could have been traded off on its square", _J),
        FactKind.RECAPTURES: _meaning("takes on the square of the capture just made", _J, _K),
        FactKind.WINS_MATERIAL: _meaning("takes, and the exchange wins material", _J, _K, _P),
        FactKind.TRADES: _meaning("takes, and the exchange comes out even", _J),
        FactKind.SACRIFICES: _meaning("takes, and the exchange costs material", _B, _J),
        FactKind.ANSWERS_CHECK: _meaning("the mover's king was in check", _J),
        FactKind.GIVES_CHECK: _meaning("check; alone it is not yet a reason", _J, _P),
        FactKind.GIVES_MATE: _meaning("checkmate", _K, _J, _P),
        FactKind.THREATENS_MATE: _meaning(
            "if the other side passed, there would be a mate in one that was not there", _K, _J, _P
        ),
        FactKind.THREATENS: _meaning(
            "if the other side passed, a man could be taken with more profit than before",
            _K,
            _J,
            _P,
        ),
        FactKind.QUEEN_EARLY: _meaning(
            "the queen's first move while too many minor pieces are at home", _B
        ),
        FactKind.HITS_QUEEN: _meaning(
            "the enemy queen, which is out, can now be taken with profit", _K, _P
        ),
        FactKind.QUEEN_DRIVEN: _meaning(
            "the queen was hit and moves away without taking her share: a tempo", _B, _P
        ),
        FactKind.PAWN_JOB: _meaning("a pawn move with the computed helps as its reasons", _K),
        FactKind.PAWN_WITHOUT_JOB: _meaning("a pawn move without a computed help", _B),
        FactKind.OPENS_A_WAY: _meaning(
            "a minor piece on its first square has more squares than before", _K, _J
        ),
        FactKind.PAWN_HITS_MAN: _meaning(
            "the pawn attacks a piece that can then be taken with profit", _K, _J, _P
        ),
        FactKind.PAWN_HITS_PAWN: _meaning("the pawn attacks an enemy pawn (a lever)", _K, _J),
        FactKind.STOPS_MATE: _meaning("a mate in one that was threatened is stopped", _K, _J),
        FactKind.STOPS_THREAT: _meaning(
            "a capture with profit that was threatened is gone or wins less", _K, _J
        ),
        FactKind.PROMOTES: _meaning("the pawn becomes another piece", _K, _J, _P),
        FactKind.OPENING_DONE: _meaning(
            "no minor piece is on its home square, and the side has castled or cannot any more",
            _K,
            about="either",
        ),
        FactKind.OPENING_CUT: _meaning(
            "the opening is no longer counted, though this side has not done its part",
            _B,
            about="either",
        ),
        FactKind.OPENS_CENTRE: _meaning("the d-file or the e-file has no pawns any more", _K, _B),
        FactKind.HALF_OPENS_CENTRE: _meaning(
            "the d-file or the e-file has lost its last pawn of one side", _K, _B
        ),
        FactKind.OPENED_ON_KING: _meaning(
            "the centre opened while a king that has not castled stands there",
            _B,
            _K,
            about="either",
        ),
        FactKind.FILE_TAKEN: _meaning(
            "a rook or queen comes to a file that opened on the enemy king", _K, _P
        ),
        FactKind.FILE_CHECK: _meaning("check along a file that opened on the king", _P),
        FactKind.FILE_PIN: _meaning(
            "a man is pinned to king or queen along a file that opened on the king",
            _P,
            about="either",
        ),
        FactKind.FILE_WINS: _meaning("material is won along a file that opened on the king", _P),
        FactKind.KING_CAUGHT: _meaning("mate of a king on which the centre had opened", _P),
    }
)
