"""What goes into the claims engine and what comes out of it, frozen and without `chess` objects."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from plybook.board.model import Line, Side
from plybook.text.claim_model import Claim, ThreatensMate, ThreatensWin

__all__ = [
    "Budget",
    "CannotAskError",
    "ClaimRequest",
    "Evidence",
    "MoveSaid",
    "NodesSpentError",
    "Reach",
    "Verdict",
]


class Reach(Enum):
    """How far a verdict reaches."""

    PROVED = "proved"
    HOLDS = "holds"  # to the depth of the verdict
    FALSE = "false"
    CANNOT_BE_ASKED = "cannot-be-asked"
    COACHS_WORD = "coachs-word"
    NOT_SETTLED = "not-settled"  # the budget ran out

    @property
    def is_good(self) -> bool:
        """Whether a lesson may print the claim as it stands."""
        return self in {Reach.PROVED, Reach.HOLDS, Reach.COACHS_WORD}


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveSaid:
    """A move in a verdict's words. `is_numbered` says whether it is written with its number."""

    san: str
    uci: str
    number: int
    mover: Side
    is_numbered: bool = True

    @property
    def label(self) -> str:
        """The move with its number: `4...d5`."""
        return f"{self.number}{'.' if self.mover == 'white' else '...'}{self.san}"

    def __str__(self) -> str:
        return self.label if self.is_numbered else self.san


#: Words and moves in order; joined without spaces they are the sentence. Moves stand apart so that
#: they can be printed in the letters of the lesson and pressed.
Evidence = tuple[str | MoveSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What came of a claim.

    `counter` holds the moves, from the claim's position on, that answer a false claim (or, for a
    claim that no such line exists, the line); a board can step through them. Where a side passes
    first (a threat), the moves follow the pass. `cost` is what the answer costs the side that
    gives it, in pawns, where that was computed. `nodes` counts the positions looked at.
    """

    reach: Reach
    evidence: Evidence = ()
    counter: tuple[MoveSaid, ...] = ()
    cost: int | None = None
    depth: int | None = None
    nodes: int = 0

    @property
    def reach_text(self) -> str:
        """The reach in words: `proved`, `holds to depth 3`, `false`."""
        match self.reach:
            case Reach.HOLDS:
                return f"holds to depth {self.depth}"
            case Reach.CANNOT_BE_ASKED:
                return "cannot be asked here"
            case Reach.COACHS_WORD:
                return "coach's word"
            case _:
                return str(self.reach.value).replace("-", " ")

    @property
    def text(self) -> str:
        """The evidence as one line of text."""
        return "".join(map(str, self.evidence))


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How much may be looked at for one claim, in positions and plies, never in seconds.

    Mates in up to three moves are always settled. `lines_depth` is how far a reply that stands in
    no line is searched when a claim rests on the lines given.
    """

    mate_nodes: int = 8_000_000
    search_nodes: int = 2_000_000
    lines_depth: int = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimRequest:
    """A claim and where it is made.

    `lead` holds the lines (with the place where each is left) that `line` was started from,
    outermost first: what was played before counts for development. `lines` are the other lines of
    the lesson: a claim that rests on the lines given may use them. `threat` is the last sentence
    before this one in its block that states a threat: what "the threat" means; without one the
    threat is computed.
    """

    claim: Claim
    line: Line
    place: int
    lead: tuple[tuple[Line, int], ...] = ()
    lines: tuple[Line, ...] = ()
    threat: ThreatensMate | ThreatensWin | None = None


class CannotAskError(Exception):
    """The question has no meaning in this position; the evidence says why."""

    def __init__(self, *evidence: str | MoveSaid) -> None:
        super().__init__("".join(map(str, evidence)))
        self.evidence: Evidence = evidence


class NodesSpentError(Exception):
    """A search has used up its budget."""

    def __init__(self, nodes: int) -> None:
        super().__init__(f"{nodes} positions")
        self.nodes = nodes
