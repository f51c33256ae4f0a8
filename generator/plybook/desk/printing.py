"""What the commands print, and the codes they leave with."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Any, Final

import click

from plybook.desk.as_json import counts
from plybook.desk.show import show

if TYPE_CHECKING:
    from plybook.desk.work import Work
    from plybook.diagnostics import Diagnostic

__all__ = [
    "FAULTS",
    "OURS",
    "USAGE",
    "counted",
    "headline",
    "print_difference",
    "show_all",
    "show_opinions",
    "summary",
]

FAULTS: Final = 1
USAGE: Final = 2
OURS: Final = 3

_COLOURS: Final[dict[str, dict[str, Any]]] = {
    "error": {"fg": "red", "bold": True},
    "warning": {"fg": "yellow", "bold": True},
    "place": {"bold": True},
    "quiet": {"fg": "blue"},
    "help": {"fg": "cyan"},
}


def show_all(work: Work, *, but: Collection[Diagnostic] = ()) -> None:
    """Print every diagnostic on the error stream, `but` those that were printed before."""
    sources = work.draft.sources if work.draft else {}
    for found in work.report.sorted():
        if found in but:
            continue
        click.echo(show(found, sources, paint=_paint) + "\n", err=True)


def headline(found: Diagnostic) -> str:
    """Return a diagnostic as one line: place, code, fault."""
    return show(found, {}, paint=_paint).partition("\n")[0]


def show_opinions(work: Work) -> None:
    """Print what an engine said of the sentences that the coach believes.

    Opinions on claims that are not settled stand in the notes of their warnings.
    """
    for settled in work.course.verdicts.values() if work.course else ():
        if settled.opinion is not None and settled.verdict.reach.is_good:
            span = settled.claim.span
            click.echo(f"{span.file}:{span.line}: {settled.claim.text}")
            click.echo(f"    {settled.opinion.text}")


def summary(work: Work) -> str:
    """Return one line on what was checked and found."""
    found = counts(work.course)
    amount = f"{counted(found['lessons'], 'lesson')}, {counted(found['lines'], 'line')}"
    faults = [
        counted(number, word)
        for word, number in (("error", work.report.errors), ("warning", work.report.warnings))
        if number
    ]
    outcome = " and ".join(faults) if faults else "nothing to mend"
    return f"{amount}, {found['plies']} plies played: {outcome}"


def print_difference(file: str, before: str, after: str) -> None:
    """Print what changes in a file, as a unified difference."""
    import difflib  # only those who change files wait for it

    rows = difflib.unified_diff(
        before.splitlines(), after.splitlines(), f"a/{file}", f"b/{file}", lineterm=""
    )
    for row in rows:
        colour = {"+": "green", "-": "red", "@": "cyan"}.get(row[:1])
        click.echo(click.style(row, fg=colour) if colour else row)


def counted(number: int, word: str) -> str:
    """Return a number with its word, as in `1 line` and `2 lines`."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def _paint(text: str, role: str) -> str:
    """Return the text in the colours of its role; click drops them where none are wanted."""
    return click.style(text, **_COLOURS[role])
