"""The ledgers of the course's lines, each made when it is first asked for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import partial

from plybook.board import Line, ledger
from plybook.course.model import Lesson, Place
from plybook.diagnostics import Report
from plybook.kept import Kept
from plybook.text.model import MovesDraft, Reference

__all__ = ["Ledgers"]


class Ledgers(Mapping[tuple[str, str], ledger.Ledger]):
    """The ledgers of all lines of some lessons, by lesson slug and line name, in course order.

    A ledger costs more than playing its line, and `check` asks for few of them: so each is made
    once, when it is asked for. A line that starts inside another one is led in by that game.
    """

    def __init__(self, lessons: Iterable[Lesson], *, kept: Kept | None = None) -> None:
        self.lessons = {lesson.slug: lesson for lesson in lessons}
        self._kept = kept or Kept()
        self._made: dict[tuple[str, str], ledger.Ledger] = {}
        self._kept.only("starts", self.lessons)
        self._kept.only("ledger", self)

    def of(self, slugs: Collection[str]) -> Ledgers:
        """Return the ledgers of some lessons alone; what is made is shared."""
        only = Ledgers(lesson for slug, lesson in self.lessons.items() if slug in slugs)
        only._kept, only._made = self._kept, self._made
        return only

    def __getitem__(self, key: tuple[str, str]) -> ledger.Ledger:
        if key not in self._made:
            slug, name = key
            line = self.lessons[slug].lines[name]
            way = self._way(key)
            self._made[key] = self._kept.take(
                "ledger",
                key,
                (line, *(part for step in way for part in step)),
                lambda _: ledger.ledger_of(line, lead_in=_lead_in(way)),
                report=Report(),
            )
        return self._made[key]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return ((slug, name) for slug, lesson in self.lessons.items() for name in lesson.lines)

    def __len__(self) -> int:
        return sum(len(lesson.lines) for lesson in self.lessons.values())

    def line(self, place: Place) -> Line:
        """Return the line a place stands in."""
        return self.lessons[place.lesson].lines[place.line]

    def entry(self, place: Place) -> ledger.Entry | None:
        """Return the ledger's entry of a place; a partial board has none."""
        entries = self[place.lesson, place.line].entries
        return entries[place.index] if entries else None

    def before(self, place: Place) -> Iterator[Place]:
        """Yield the places after each earlier move of the game, the last one first."""
        line = self.line(place)
        index = line.plies[place.index - 1].parent if place.index else 0
        while True:
            while index:
                yield Place(place.lesson, place.line, index)
                index = line.plies[index - 1].parent
            start = self._start_of((place.lesson, place.line))
            if start is None:
                return
            place, index = start, start.index
            line = self.line(place)

    def lessons_before(self, slug: str) -> tuple[Lesson, ...]:
        """Return a lesson, and after it those its lines start from, by way of others too."""
        found = {slug: self.lessons[slug]}
        for name in found[slug].lines if self._starts_of(slug) else ():
            key: tuple[str, str] = (slug, name)
            while (start := self._start_of(key)) is not None:
                key = start.lesson, start.line
                found[start.lesson] = self.lessons[start.lesson]
        return tuple(found.values())

    def _way(self, key: tuple[str, str]) -> tuple[tuple[Line, int], ...]:
        """Return the places a line starts from, each in its line, the nearest first."""
        way = []
        while (start := self._start_of(key)) is not None:
            way.append((self.line(start), start.index))
            key = start.lesson, start.line
        return tuple(way)

    def _start_of(self, key: tuple[str, str]) -> Place | None:
        slug, name = key
        reference = self._starts_of(slug).get(name)
        return None if reference is None else self.lessons[slug].targets.get(reference)

    def _starts_of(self, slug: str) -> Mapping[str, Reference]:
        lesson = self.lessons[slug]
        return self._kept.take("starts", slug, (lesson,), partial(_starts, lesson), report=Report())


def _starts(lesson: Lesson, _: Report) -> Mapping[str, Reference]:
    """Return where the lines of a lesson start that start from another line."""
    return {
        block.name: block.start
        for block in lesson.draft.blocks
        if isinstance(block, MovesDraft) and isinstance(block.start, Reference)
    }


def _lead_in(way: tuple[tuple[Line, int], ...]) -> ledger.LeadIn | None:
    """Return the moves from the first start of a game to the start of a line, or None."""
    if not way:
        return None
    plies = [line.plies[at - 1] for line, index in reversed(way) for at in line.path(index)]
    return ledger.LeadIn(start=way[-1][0].start, plies=tuple(plies))
