"""`plybook forget`: its arguments. The work is loaded when it is asked for."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.options import COURSE, heeding_usage

__all__ = ["command"]


@click.command("forget")
@click.argument("name")
@COURSE
@heeding_usage
def command(name: str, course: Path | None) -> int:
    """List where NAME stands in the course in DIR, end its consent, and withhold it from now on.

    Lessons are not changed: what to write instead is for you to say. Exit code 1 while a place is
    left.
    """
    from plybook.desk.forgetting import forget

    return forget(name, course)
