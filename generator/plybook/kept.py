"""What was made before from the same things, for the next run over the same course to take up.

A run without such a store makes everything; one with it makes what has changed, by the same
functions in the same order, and comes to the same end.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from plybook.diagnostics import Diagnostic, Report

__all__ = ["Ask", "Kept"]

T = TypeVar("T")
#: Returns what a name stands for in this run. What a value was made from is what it asked for.
Ask = Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class _Cell:
    """A value with what it was made from and what was found while it was made."""

    inputs: tuple[Any, ...]
    value: Any
    found: tuple[Diagnostic, ...]


class Kept:
    """Values by kind and key, each with the things it was made from."""

    def __init__(self) -> None:
        self._cells: dict[str, dict[Hashable, _Cell]] = {}

    def take(
        self,
        kind: str,
        key: Hashable,
        inputs: tuple[Any, ...],
        make: Callable[[Report], T],
        *,
        report: Report,
        holds: Callable[[Diagnostic], bool] | None = None,
    ) -> T:
        """Return what `make` gives, or what it gave from the same inputs; the report gets the same.

        A value is not kept when `holds` is False for something that was reported with it, because
        that speaks of more than the inputs.
        """
        cells = self._cells.setdefault(kind, {})
        cell = cells.get(key)
        if cell is None or cell.inputs != inputs:  # what is the same object is not compared
            cell = _made(inputs, make)
            _keep(cells, key, cell, holds)
        if cell.found:
            report.extend(cell.found)
        return cast(T, cell.value)

    def trace(
        self,
        kind: str,
        key: Hashable,
        ask: Ask,
        make: Callable[[Report, Ask], T],
        *,
        report: Report,
        holds: Callable[[Diagnostic], bool] | None = None,
    ) -> T:
        """Return what `make` gives, or gave when all it asked for was answered as it is now."""
        cells = self._cells.setdefault(kind, {})
        cell = cells.get(key)
        if cell is None or not _is_answered_alike(cell.inputs, ask):
            asked: dict[Hashable, Any] = {}

            def note(name: Hashable) -> Any:
                if name not in asked:
                    asked[name] = ask(name)
                return asked[name]

            made = _made((), lambda found: make(found, note))
            cell = _Cell(tuple(asked.items()), made.value, made.found)
            _keep(cells, key, cell, holds)
        if cell.found:
            report.extend(cell.found)
        return cast(T, cell.value)

    def has(self, kind: str, key: Hashable, inputs: tuple[Any, ...]) -> bool:
        """Return whether a value made from these inputs is kept."""
        cell = self._cells.get(kind, {}).get(key)
        return cell is not None and cell.inputs == inputs

    def same(self, kind: str, value: T) -> T:
        """Return the equal value of an earlier run, or this one, so that it is the same object."""
        cells = self._cells.setdefault("same", {})
        cell = cells.get(kind)
        if cell is None or cell.value != value:
            cell = cells[kind] = _Cell((), value, ())
        return cast(T, cell.value)

    def only(self, kind: str, keys: Collection[Hashable]) -> None:
        """Forget the values of a kind under other keys than these, when there are more than keys.

        A value that is not needed is harmless: what counts is that they do not grow in number.
        """
        cells = self._cells.get(kind, {})
        if len(cells) > len(keys):
            for key in cells.keys() - set(keys):
                del cells[key]


def _made(inputs: tuple[Any, ...], make: Callable[[Report], Any]) -> _Cell:
    found = Report()
    value = make(found)
    return _Cell(inputs, value, tuple(found))


def _keep(
    cells: dict[Hashable, _Cell],
    key: Hashable,
    cell: _Cell,
    holds: Callable[[Diagnostic], bool] | None,
) -> None:
    if holds is None or all(map(holds, cell.found)):
        cells[key] = cell
    else:
        cells.pop(key, None)


def _is_answered_alike(asked: tuple[tuple[Hashable, Any], ...], ask: Ask) -> bool:
    for name, then in asked:
        now = ask(name)
        if now is not then and now != then:
            return False
    return True
