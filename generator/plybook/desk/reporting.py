"""How `check` reports: for people, as JSON, and in the forms that other programs read."""

from __future__ import annotations

import os
from pathlib import PurePath

import click

from plybook.desk.printing import show_all, show_opinions, summary
from plybook.desk.work import Work

__all__ = ["print_report"]


def print_report(work: Work, *, form: str) -> None:
    """Print what was found in the form wished for: text, json, sarif or github."""
    match form:
        case "json":
            from plybook.desk.as_json import as_json

            click.echo(as_json(work.report, work.course), nl=False)
        case "sarif":
            from plybook.desk.as_sarif import as_sarif

            click.echo(as_sarif(work.report, folder=_way_to(work)), nl=False)
        case "github":
            from plybook.desk.as_sarif import as_annotations

            click.echo(as_annotations(work.report, folder=_way_to(work)), nl=False)
        case _:
            show_all(work)
            show_opinions(work)
            click.echo(summary(work))


def _way_to(work: Work) -> str:
    """Return the way from here to the course, with forward slashes."""
    try:
        way = os.path.relpath(work.folder)
    except ValueError:  # another drive: there is no way from here
        way = str(work.folder)
    return PurePath(way).as_posix()
