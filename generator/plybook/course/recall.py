"""What comes back, and when: the cards and exercises of a course, spread over its weeks.

A plain fixed spacing is enough: Latimier, Peyre and Ramus (2021) found no significant difference
between growing and equal gaps, and a clear one between spaced and massed retrieval.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from plybook.course.model import Course, Lesson
from plybook.text.model import CardDraft, CardsDraft, ExerciseDraft

__all__ = ["RecallItem", "Return", "Week", "course_order", "items_of", "plan_recall"]

_DIGITS = 8  # of the digest: two cards of a lesson meet once in millions of lessons


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallItem:
    """A card or an exercise that comes back.

    `ident` is unique in the course and stays while the question stays: `LESSON/EXERCISE`, or
    `LESSON/card-` and a digest of the question. `number` counts the cards, or the exercises, of
    the lesson from 1.
    """

    ident: str
    lesson: str
    number: int
    block: CardDraft | ExerciseDraft

    @property
    def name(self) -> str:
        """The ident without the lesson."""
        return self.ident.partition("/")[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """What comes back in a week from a lesson that was taught `weeks` weeks before."""

    lesson: str
    weeks: int
    items: tuple[RecallItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """A week of the course, from 1: the lesson that is taught, if any, and what comes back."""

    number: int
    lesson: str | None
    returns: tuple[Return, ...]  # the longest ago first


def course_order(course: Course) -> tuple[str, ...]:
    """Return the lessons' slugs in the order of the parts, as the pages lead through them."""
    order = tuple(slug for part in course.parts for slug in part.lessons)
    return order or tuple(course.lessons)


def items_of(lesson: Lesson) -> tuple[RecallItem, ...]:
    """Return the cards and exercises of a lesson in the order of its text."""
    return tuple(_items(lesson))


def _items(lesson: Lesson) -> Iterator[RecallItem]:
    asked: dict[str, int] = {}
    exercises = cards = 0
    for block in lesson.draft.blocks:
        if isinstance(block, ExerciseDraft):
            exercises += 1
            ident = f"{lesson.slug}/{block.name}"
            yield RecallItem(ident=ident, lesson=lesson.slug, number=exercises, block=block)
        elif isinstance(block, CardsDraft):
            for card in block.cards:
                cards += 1
                digest = hashlib.sha256(card.question.encode()).hexdigest()[:_DIGITS]
                ident = f"{lesson.slug}/card-{digest}"
                # The same question of another board is another card.
                count = asked[ident] = asked.get(ident, 0) + 1
                ident = ident if count == 1 else f"{ident}-{count}"
                yield RecallItem(ident=ident, lesson=lesson.slug, number=cards, block=card)


def plan_recall(course: Course) -> tuple[Week, ...]:
    """Return the weeks of the course, one lesson a week, until the last recall of the last lesson.

    A week in which nothing is taught and nothing comes back is left out.
    """
    order = course_order(course)
    items = {slug: items_of(course.lessons[slug]) for slug in order}
    gaps = course.file.recall
    weeks = []
    for number in range(1, len(order) + max(gaps) + 1):
        returns = tuple(
            Return(lesson=order[taught - 1], weeks=gap, items=items[order[taught - 1]])
            for gap in reversed(gaps)
            if 1 <= (taught := number - gap) <= len(order) and items[order[taught - 1]]
        )
        lesson = order[number - 1] if number <= len(order) else None
        if lesson or returns:
            weeks.append(Week(number=number, lesson=lesson, returns=returns))
    return tuple(weeks)
