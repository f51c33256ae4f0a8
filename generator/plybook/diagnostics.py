"""What is wrong in a course, as data: spans, diagnostics, and the report that collects them.

Nothing here knows chess, Markdown or a terminal. A room adds a `Diagnostic` to the `Report` it was
given and goes on; how the report looks is the desk's business.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from plybook.codes import CODES

__all__ = ["Diagnostic", "Repair", "Report", "Severity", "Span", "UsageError", "near_miss", "shown"]


class Severity(Enum):
    """How much a diagnostic matters: an error stops publication, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


class Span(NamedTuple):
    """A stretch of one file. Lines and columns are 1-based; the end is excluded.

    Columns count code points; lines end at LF only. `file` is the path from the course folder,
    with forward slashes. A tuple, since every token of every line has one.
    """

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    @classmethod
    def of_file(cls, file: str) -> Span:
        """Return the span that stands for a whole file: its first place."""
        return cls(file, 1, 1, 1, 1)


@dataclass(frozen=True, slots=True)
class Repair:
    """A replacement for the text of a span that was played through before it was offered."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnostic:
    """One fault: what, where, the computed facts (`notes`) and what to do (`help`)."""

    code: str
    severity: Severity
    span: Span
    message: str
    notes: tuple[str, ...] = ()
    help: tuple[str, ...] = ()
    repair: Repair | None = None


class UsageError(Exception):
    """The command or its settings are wrong, not the course (exit code 2)."""


class Report:
    """The diagnostics of one run; it only grows."""

    def __init__(self) -> None:
        self._found: dict[Diagnostic, None] = {}

    def add(
        self,
        code: str,
        span: Span,
        message: str,
        *,
        notes: Iterable[str] = (),
        help: str | Iterable[str] = (),
        repair: Repair | None = None,
    ) -> None:
        """Record a fault. An unknown `code` is our bug and raises KeyError."""
        severity = Severity(CODES[code].severity)
        helps = (help,) if isinstance(help, str) else tuple(help)
        found = Diagnostic(
            code=code,
            severity=severity,
            span=span,
            message=message,
            notes=tuple(notes),
            help=helps,
            repair=repair,
        )
        self._found.setdefault(found)

    def extend(self, diagnostics: Iterable[Diagnostic]) -> None:
        """Take over what another report (a cached lesson, a worker) has found."""
        for found in diagnostics:
            self._found.setdefault(found)

    def sorted(self) -> tuple[Diagnostic, ...]:
        """Return all diagnostics in reading order: by file, line, column, then code."""
        return tuple(sorted(self._found, key=lambda d: (d.span, d.code, d.message)))

    def __iter__(self) -> Iterator[Diagnostic]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)

    @property
    def errors(self) -> int:
        """The number of errors so far."""
        return sum(d.severity is Severity.ERROR for d in self._found)

    @property
    def warnings(self) -> int:
        """The number of warnings so far."""
        return sum(d.severity is Severity.WARNING for d in self._found)


def near_miss(word: str, known: Iterable[str]) -> str | None:
    """Return the known word closest to `word`, or None when none is close."""
    candidates = sorted(set(known))
    folded = {candidate.casefold(): candidate for candidate in reversed(candidates)}
    found = difflib.get_close_matches(word.casefold(), folded, n=1, cutoff=0.6)
    return folded[found[0]] if found else None


def shown(text: str, *, limit: int = 40) -> str:
    """Return `text` safe to print in a message: one line, no control or invisible character."""
    pieces = []
    for character in text[:limit]:
        if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}:
            pieces.append(f"<U+{ord(character):04X}>")
        else:
            pieces.append(character)
    return "".join(pieces) + ("…" if len(text) > limit else "")
