"""What the templates of recall receive: the work of a pupil, the warm-up, the plan of the weeks."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from plybook.site.pages.views import LinkView

__all__ = [
    "LessonWorkView",
    "PlanItemView",
    "PlanLessonView",
    "PlanWeekView",
    "ReturnView",
    "WorkItemView",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkItemView:
    """A card or an exercise as a mark that the page script fills in."""

    ident: str  # in the browser's store
    number: int
    href: str
    name: str  # "Exercise 2: Get the piece back."


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonWorkView:
    """A lesson with what can be solved and remembered in it."""

    number: int
    link: LinkView
    exercises: tuple[WorkItemView, ...]
    cards: tuple[WorkItemView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnView:
    """What comes back from one lesson: "1 week later", "cards 1–5, exercises 1–3"."""

    number: int
    title: str
    later: str
    items: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWeekView:
    """A row of the plan. `lesson` is None for a week after the last lesson."""

    number: int
    lesson_number: int
    lesson: LinkView | None
    returns: tuple[ReturnView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanItemView:
    """A question of the list behind the plan."""

    number: int
    question: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLessonView:
    """The cards and exercises of a lesson, in the list behind the plan."""

    number: int
    title: str
    exercises: tuple[PlanItemView, ...]
    cards: tuple[PlanItemView, ...]
