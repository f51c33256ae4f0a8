"""Indexes of the course: where a principle is used, and which positions several lines share."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from plybook.board import START, Line
from plybook.course.model import Lesson, Meeting, Place, PrincipleUse, Tagged
from plybook.diagnostics import Report
from plybook.kept import Kept
from plybook.text.model import Located, PrincipleDraft, TagsDraft

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
    taught = _naming(lessons, lambda lesson: lesson.draft.teaches)
    practised = _naming(lessons, lambda lesson: lesson.draft.practises)
    return {
        slug: PrincipleUse(
            taught=tuple(taught.get(slug, ())),
            practised=tuple(practised.get(slug, ())),
            tagged=tuple(tagged[slug]),
        )
        for slug in principles
    }


def _naming(
    lessons: Mapping[str, Lesson], named: Callable[[Lesson], tuple[Located, ...]]
) -> dict[str, dict[str, None]]:
    """Return the lessons that name a principle, by principle, each once and in order."""
    found: dict[str, dict[str, None]] = {}
    for slug, lesson in lessons.items():
        for one in named(lesson):
            found.setdefault(one.value, {})[slug] = None
    return found


def find_meetings(
    lessons: Mapping[str, Lesson], *, kept: Kept | None = None
) -> tuple[Meeting, ...]:
    """Return the positions that stand in several lines, transpositions among them.

    Where lines run together for a while, only the last common position is kept. Positions that
    every game passes in its first moves are left out. Order: positions of several lessons first,
    then the later ones of a line.
    """
    index = (kept or Kept()).take(
        "meetings", "", (tuple(lessons),), lambda _: _Crossings(), report=Report()
    )
    return index.follow(lessons)


#: The places of a lesson by their position, in the order of its lines.
_PlacesOf = Mapping[bytes, tuple[Place, ...]]


class _Crossings:
    """Where the lines of the same lessons cross, while lessons change one by one.

    Whether and how a position is met depends on the lines that have it and on nothing else: so
    only positions of lessons that have changed are looked at again.
    """

    def __init__(self) -> None:
        self._lines: dict[str, Mapping[str, Line]] = {}  # as they were looked at last
        self._of_lesson: dict[str, _PlacesOf] = {}
        self._lessons_at: dict[bytes, set[str]] = {}
        self._met: dict[bytes, tuple[tuple[int, int, tuple[Place, ...]], Meeting]] = {}

    def follow(self, lessons: Mapping[str, Lesson]) -> tuple[Meeting, ...]:
        """Return the meetings of these lessons; they are always the same ones, by slug."""
        touched: dict[bytes, None] = {}
        for slug, lesson in lessons.items():
            if self._lines.get(slug) is not lesson.lines:
                before = self._of_lesson.get(slug, {})
                after = self._of_lesson[slug] = _places_of(lesson)
                self._lines[slug] = lesson.lines
                for key in before.keys() - after.keys():
                    self._lessons_at[key].discard(slug)
                for key in after:
                    self._lessons_at.setdefault(key, set()).add(slug)
                touched |= dict.fromkeys((*before, *after))
        order = {slug: at for at, slug in enumerate(lessons)}
        for key in touched:
            meeting = self._meeting(key, lessons, order)
            self._met.pop(key, None)
            if meeting is not None:
                self._met[key] = _weight(lessons, meeting), meeting
        return tuple(meeting for _, meeting in sorted(self._met.values(), key=lambda one: one[0]))

    def _places(self, key: bytes, order: Mapping[str, int]) -> tuple[Place, ...]:
        slugs = sorted(self._lessons_at.get(key, ()), key=order.__getitem__)
        return tuple(place for slug in slugs for place in self._of_lesson[slug][key])

    def _meeting(
        self, key: bytes, lessons: Mapping[str, Lesson], order: Mapping[str, int]
    ) -> Meeting | None:
        found = self._places(key, order)
        lines = {(place.lesson, place.line) for place in found}
        if len(lines) < 2 or max(_plies_before(lessons, place) for place in found) < _EARLY:
            return None
        first = found[0]
        line = lessons[first.lesson].lines[first.line]
        for child in line.children(first.index):  # do the same lines share some next position?
            following = self._places(line.key(child), order)
            if lines <= {(place.lesson, place.line) for place in following}:
                return None
        return Meeting(key=key, places=found)


def _places_of(lesson: Lesson) -> _PlacesOf:
    places: dict[bytes, list[Place]] = {}
    for name, line in lesson.lines.items():
        if line.start.is_partial:
            continue
        if line.start.key != START.key:
            places.setdefault(line.start.key, []).append(Place(lesson.slug, name, 0))
        for ply in line.plies:
            places.setdefault(ply.key, []).append(Place(lesson.slug, name, ply.index))
    return {key: tuple(found) for key, found in places.items()}


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
