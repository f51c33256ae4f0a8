"""Which exercises and cards go on paper, in which order, and the code that names the choice."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from hashlib import sha256
from typing import Any, Final

from plybook.board import Position, open_place
from plybook.course.model import Course, Lesson, Place
from plybook.diagnostics import Span
from plybook.text.model import CardDraft, CardsDraft, ExerciseDraft, Prose, Reference

__all__ = ["Bundle", "ChosenCard", "ChosenExercise", "choose", "choose_mixed", "position_of"]

#: Digits and capitals without those that are taken for one another: five bits each.
_LETTERS: Final = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
_CODE_LENGTH: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenExercise:
    """An exercise that is printed, with its lesson."""

    lesson: Lesson
    draft: ExerciseDraft


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenCard:
    """A card that is printed, with its lesson."""

    lesson: Lesson
    draft: CardDraft


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """What is printed together: a sheet, its key and its cards, all under one code.

    `lesson` is None where several are mixed. `name` begins the names of the files.
    """

    name: str
    lesson: Lesson | None
    exercises: tuple[ChosenExercise, ...]
    cards: tuple[ChosenCard, ...]
    code: str


def choose(course: Course, slug: str) -> Bundle:
    """Return the exercises and cards of one lesson in the order of its text."""
    lesson = course.lessons[slug]
    return _bundle(course, slug, lesson, _exercises(lesson), _cards(lesson))


def choose_mixed(course: Course, slugs: Iterable[str]) -> Bundle:
    """Return the exercises and cards of several lessons, shuffled the same way each time.

    The order follows a digest of the names, so that a new exercise moves no other one.
    """
    lessons = [course.lessons[slug] for slug in slugs]
    exercises = [one for lesson in lessons for one in _exercises(lesson)]
    cards = [one for lesson in lessons for one in _cards(lesson)]
    exercises.sort(key=lambda one: _digest(one.lesson.slug, one.draft.name))
    cards.sort(key=lambda one: _digest(one.lesson.slug, one.draft.question))
    return _bundle(course, "mixed", None, tuple(exercises), tuple(cards))


def position_of(course: Course, lesson: Lesson, reference: Reference | None) -> Position | None:
    """Return the position that a block of a lesson names; None for no or an unknown reference."""
    place: Place | None = lesson.targets.get(reference) if reference else None
    if place is None or place.lesson not in course.lessons:
        return None
    return open_place(course.line(place), place.index)


def _exercises(lesson: Lesson) -> tuple[ChosenExercise, ...]:
    return tuple(
        ChosenExercise(lesson=lesson, draft=block)
        for block in lesson.draft.blocks
        if isinstance(block, ExerciseDraft) and block.board in lesson.targets
    )


def _cards(lesson: Lesson) -> tuple[ChosenCard, ...]:
    return tuple(
        ChosenCard(lesson=lesson, draft=card)
        for block in lesson.draft.blocks
        if isinstance(block, CardsDraft)
        for card in block.cards
    )


def _bundle(
    course: Course,
    name: str,
    lesson: Lesson | None,
    exercises: tuple[ChosenExercise, ...],
    cards: tuple[ChosenCard, ...],
) -> Bundle:
    said = [
        [one.lesson.slug, _source(one.draft), *_fens(course, one.lesson, one.draft.board)]
        for one in exercises
    ]
    kept = [
        [
            one.lesson.slug,
            _source(one.draft),
            *_fens(course, one.lesson, one.draft.question_board, one.draft.answer_board),
        ]
        for one in cards
    ]
    return Bundle(
        name=name, lesson=lesson, exercises=exercises, cards=cards, code=_code([said, kept])
    )


def _fens(course: Course, lesson: Lesson, *references: Reference | None) -> list[str]:
    positions = (position_of(course, lesson, reference) for reference in references)
    return [position.fen if position else "" for position in positions]


def _code(content: object) -> str:
    """Return the code of what is printed, such as `K7Q-2MX`."""
    number = int.from_bytes(_digest(json.dumps(content)))
    signs = [_LETTERS[number >> 5 * at & 31] for at in range(_CODE_LENGTH)]
    return f"{''.join(signs[:3])}-{''.join(signs[3:])}"


def _digest(*texts: str) -> bytes:
    return sha256("\n".join(texts).encode()).digest()


def _source(value: object) -> Any:
    """Return what the coach wrote as plain data: where it stands and what is empty stay out.

    A key that a later release adds to a block therefore leaves the codes of old sheets alone.
    """
    if isinstance(value, Span | Prose | Reference):
        return None
    if isinstance(value, tuple):
        return [_source(part) for part in value]
    if is_dataclass(value):
        told = {field.name: _source(getattr(value, field.name)) for field in fields(value)}
        return {name: part for name, part in told.items() if part not in (None, [], {}, "")}
    return value
