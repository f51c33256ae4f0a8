"""Evidence by the move that shows it, while lessons change one by one."""

from __future__ import annotations

from collections.abc import Mapping

from plybook.course.model import Evidence

__all__ = ["EvidenceIndex", "Keyed", "Step"]

#: The positions before and after a move: the same move wherever it stands.
Step = tuple[bytes, bytes]
Keyed = tuple[Step, Evidence]
_OfLesson = Mapping[str, tuple[Keyed, ...]]  # by principle


class EvidenceIndex:
    """Where the evidence of the lessons stands, by the position after its move.

    It follows one state of a course at a time: who asks says which.
    """

    def __init__(self) -> None:
        self._state: Mapping[str, _OfLesson] = {}
        self._order: dict[str, int] = {}
        self._at: dict[bytes, dict[str, list[Keyed]]] = {}

    def at(self, step: Step, state: Mapping[str, _OfLesson]) -> tuple[Evidence, ...]:
        """Return what a move shows, as it stands in the lists of `state`, by lesson in order.

        Of equal positions with the same verb only the first counts, as in those lists.
        """
        if state is not self._state:
            self._follow(state)
        here = self._at.get(step[1], {})
        seen = set()
        found: dict[str, list[Evidence]] = {}
        for slug in sorted(here, key=self._order.__getitem__):
            for own, one in here[slug]:
                if (one.principle, one.verb) not in seen:
                    seen.add((one.principle, one.verb))
                    if own == step:
                        found.setdefault(one.principle, []).append(one)
        rules = next(iter(state.values()), {})
        return tuple(one for principle in rules for one in found.get(principle, ()))

    def _follow(self, state: Mapping[str, _OfLesson]) -> None:
        for slug, before in self._state.items():
            if state.get(slug) is not before:
                for keyed in before.values():
                    for (_, key), _ in keyed:
                        self._at[key].pop(slug, None)
        for slug, after in state.items():
            if self._state.get(slug) is not after:
                for keyed in after.values():
                    for step, one in keyed:
                        self._at.setdefault(step[1], {}).setdefault(slug, []).append((step, one))
        self._state = state
        self._order = {slug: at for at, slug in enumerate(state)}
