"""The command `build`: check, make the pages, publish them, say what was done."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.printing import FAULTS, OURS, USAGE, show_all, summary
from plybook.desk.work import CHECK, PUBLISH, InvalidSiteError, Work, find_course, run
from plybook.site.publishing.refusals import (
    AnotherCourse,
    BadNames,
    BadTarget,
    Foreign,
    PublishError,
)

__all__ = ["build_site", "show_invalid"]

_LISTED = 20


def build_site(
    course: Path | None, *, out: Path | None, theme: str | None, is_strict: bool, jobs: int
) -> int:
    """Build the course and return the exit code."""
    folder = find_course(course)
    target = out if out is not None else folder.resolve().parent / "site"
    work = run(CHECK, Work(folder=folder, out=target, theme=theme, jobs=jobs, shows_progress=True))
    show_all(work)  # first, since publication may be refused
    click.echo(summary(work))
    before = frozenset(work.report)
    try:
        work = run(PUBLISH, work, warnings_stop=is_strict)
    except PublishError as refused:
        _show_refusal(refused)
        return _code_of(refused)
    except InvalidSiteError as invalid:
        show_invalid(invalid)
        return OURS
    show_all(work, but=before)
    if work.published is None:
        click.echo("nothing was published; the old site, if there is one, stands", err=True)
        return FAULTS
    for warning in work.published.warnings:
        click.echo(f"plybook: {warning}", err=True)
    pages = sum(name.endswith(".html") for name in work.files)
    what = "as it was" if work.published.is_unchanged else "published"
    click.echo(f"{pages} pages {what}. Open {work.published.out / 'index.html'}")
    return 0


def show_invalid(invalid: InvalidSiteError) -> None:
    """Print what is wrong with the pages that were just made."""
    for problem in invalid.problems[:_LISTED]:
        click.echo(f"{problem.path}: {problem.message}", err=True)
    click.echo(
        "plybook: the pages just made are not sound, so nothing was published. This is a "
        "fault of plybook, not of your course; please report the lines above.",
        err=True,
    )


def _code_of(refused: PublishError) -> int:
    """Return the exit code: a name in the course is at fault, the folder named, or the disk."""
    if isinstance(refused, BadNames):
        return FAULTS
    return USAGE if isinstance(refused, BadTarget | Foreign | AnotherCourse) else OURS


def _show_refusal(refused: PublishError) -> None:
    click.echo(f"plybook: {refused.message}", err=True)
    if isinstance(refused, Foreign):
        for title, names in (("not ours", refused.extra), ("edited", refused.edited)):
            for name in names:
                click.echo(f"  {title}: {name}", err=True)
    click.echo(f"  help: {refused.hint}", err=True)
