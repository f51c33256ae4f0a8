"""What is known of an exercise: is it sound, and what follows each move that may be tried.

Moves are as in movetext, squares are named, men are lower-case letters; nothing here needs a board
to be read. The browser gets these tables and no rule of chess.

Refusals are data, so that each language can word them; `str(refusal)` is the English sentence.
`Choice.next` may lead to an earlier or a later turn; two choices may share one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from plybook.board.claims.model import Verdict
from plybook.board.model import Side

__all__ = ["Choice", "Finding", "Judgement", "Refusal", "RefusalKind", "Solved", "Tried", "Turn"]


class Judgement(Enum):
    """What becomes of a move that a pupil tries."""

    RIGHT = "right"  # an accepted answer, written by the coach or proved to be one
    WRONG = "wrong"  # a try the coach foresaw, with feedback of its own
    OTHER = "other"  # legal, and not foreseen


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One legal move, with what a page needs to show it."""

    san: str
    origin: str
    target: str
    promotion: str | None  # n b r q
    captured_on: str | None  # differs from target only en passant
    rook: tuple[str, str] | None  # castling: the rook's from and to


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One legal move at a pupil's turn, and what follows.

    `reply` is the opponent's answer: after a right move the one in the coach's line, after another
    move the one that wins most (None where nothing is to be shown). `next` is the index of the
    turn after the reply; None after a right move means that the exercise is solved, when `reply`
    (where there is one) has been shown.
    """

    move: Tried
    judgement: Judgement
    feedback: str = ""  # the coach's words, Markdown inline
    reply: Tried | None = None
    loses: int = 0  # pawns the move and the captures from the reply on cost; 0: nothing at once
    is_mated: bool = False  # the reply mates
    next: int | None = None


class RefusalKind(Enum):
    """Why a move that looks possible is not."""

    PINNED = "pinned"  # the man is pinned to the king by `by` on `on`
    IN_CHECK = "in-check"  # the king is in check from `by` on `on`, and this does not help
    INTO_CHECK = "into-check"  # the king itself would be in check from `by` on `on`
    CASTLING_OUT = "castling-out"  # no castling while in check from `by` on `on`
    CASTLING_THROUGH = "castling-through"  # the king would pass `through`, attacked by `by` on `on`


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a man may not go somewhere. Men are letters: p n b r q k."""

    kind: RefusalKind
    man: str
    by: str
    on: str
    through: str | None = None

    def __str__(self) -> str:
        by = f"the {_MEN[self.by]} on {self.on}"
        match self.kind:
            case RefusalKind.PINNED:
                return f"the {_MEN[self.man]} is pinned to the king by {by}"
            case RefusalKind.IN_CHECK:
                return f"your king is in check from {by}"
            case RefusalKind.INTO_CHECK:
                return f"the king would be in check from {by}"
            case RefusalKind.CASTLING_OUT:
                return f"the king may not castle out of check from {by}"
            case RefusalKind.CASTLING_THROUGH:
                return f"the king may not castle through {self.through}: {by} attacks it"


_MEN: Final = {"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen", "k": "king"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A position in which the pupil is to move, with every legal move in the order of squares.

    `refusals` say why a man that looks free may not go somewhere, by (origin, target); the key
    (origin, "") speaks of every move of that man: "the knight is pinned to the king".
    """

    placement: str  # 64 characters, a1 b1 ... h8
    mover: Side
    number: int  # move number as printed
    choices: tuple[Choice, ...]
    refusals: Mapping[tuple[str, str], Refusal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A fault of an exercise: the code of its diagnostic and what it is about."""

    code: str
    message: str
    notes: tuple[str, ...] = ()
    help: tuple[str, ...] = ()
    about: int | None = None  # index of the `answer`, `wrong` or `hint` line it is about
    ply: int = 0  # index of the ply of that line


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """An exercise, tested. `turns` is empty for tasks that are answered in words."""

    verdict: Verdict  # of the key; its reach says how far this was looked into
    findings: tuple[Finding, ...]
    turns: tuple[Turn, ...]
    nodes: int
