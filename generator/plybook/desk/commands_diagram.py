"""The command `diagram`."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from plybook.desk.options import COURSE, heeding_usage

__all__ = ["command"]


@click.command("diagram")
@click.argument("position", metavar="REF|FEN")
@COURSE
@click.option(
    "--out",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write FILE.svg or FILE.png; without it, the SVG goes to standard output.",
)
@click.option("--view", type=click.Choice(["white", "black"]), help="The side it is seen from.")
@click.option(
    "--size",
    metavar="N",
    type=click.IntRange(64, 4096),
    default=770,
    show_default=True,
    help="Its width in pixels.",
)
@click.option("--theme", metavar="NAME", help="Another look than the one course.yaml names.")
@heeding_usage
def command(
    position: str,
    course: Path | None,
    out: Path | None,
    view: Literal["white", "black"] | None,
    size: int,
    theme: str | None,
) -> int:
    """Draw one position as a picture: of the course in DIR, or of a FEN.

    REF names a position as lessons do, with its lesson: forks/main@4...g6, forks/main@end. Its
    marks are drawn too. A FEN is quoted: "8/8/4k3/8/8/4K3/4P3/8 w - - 0 1".
    """
    from plybook.desk.diagrams import draw_diagram

    return draw_diagram(position, course, out=out, view=view, size=size, theme=theme)
