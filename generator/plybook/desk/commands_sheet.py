"""The command `sheet`: exercises and cards of lessons on paper."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.options import Folder, heeding_usage

__all__ = ["command"]


@click.command("sheet")
@click.argument("lessons", metavar="[DIR] [LESSON]...", nargs=-1)
@click.option(
    "--course", metavar="DIR", type=Folder(), help="The course; without it, the one here."
)
@click.option(
    "--out",
    metavar="DIR",
    type=Folder(),
    help="Where the files go; without it, the folder `paper` beside the course.",
)
@click.option(
    "--per-page",
    type=click.Choice(["4", "6", "8"]),
    help="Exercises on a page at most; without it, as many as suit their number.",
)
@click.option("--mixed", is_flag=True, help="One sheet from all the lessons, well shuffled.")
@click.option("--key/--no-key", default=True, show_default=True, help="Write the key as well.")
@click.option("--cards", is_flag=True, help="Write the recall cards as well, 8 to a leaf.")
@click.option("--pdf", is_flag=True, help="Write each as PDF too (needs plybook[pdf]).")
@click.option("--theme", metavar="NAME", help="Another look than the one course.yaml names.")
@heeding_usage
def command(
    lessons: tuple[str, ...],
    course: Path | None,
    out: Path | None,
    per_page: str | None,
    mixed: bool,
    key: bool,
    cards: bool,
    pdf: bool,
    theme: str | None,
) -> int:
    """Write the exercises of each LESSON as a sheet for pupils, with a key for the coach.

    LESSON is the name of a lesson's page or of its file; without any, all lessons are taken. DIR is
    the course folder; without it, or --course, the one found upward from here.
    Sheet, key and cards of one run carry the same code, which changes with what they ask.
    """
    from plybook.desk.sheets import write_sheets

    return write_sheets(
        lessons,
        course=course,
        out=out,
        kinds=("sheet", *(("key",) if key else ()), *(("cards",) if cards else ())),
        per_page=int(per_page) if per_page else None,
        is_mixed=mixed,
        has_pdf=pdf,
        theme=theme,
    )
