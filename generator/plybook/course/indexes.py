"""Indexes of the course: where a principle is used, and which positions several lines share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from plybook.board import START
from plybook.course.model import Lesson, Meeting, Place, PrincipleUse, Tagged
from plybook.text.model import PrincipleDraft, TagsDraft

__all__ = ["find_meetings", "find_uses"]

_EARLY: Final = 5  # plies: before this many, lines of one opening meet without saying anything


def find_uses(
    lessons: Mapping[str, Lesson], principles: Mapping[str, PrincipleDraft]
) -> dict[str, PrincipleUse]:
    """Return, by principle, the lessons that teach and practise it and the moves tagged with it."""
    tagged: dict[str, list[Tagged]] = {slug: [] for slug in principles}
    for lesson in lessons.values():
        for block in lesson.draft.blocks:
            if not isinstance(block, TagsDraft):
                continue
            for tag in block.tags:
                place = lesson.targets.get(tag.place)
                if place is not None and tag.principle in tagged:
                    tagged[tag.principle].append(
                        Tagged(
                            place=place,
                            verb=tag.verb,
                            principle=tag.principle,
                            reason=tag.reason,
                        )
                    )
    return {
        slug: PrincipleUse(
            taught=tuple(
                name
                for name, lesson in lessons.items()
                if slug in {named.value for named in lesson.draft.teaches}
            ),
            practised=tuple(
                name
                for name, lesson in lessons.items()
                if slug in {named.value for named in lesson.draft.practises}
            ),
            tagged=tuple(tagged[slug]),
        )
        for slug in principles
    }


def find_meetings(lessons: Mapping[str, Lesson]) -> tuple[Meeting, ...]:
    """Return the positions that stand in several lines, transpositions among them.

    Where lines run together for a while, only the last common position is kept. Positions that
    every game passes in its first moves are left out. Order: positions of several lessons first,
    then the later ones of a line.
    """
    places = _places_by_key(lessons)
    meetings = []
    for key, found in places.items():
        lines = {(place.lesson, place.line) for place in found}
        if len(lines) < 2 or max(_plies_before(lessons, place) for place in found) < _EARLY:
            continue
        if _goes_on_together(lessons, places, found, lines):
            continue
        meetings.append(Meeting(key=key, places=tuple(found)))
    meetings.sort(key=lambda meeting: _weight(lessons, meeting))
    return tuple(meetings)


def _places_by_key(lessons: Mapping[str, Lesson]) -> dict[bytes, list[Place]]:
    places: dict[bytes, list[Place]] = {}
    for slug, lesson in lessons.items():
        for name, line in lesson.lines.items():
            if line.start.is_partial:
                continue
            if line.start.key != START.key:
                places.setdefault(line.start.key, []).append(Place(slug, name, 0))
            for ply in line.plies:
                places.setdefault(ply.key, []).append(Place(slug, name, ply.index))
    return places


def _goes_on_together(
    lessons: Mapping[str, Lesson],
    places: Mapping[bytes, list[Place]],
    found: list[Place],
    lines: set[tuple[str, str]],
) -> bool:
    """Return whether some next position is shared by the same lines."""
    first = found[0]
    line = lessons[first.lesson].lines[first.line]
    for child in line.children(first.index):
        following = {(place.lesson, place.line) for place in places[line.key(child)]}
        if lines <= following:
            return True
    return False


def _plies_before(lessons: Mapping[str, Lesson], place: Place) -> int:
    """Return how many plies of the game were played before a place, by its move number."""
    line = lessons[place.lesson].lines[place.line]
    if place.index == 0:
        return 2 * (line.first_number - 1) + (line.start.turn == "black")
    ply = line.plies[place.index - 1]
    return 2 * (ply.number - 1) + (2 if ply.mover == "black" else 1)


def _weight(lessons: Mapping[str, Lesson], meeting: Meeting) -> tuple[int, int, tuple[Place, ...]]:
    spread = len({place.lesson for place in meeting.places})
    depth = max(_plies_before(lessons, place) for place in meeting.places)
    return (-spread, -depth, meeting.places)
