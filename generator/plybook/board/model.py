"""What leaves the board room: positions, plies and lines, frozen. No `chess` object among them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from plybook.diagnostics import Span
from plybook.text.model import Comment, Drawing

Side = Literal["white", "black"]

#: Where a line stands after a ply.
Outcome = Literal["", "check", "mate", "stalemate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A position to draw or to speak about.

    `placement` has 64 characters, a1, b1 … h8: `PNBRQK` white men, `pnbrqk` black men, `.` empty.
    `key` is equal for equal positions in the sense of article 9.2 of the Laws of Chess: men,
    side to move, castling rights, and an en passant square only where a capture is legal.
    """

    placement: str
    turn: Side
    fen: str
    key: bytes
    outcome: Outcome
    is_partial: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ply:
    """One half-move, proved legal. Squares are named (`e4`); men are lower-case letters."""

    index: int  # this ply's place in Line.plies, plus one: the place after it
    parent: int  # the place before it; 0 is the start
    depth: int  # 0 main line, 1 a variation of it, ...
    number: int  # move number as printed
    mover: Side
    san: str  # canonical, with + or #
    man: str  # p n b r q k, before any promotion
    origin: str
    target: str
    captured: str | None
    captured_on: str | None  # differs from target only en passant
    promotion: str | None  # n b r q
    rook: tuple[str, str] | None  # castling: the rook's from and to
    outcome: Outcome
    key: bytes  # of the position after the ply
    nags: tuple[int, ...]
    comments_before: tuple[Comment, ...]
    comments: tuple[Comment, ...]
    span: Span

    @property
    def label(self) -> str:
        """The move with its number: `4...g6`."""
        return f"{self.number}{'.' if self.mover == 'white' else '...'}{self.san}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A tree of plies in the order of the movetext: a ply, then the variations that replace it.

    Place 0 is the start; place i is the position after `plies[i - 1]`. `is_whole` is False when a
    fault ended it early: what is not there may still have been written.
    """

    name: str
    start: Position
    first_number: int
    plies: tuple[Ply, ...]
    result: str | None
    is_whole: bool
    span: Span
    opened: dict[int, Position] = field(default_factory=dict, compare=False, repr=False)
    # Positions opened so far: made once, since diagrams, claims and cards ask for the same ones.

    def children(self, place: int) -> tuple[int, ...]:
        """Return the places one ply after `place`: the continuation first, then alternatives."""
        return tuple(ply.index for ply in self.plies if ply.parent == place)

    def main(self) -> Iterator[Ply]:
        """Yield the plies of the main line."""
        return (ply for ply in self.plies if ply.depth == 0)

    def path(self, place: int) -> tuple[int, ...]:
        """Return the places from the start (excluded) to `place` (included)."""
        steps = []
        while place:
            steps.append(place)
            place = self.plies[place - 1].parent
        return tuple(reversed(steps))

    def key(self, place: int) -> bytes:
        """Return the position key of a place."""
        return self.plies[place - 1].key if place else self.start.key


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An arrow or mark that was tested on its position (or is the coach's free mark)."""

    is_arrow: bool
    role: str
    squares: tuple[str, ...]

    @classmethod
    def of(cls, drawing: Drawing) -> Mark:
        """Return the mark of a drawing that has passed its test."""
        return cls(is_arrow=drawing.is_arrow, role=drawing.role, squares=drawing.squares)
