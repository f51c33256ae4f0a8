"""What the templates of paper are given, frozen and ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from markupsafe import Markup

from plybook.board.model import Side

__all__ = [
    "CardPageView",
    "CardSideView",
    "KeyView",
    "PaperView",
    "SheetPageView",
    "StarsView",
    "TaskView",
    "WrongView",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class StarsView:
    """A level as stars: `filled` of `total`. Without a level `total` is 0."""

    level: str
    filled: int
    total: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskView:
    """An exercise as a pupil sees it on a sheet.

    `begins` is how the answer begins: `9.` or `8…`, empty where it is given in words; `choices`
    are the answers to tick. `is_long` asks for smaller letters.
    """

    number: int
    board: Markup
    turn: str
    side: Side
    stars: StarsView
    task: Markup
    begins: str
    choices: tuple[str, ...]
    is_long: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongView:
    """A wrong try: its moves and why it is wrong, then the reply that wins most.

    `reply` is empty where none wins anything; `cost` says what it wins.
    """

    moves: Markup
    why: Markup
    reply: Markup
    cost: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyView:
    """An exercise with its solution. `origin` names its lesson on a mixed sheet."""

    task: TaskView
    answers: tuple[Markup, ...]
    said: Markup  # the answer in words, or empty
    wrong: tuple[WrongView, ...]
    hints: tuple[Markup, ...]
    known: str  # how the solution is known
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPageView:
    """One page of a sheet, numbered from 1."""

    number: int
    tasks: tuple[TaskView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSideView:
    """One side of a card. `board` may be empty; `is_long` asks for smaller letters."""

    number: int
    text: Markup
    board: Markup
    turn: str
    side: Side
    is_long: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPageView:
    """One side of a leaf of cards, row by row; None is a place without a card."""

    number: int
    is_back: bool
    rows: tuple[tuple[CardSideView | None, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperView:
    """What stands on every page of a paper, and the head of its file."""

    kind: Literal["sheet", "key", "cards"]
    title: str
    subtitle: str
    code: str
    language: str
    is_right_to_left: bool
    pages: int  # 0 where the browser counts them
    policy: str
    style: Markup  # in the file; empty where `stylesheet` is the address of one
    stylesheet: str
    generator: str
