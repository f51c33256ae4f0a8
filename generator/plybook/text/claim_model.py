"""What a sentence of a `claims` block says, one frozen class a pattern.

Places in the file (`span`) take no part in equality or in `repr`, so that the same sentence gives
the same claim wherever it stands.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from plybook.diagnostics import Span

SideWord = Literal["white", "black"]
ManWord = Literal["pawn", "knight", "bishop", "rook", "queen", "king"]
WingWord = Literal["king-side", "queen-side"]
PinWord = Literal["absolute", "relative"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveWord:
    """A move as the coach wrote it. Without a printed number both `number` and `mover` are None."""

    san: str
    number: int | None
    mover: SideWord | None
    span: Span = field(compare=False, repr=False)

    def __str__(self) -> str:
        if self.number is None:
            return self.san
        return f"{self.number}{'.' if self.mover == 'white' else '...'}{self.san}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LongMove:
    """A move written with both squares (`e7xd6`): the way to name a move that is not legal."""

    origin: str
    target: str
    is_capture: bool
    promotion: str | None  # Q R B N
    span: Span = field(compare=False, repr=False)

    def __str__(self) -> str:
        sign = "x" if self.is_capture else "-"
        tail = f"={self.promotion}" if self.promotion else ""
        return f"{self.origin}{sign}{self.target}{tail}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sentence:
    span: Span = field(compare=False, repr=False)


# ------------------------------------------------------------------ men and squares


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned(_Sentence):
    """the knight f3 is pinned by g4 to d1, relative"""

    man: ManWord
    pinned: str
    pinner: str
    behind: str
    kind: PinWord


@dataclass(frozen=True, slots=True, kw_only=True)
class Skewered(_Sentence):
    """the queen d5 is skewered by g2 to b7"""

    man: ManWord
    front: str
    slider: str
    behind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Attacked(_Sentence):
    """f7 is attacked 2 times by White and guarded 1 time"""

    square: str
    attacks: int
    side: SideWord
    guards: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose(_Sentence):
    """g4 is loose: a man without a guard"""

    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging(_Sentence):
    """e4 is hanging: the other side takes it with profit"""

    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Safe(_Sentence):
    """d5 is safe: no capture of it profits"""

    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Trapped(_Sentence):
    """b3 is trapped and costs 1 or more"""

    square: str
    worth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Overloaded(_Sentence):
    """f6 is overloaded: it guards d7 and e7"""

    square: str
    wards: tuple[str, ...]


# ------------------------------------------------------------------ what a move does


@dataclass(frozen=True, slots=True, kw_only=True)
class Forks(_Sentence):
    """5.Qxe5+ forks e8 and h8: every reply loses something"""

    move: MoveWord
    targets: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Attacks(_Sentence):
    """5.Qxe5+ attacks e8 and h8: the shape only"""

    move: MoveWord
    targets: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivesDoubleCheck(_Sentence):
    """10.Bg5+ gives double check"""

    move: MoveWord


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncovers(_Sentence):
    """10.Bg5+ uncovers d1 on d8: the man on d1 now attacks d8"""

    move: MoveWord
    slider: str
    target: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OnlyLegalReply(_Sentence):
    """after 16.Qb8+ the only legal reply is Nxb8"""

    move: MoveWord
    reply: MoveWord


# ------------------------------------------------------------------ threats and replies


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreatensMate(_Sentence):
    """White threatens mate in 1 by Qxf7#"""

    side: SideWord
    moves: int
    move: MoveWord


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreatensWin(_Sentence):
    """Black threatens to win 3 on e4"""

    side: SideWord
    worth: int
    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OnlyReply(_Sentence):
    """the only reply to the threat is 4...Qe7"""

    reply: MoveWord


@dataclass(frozen=True, slots=True, kw_only=True)
class OnlySoundReply(_Sentence):
    """the only reply that loses nothing is 4...Qe7"""

    reply: MoveWord


@dataclass(frozen=True, slots=True, kw_only=True)
class NoReplyStopsMate(_Sentence):
    """no reply stops mate in 1"""

    moves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Replies(_Sentence):
    """the replies are Qe7, Qf6: these and no others meet the threat"""

    replies: tuple[MoveWord, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundReplies(_Sentence):
    """the replies that lose nothing are Qe7, Qf6"""

    replies: tuple[MoveWord, ...]


# ------------------------------------------------------------------ mate


@dataclass(frozen=True, slots=True, kw_only=True)
class Mates(_Sentence):
    """6.Bxf7+ mates in 2"""

    move: MoveWord
    moves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OnlyMate(_Sentence):
    """6.Bxf7+ is the only mate in 2"""

    move: MoveWord
    moves: int


# ------------------------------------------------------------------ what the Laws allow


@dataclass(frozen=True, slots=True, kw_only=True)
class IllegalGuarded(_Sentence):
    """6.Bxf7+ Kxf7 is illegal, guarded by e5"""

    before: tuple[MoveWord, ...]
    move: MoveWord | LongMove
    guard: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IllegalPinned(_Sentence):
    """e7xd6 is illegal, pinned by e2"""

    before: tuple[MoveWord, ...]
    move: MoveWord | LongMove
    pinner: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LegalButLoses(_Sentence):
    """d4xc3 is legal but loses 9"""

    before: tuple[MoveWord, ...]
    move: MoveWord | LongMove
    worth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotCastleAttacked(_Sentence):
    """Black cannot castle king-side: f8 is attacked from c5"""

    side: SideWord
    wing: WingWord
    square: str
    attacker: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotCastleMan(_Sentence):
    """Black cannot castle king-side: a man on f8"""

    side: SideWord
    wing: WingWord
    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CannotCastleLost(_Sentence):
    """Black cannot castle king-side: the right is lost"""

    side: SideWord
    wing: WingWord


# ------------------------------------------------------------------ material


@dataclass(frozen=True, slots=True, kw_only=True)
class Wins(_Sentence):
    """5.Nxe5 wins 1 or more, depth 5"""

    move: MoveWord
    worth: int
    depth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WinsByLines(_Sentence):
    """5.Nxe5 wins 1 or more by the lines given"""

    move: MoveWord
    worth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WinsNot(_Sentence):
    """5.Nxe5 does not win 1, depth 5, because 5...Nxe5"""

    move: MoveWord
    worth: int
    depth: int
    reply: MoveWord


# ------------------------------------------------------------------ development, and belief


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadsDevelopment(_Sentence):
    """White leads in development 5 to 3"""

    side: SideWord
    count: int
    other: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MinorsOut(_Sentence):
    """Black has 1 minor piece out"""

    side: SideWord
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class QueenCost(_Sentence):
    """the queen has cost 2 tempi. `side` is None where the sentence does not say whose."""

    side: SideWord | None
    tempi: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Believed(_Sentence):
    """believe: White has a strong attack"""

    words: str


_OfMen = Pinned | Skewered | Attacked | Loose | Hanging | Safe | Trapped | Overloaded
_OfMoves = Forks | Attacks | GivesDoubleCheck | Uncovers | OnlyLegalReply
_OfThreats = ThreatensMate | ThreatensWin | NoReplyStopsMate
_OfReplies = OnlyReply | OnlySoundReply | Replies | SoundReplies
_OfMate = Mates | OnlyMate
_OfLaws = IllegalGuarded | IllegalPinned | LegalButLoses
_OfCastling = CannotCastleAttacked | CannotCastleMan | CannotCastleLost
_OfMaterial = Wins | WinsByLines | WinsNot
_OfDevelopment = LeadsDevelopment | MinorsOut | QueenCost

Claim = (
    _OfMen
    | _OfMoves
    | _OfThreats
    | _OfReplies
    | _OfMate
    | _OfLaws
    | _OfCastling
    | _OfMaterial
    | _OfDevelopment
    | Believed
)
