"""What the commands share: their course argument, common options, and how a wrong use is told."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, Final

import click

from plybook.desk.printing import USAGE
from plybook.diagnostics import UsageError

__all__ = ["COMPLETION", "COURSE", "ENGINE", "JOBS", "Folder", "heeding_usage"]


#: The variable by which a shell asks for completions, whatever name the command was started by.
COMPLETION: Final = "_PLYBOOK_COMPLETE"


def heeding_usage(command: Callable[..., int]) -> Callable[..., int]:
    """Return the command with a UsageError turned into one line and exit code 2."""

    @wraps(command)
    def heeding(*arguments: Any, **options: Any) -> int:
        try:
            return command(*arguments, **options)
        except UsageError as error:
            click.echo(f"{click.style('plybook:', bold=True)} {error}", err=True)
            return USAGE

    return heeding


class Folder(click.Path):
    """The path of a folder. An empty word is none: it comes from a variable that is not set."""

    def __init__(self) -> None:
        super().__init__(path_type=Path, file_okay=False)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == "":
            self.fail("an empty word is no folder; write `.` for this one", param, ctx)
        return super().convert(value, param, ctx)


COURSE = click.argument(
    "course",
    metavar="[DIR]",
    required=False,
    type=Folder(),
)


JOBS = click.option(
    "--jobs",
    metavar="N",
    type=click.IntRange(1, 64),
    default=lambda: os.cpu_count() or 1,
    help="Processes for claims that take long; without it, one a processor.",
)

ENGINE = click.option(
    "--engine",
    metavar="PATH",
    type=click.Path(),
    help="Ask this UCI engine about what cannot be proved; keep its opinions in opinions.json.",
)
