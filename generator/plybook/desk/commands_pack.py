"""The command `pack`."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.options import COURSE, JOBS, heeding_usage

__all__ = ["command"]


@click.command("pack")
@click.argument("form", type=click.Choice(["page", "epub", "zip", "pgn"]))
@COURSE
@click.option("--lesson", metavar="NAME", help="Only this lesson; for a page.")
@click.option(
    "--out",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="The file, or the folder it goes to; without it, beside the course.",
)
@click.option("--theme", metavar="NAME", help="Another look than the one course.yaml names.")
@click.option("--strict", is_flag=True, help="Write nothing while there are warnings.")
@JOBS
@heeding_usage
def command(
    form: str,
    course: Path | None,
    lesson: str | None,
    out: Path | None,
    theme: str | None,
    strict: bool,
    jobs: int,
) -> int:
    """Check the course in DIR and write it as one file to hand out.

    page: all pages, or one lesson, as one HTML file that a phone can open. epub: an e-book with
    still diagrams. zip: the site as an archive. pgn: every line of the course.
    """
    from plybook.desk.handouts import write_handout

    return write_handout(
        form, course, lesson=lesson, out=out, theme=theme, is_strict=strict, jobs=jobs
    )
