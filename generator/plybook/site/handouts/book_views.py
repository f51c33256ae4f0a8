"""What the templates of an e-book receive; plain frozen values, as in pages/views.py."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from plybook.site.pages.views import LinkView

__all__ = [
    "AnswersView",
    "BookCardView",
    "BookExerciseView",
    "BookLessonView",
    "BookLineView",
    "ContentsView",
    "FigureView",
    "NavPartView",
    "RuleView",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureView:
    """A still board. `number` is 0 for one that the coach did not place; `alt` says all of it."""

    kind: str  # dg, key, ex, card
    ident: str  # "" for none
    number: int
    source: str
    alt: str
    place: str
    turn: str
    caption: Markup
    legend: tuple[str, ...]  # the words of the marks in it


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLineView:
    """A line: its moves as text and its key positions."""

    name: str
    title: str
    moves: Markup
    source: str
    boards: tuple[FigureView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookExerciseView:
    """An exercise; its answer stands at the end of the chapter."""

    name: str
    number: int
    board: FigureView
    task: Markup
    hints: tuple[Markup, ...]
    level: str
    answer: Markup
    wrong: tuple[tuple[Markup, Markup], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookCardView:
    """A recall card; `number` counts the cards of a chapter."""

    number: int
    question: Markup
    answer: Markup
    question_board: FigureView | None
    answer_board: FigureView | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswersView:
    """The key at the end of a chapter."""

    exercises: tuple[BookExerciseView, ...]
    cards: tuple[BookCardView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLessonView:
    """A chapter. `key` is empty where nothing is asked."""

    number: int
    title: str
    subtitle: str
    level: str
    minutes: int
    body: Markup
    teaches: tuple[LinkView, ...]
    practises: tuple[LinkView, ...]
    key: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleView:
    """A principle: its page, its short rule, and its text where that is shown."""

    link: LinkView
    short: str
    body: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class NavPartView:
    """A part of the course in the contents; `title` is empty for lessons in no part."""

    title: str
    links: tuple[LinkView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentsView:
    """The contents: the lessons by part, and what stands behind them."""

    parts: tuple[NavPartView, ...]
    others: tuple[LinkView, ...]
