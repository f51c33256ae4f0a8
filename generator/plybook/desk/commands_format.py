"""The command `format`: movetext laid out in one way, and nothing else touched."""

from __future__ import annotations

from pathlib import Path

import click

from plybook.desk.options import COURSE, heeding_usage
from plybook.desk.printing import FAULTS, counted, print_difference
from plybook.diagnostics import UsageError

__all__ = ["command"]


@click.command("format")
@COURSE
@click.option("--look", is_flag=True, help="Write nothing; show what would change (exit code 1).")
@heeding_usage
def command(course: Path | None, look: bool) -> int:
    """Lay out the moves of every lesson in DIR in one way: spaces, numbers, line ends.

    Moves, remarks and everything outside `moves` blocks stay as they are; a block with a fault is
    left alone.
    """
    from plybook.desk.work import find_course

    folder = find_course(course)
    changed = 0
    for path in sorted((folder / "lessons").glob("*.md")):
        changed += _format(path, f"lessons/{path.name}", is_look=look)
    said = "would change" if look else "laid out"
    click.echo(f"{counted(changed, 'file')} {said}", err=True)
    return FAULTS if look and changed else 0


def _format(path: Path, file: str, *, is_look: bool) -> bool:
    """Lay out one lesson, or show how; return whether it changes.

    A file that cannot be read is left to `check`, which names it and the reason.
    """
    from plybook.files import read_regular, write_whole
    from plybook.text.layout import lay_out_lesson

    try:
        before = read_regular(path).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return False
    text = before.removeprefix("\ufeff").replace("\r\n", "\n")
    after = lay_out_lesson(text, file=file)
    if after == text:
        return False
    if is_look:
        print_difference(file, text, after)
        return True
    if "\r\n" in before:
        if before.count("\n") != before.count("\r\n"):
            click.echo(f"{file}: left alone, its lines end in two ways", err=True)
            return False
        after = after.replace("\n", "\r\n")
    mark = "\ufeff" if before.startswith("\ufeff") else ""
    try:
        write_whole(path, (mark + after).encode("utf-8"))
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror}") from error
    click.echo(file)
    return True
