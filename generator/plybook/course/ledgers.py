"""The ledgers of the course's lines, each made when it is first asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from plybook.board import Ply
from plybook.board.ledger import LeadIn, Ledger, ledger_of
from plybook.course.model import Lesson, Place
from plybook.text.model import MovesDraft, Reference

__all__ = ["Ledgers"]


class Ledgers(Mapping[tuple[str, str], Ledger]):
    """The ledgers of all lines of some lessons, by lesson slug and line name, in course order.

    A ledger costs more than playing its line, and `check` asks for few of them: so each is made
    once, when it is asked for. A line that starts inside another one is led in by that game.
    """

    def __init__(self, lessons: Iterable[Lesson]) -> None:
        self._lessons = {lesson.slug: lesson for lesson in lessons}
        self._starts = {
            (lesson.slug, block.name): block.start
            for lesson in self._lessons.values()
            for block in lesson.draft.blocks
            if isinstance(block, MovesDraft) and isinstance(block.start, Reference)
        }
        self._names = {
            (lesson.slug, name): None for lesson in self._lessons.values() for name in lesson.lines
        }
        self._made: dict[tuple[str, str], Ledger] = {}

    def published(self) -> Ledgers:
        """Return the ledgers of the lessons that are no drafts; what is made is shared."""
        only = Ledgers(lesson for lesson in self._lessons.values() if not lesson.draft.is_draft)
        only._made = self._made
        return only

    def __getitem__(self, key: tuple[str, str]) -> Ledger:
        if key not in self._names:
            raise KeyError(key)
        if key not in self._made:
            line = self._lessons[key[0]].lines[key[1]]
            self._made[key] = ledger_of(line, lead_in=self._lead_in(key))
        return self._made[key]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def _lead_in(self, key: tuple[str, str]) -> LeadIn | None:
        """Return the moves from the first start of a game to the start of a line, or None."""
        plies: list[Ply] = []
        first: Place | None = None
        while (place := self._start_of(key)) is not None:
            line = self._lessons[place.lesson].lines[place.line]
            plies[:0] = [line.plies[index - 1] for index in line.path(place.index)]
            first, key = place, (place.lesson, place.line)
        if first is None:
            return None
        start = self._lessons[first.lesson].lines[first.line].start
        return LeadIn(start=start, plies=tuple(plies))

    def _start_of(self, key: tuple[str, str]) -> Place | None:
        reference = self._starts.get(key)
        return None if reference is None else self._lessons[key[0]].targets.get(reference)
