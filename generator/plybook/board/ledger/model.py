"""What leaves the ledger, frozen: facts ply by ply, and what each side has at each place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from plybook.board.ledger.kinds import FactKind
from plybook.board.model import Ply, Position, Side

__all__ = [
    "DEFAULT",
    "Account",
    "Cause",
    "Centre",
    "Development",
    "Entry",
    "Fact",
    "Hindrance",
    "King",
    "KingState",
    "LeadIn",
    "Ledger",
    "LedgerSettings",
    "LostRight",
    "Men",
    "Stone",
    "Tempo",
    "Wing",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerSettings:
    """Limits that a course may choose. Plies count from the first move of the game.

    `opening_plies`: the opening is counted no longer than this. `queen_waits_for`: how many of the
    minor pieces must have left home (or the board) before the queen is no longer early.
    `follow_plies`: how long after the opening of the centre its consequences are named.
    """

    opening_plies: int = 24
    queen_waits_for: int = 3
    follow_plies: int = 24


DEFAULT = LedgerSettings()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadIn:
    """The moves before a line that starts inside another one, from that game's own start."""

    start: Position
    plies: tuple[Ply, ...]


class Wing(Enum):
    """The side of the board on which a king castles."""

    SHORT = "short"
    LONG = "long"


class Cause(Enum):
    """Why castling is lost (article 3.8.2.1 of the Laws of Chess) or prevented (3.8.2.2)."""

    KING_MOVED = "king-moved"
    ROOK_MOVED = "rook-moved"
    ROOK_TAKEN = "rook-taken"
    BEFORE = "before-this-line"
    BETWEEN = "man-between"
    IN_CHECK = "in-check"
    CROSSES = "crosses-an-attacked-square"
    LANDS = "lands-on-an-attacked-square"


class KingState(Enum):
    """Where a king is on its way to safety."""

    CASTLED = "castled"
    MAY_CASTLE = "may-castle"  # a right is left; own men may stand in the way
    HELD = "held"  # a right is left, and every way that is clear of men is attacked
    STUCK = "stuck"  # no right left, king on the d-, e- or f-file
    WALKED = "walked"  # no right left, king on a wing of its first two ranks, in this line
    AWAY = "away"  # on a wing, but how it got there is not in this line; or far from home


@dataclass(frozen=True, slots=True)
class Stone:
    """A man on its square: letter `p n b r q k`, square `e4`."""

    side: Side
    man: str
    square: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One computed fact. Which fields are filled depends on the kind; see words.py for each.

    `man` is the man the fact is about, on the square where it stands after the move. `reasons` are
    facts that explain this one: the exemptions of a second move in the order of their weight, the
    helps of a pawn move, what else a move that hits the queen did. `amount` is in pawns for
    captures and threats, else a count.
    """

    kind: FactKind
    side: Side
    man: Stone | None = None
    others: tuple[Stone, ...] = ()
    squares: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    moves: tuple[str, ...] = ()  # with their numbers: `4...g6`
    wing: Wing | None = None
    cause: Cause | None = None
    amount: int | None = None
    reasons: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Centre:
    """A side's hold on d4, e4, d5, e5, in this order. A man does not guard its own square."""

    pawns: int  # own pawns that stand there
    pieces: int  # other own men that stand there
    guards: tuple[int, int, int, int]  # own men of all kinds that attack each square
    pawn_guards: tuple[int, int, int, int]  # the pawns among them

    @property
    def control(self) -> int:
        """All guards together."""
        return sum(self.guards)


@dataclass(frozen=True, slots=True, kw_only=True)
class Men:
    """A side's knights and bishops by where they are, and the rooks among the sleepers.

    Every original minor piece is in exactly one of `toward`, `against`, `elsewhere`, `rim` (these
    four are out), `back`, `asleep`, or counted in `gone`. Promoted men are nowhere here.
    """

    toward: tuple[Stone, ...]
    against: tuple[Stone, ...]
    elsewhere: tuple[Stone, ...]
    rim: tuple[Stone, ...]
    back: tuple[Stone, ...]  # on the back rank, but has moved
    asleep: tuple[Stone, ...]  # never moved; rooks too
    shut_in: tuple[Stone, ...]  # those of `asleep` without a square to go to
    gone: int  # captured minor pieces

    @property
    def out(self) -> int:
        """How many minor pieces are off the back rank."""
        return len(self.toward) + len(self.against) + len(self.elsewhere) + len(self.rim)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hindrance:
    """Why a side that has the right to castle could not use it now. One cause, the first that holds
    in the order of the Laws; `by` are the men in the way or the attackers of `square`."""

    wing: Wing
    cause: Cause
    square: str | None
    by: tuple[Stone, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LostRight:
    """A right to castle that is gone: why, and by which move (None: before this line)."""

    wing: Wing
    cause: Cause
    move: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class King:
    """A side's king. `shelter` counts the pawns on their first squares in front of a king on a
    wing's back rank (a, b, c or f, g, h); None for a king elsewhere."""

    square: str
    state: KingState
    castled: Wing | None
    rights: tuple[Wing, ...]
    hindrances: tuple[Hindrance, ...]  # none for a wing that could be used now
    lost: tuple[LostRight, ...]
    shelter: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Development:
    """The development count by its parts."""

    minors: int  # off the back rank
    castled: int  # 0 or 1
    centre_pawns: int  # d- and e-pawns that moved and live
    rooks: int  # on the d- or e-file, or on a file without own pawns; at most 2

    @property
    def count(self) -> int:
        """All parts together."""
        return self.minors + self.castled + self.centre_pawns + self.rooks

    @property
    def core(self) -> int:
        """The parts without the rooks."""
        return self.minors + self.castled + self.centre_pawns


@dataclass(frozen=True, slots=True, kw_only=True)
class Tempo:
    """A side's moves since the line (or its lead-in) began.

    `visible`: the fewest moves that could have put the living men where they stand, each alone on
    the board, castling one move. `with_the_dead`: moves made by men that were captured.
    """

    moves: int
    visible: int
    with_the_dead: int

    @property
    def wasted(self) -> int:
        """Moves that are not to be seen on the board and were not captured."""
        return self.moves - self.visible - self.with_the_dead


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """What one side has at one place."""

    centre: Centre
    men: Men
    king: King
    development: Development
    tempo: Tempo
    queen_tempi: int  # tempi the queen has cost this side
    queen_tempi_strict: int  # those won by bringing out a man or a pawn to the centre
    is_done: bool  # the side's opening is over


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One place of a line: what the move did, and where both sides stand after it."""

    place: int
    mover: Side | None  # None at the start
    facts: tuple[Fact, ...]
    white: Account
    black: Account
    is_opening: bool  # the opening still goes on for one side at least

    def account(self, side: Side) -> Account:
        """Return the account of a side."""
        return self.white if side == "white" else self.black

    @property
    def lead(self) -> int:
        """White's development count less Black's. Fair after a move of the second player only."""
        return self.white.development.count - self.black.development.count


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """The entries of a line by place; `entries[0]` is the start."""

    entries: tuple[Entry, ...]
    settings: LedgerSettings

    def facts(self) -> Iterator[tuple[int, Fact]]:
        """Yield every fact with its place, reasons not unpacked, in the order of the places."""
        for entry in self.entries:
            for fact in entry.facts:
                yield entry.place, fact

    @property
    def kinds(self) -> frozenset[FactKind]:
        """The kinds that occur, reasons included."""
        found = [fact for _, fact in self.facts()]
        return frozenset(each.kind for fact in found for each in (fact, *fact.reasons))
