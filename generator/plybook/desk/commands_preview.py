"""The command `preview`."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.options import COURSE, JOBS, heeding_usage

__all__ = ["command"]


@click.command("preview")
@COURSE
@click.option(
    "--port",
    metavar="N",
    type=click.IntRange(0, 65535),
    default=8470,
    show_default=True,
    help="The port of this machine that the browser asks; 0 takes any that is free.",
)
@click.option("--theme", metavar="NAME", help="Another look than the one course.yaml names.")
@JOBS
@heeding_usage
def command(course: Path | None, port: int, theme: str | None, jobs: int) -> int:
    """Show the course in DIR in a browser on this machine, anew whenever a file is saved.

    Drafts and the notes of `coach` blocks are shown here and nowhere else. Ctrl-C ends it.
    """
    from plybook.desk.preview.serving import serve_course

    return serve_course(course, port=port, theme=theme, jobs=jobs)
