"""`plybook import`: its arguments. The work is loaded when it is asked for."""

from __future__ import annotations

import os
from pathlib import Path

import click

from plybook.desk.options import Folder, heeding_usage

__all__ = ["command"]


@click.command("import")
@click.argument("file", metavar="FILE.pgn", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--game", metavar="N", type=click.IntRange(1), help="Begin a lesson with this game.")
@click.option("--position", metavar="FEN", help="List the games that reach this position.")
@click.option("--principle", metavar="NAME", help="List games that break it and are punished.")
@click.option("--punished", is_flag=True, help="The same for all principles of the course.")
@click.option("--course", metavar="DIR", type=Folder(), help="The course; else the one found here.")
@click.option("--lesson", metavar="SLUG", help="The address of the new lesson; else game-N.")
@click.option(
    "--consent",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Who may be named; without it, consent.yaml of the course.",
)
@click.option("--today", metavar="DAY", help="The day on which consent must hold; else today.")
@click.option(
    "--within",
    metavar="K",
    type=click.IntRange(1, 40),
    default=6,
    show_default=True,
    help="Plies between a breach and its punishment.",
)
@click.option(
    "--most",
    metavar="N",
    type=click.IntRange(1),
    default=20,
    show_default=True,
    help="How many candidates to list.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How to tell it.",
)
@click.option(
    "--jobs",
    metavar="N",
    type=click.IntRange(1, 64),
    default=lambda: os.cpu_count() or 1,
    help="Processes that read; without it, one a processor.",
)
@heeding_usage
def command(
    file: Path,
    game: int | None,
    position: str | None,
    principle: str | None,
    punished: bool,
    course: Path | None,
    lesson: str | None,
    consent: Path | None,
    today: str | None,
    within: int,
    most: int,
    form: str,
    jobs: int,
) -> int:
    """List the games of a PGN file that another program wrote, or begin a lesson with one.

    With `-` for the file, games are taken from standard input.

    Each game is read whole or rejected with its reason; whatever is put right is told. Players
    become White and Black unless a consent file allows more: `plybook explain privacy`.
    """
    from plybook.desk.importing.command import Asked, bring_in

    return bring_in(
        Asked(
            file=file,
            game=game,
            position=position,
            principle=principle,
            is_punished=punished,
            course=course,
            lesson=lesson,
            consent=consent,
            today=today,
            within=within,
            most=most,
            is_json=form == "json",
            jobs=jobs,
        )
    )
