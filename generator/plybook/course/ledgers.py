"""The ledgers of the course's lines, each made when it is first asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from plybook.board import Line, Ply, ledger
from plybook.course.model import Lesson, Place
from plybook.text.model import MovesDraft, Reference

__all__ = ["Ledgers"]


class Ledgers(Mapping[tuple[str, str], ledger.Ledger]):
    """The ledgers of all lines of some lessons, by lesson slug and line name, in course order.

    A ledger costs more than playing its line, and `check` asks for few of them: so each is made
    once, when it is asked for. A line that starts inside another one is led in by that game.
    """

    def __init__(self, lessons: Iterable[Lesson]) -> None:
        self.lessons = {lesson.slug: lesson for lesson in lessons}
        self._starts = {
            (lesson.slug, block.name): block.start
            for lesson in self.lessons.values()
            for block in lesson.draft.blocks
            if isinstance(block, MovesDraft) and isinstance(block.start, Reference)
        }
        self._names = {
            (lesson.slug, name): None for lesson in self.lessons.values() for name in lesson.lines
        }
        self._made: dict[tuple[str, str], ledger.Ledger] = {}

    def published(self) -> Ledgers:
        """Return the ledgers of the lessons that are no drafts; what is made is shared."""
        only = Ledgers(lesson for lesson in self.lessons.values() if not lesson.draft.is_draft)
        only._made = self._made
        return only

    def __getitem__(self, key: tuple[str, str]) -> ledger.Ledger:
        if key not in self._names:
            raise KeyError(key)
        if key not in self._made:
            line = self.lessons[key[0]].lines[key[1]]
            self._made[key] = ledger.ledger_of(line, lead_in=self._lead_in(key))
        return self._made[key]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

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

    def _lead_in(self, key: tuple[str, str]) -> ledger.LeadIn | None:
        """Return the moves from the first start of a game to the start of a line, or None."""
        plies: list[Ply] = []
        first = None
        while (start := self._start_of(key)) is not None:
            first, key = self.line(start), (start.lesson, start.line)
            plies += [first.plies[index - 1] for index in reversed(first.path(start.index))]
        if first is None:
            return None
        return ledger.LeadIn(start=first.start, plies=tuple(reversed(plies)))

    def _start_of(self, key: tuple[str, str]) -> Place | None:
        reference = self._starts.get(key)
        return None if reference is None else self.lessons[key[0]].targets.get(reference)
