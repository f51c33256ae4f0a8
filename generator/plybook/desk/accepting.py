"""What `check --accept` does: the lines as they stand become the lock."""

from __future__ import annotations

import click

from plybook.course import lock_of
from plybook.desk.printing import counted
from plybook.desk.work import Work
from plybook.diagnostics import UsageError
from plybook.files import write_whole
from plybook.text import LOCK_FILE

__all__ = ["accept_lines"]


def accept_lines(work: Work) -> None:
    """Write positions.lock beside course.yaml, whole or not at all, and say so.

    Raises UsageError when it cannot be written.
    """
    assert work.draft is not None, "the course is read before its lines are accepted"
    path = work.folder / LOCK_FILE
    text = lock_of(work.draft)
    if text == work.draft.lock:
        click.echo(f"{LOCK_FILE} is as it was", err=True)
        return
    try:
        write_whole(path, text.encode("utf-8"))
    except OSError as error:
        raise UsageError(f"cannot write {path}: {error.strerror}") from error
    lines = text.count("\n") - 1  # the first one is the head
    click.echo(f"{LOCK_FILE} holds the positions of {counted(lines, 'line')}", err=True)
