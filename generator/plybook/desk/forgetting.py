"""The command `forget`: where a name stands, so that it can be taken out, and never comes back."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import click

from plybook.desk.printing import FAULTS
from plybook.desk.withheld import add_withheld, withheld_file
from plybook.desk.work import find_course
from plybook.diagnostics import Report, UsageError, shown
from plybook.files import read_regular, write_whole
from plybook.text import read_course_folder
from plybook.text.consent import CONSENT_FILE, Consent, Person, read_consent
from plybook.text.people import People, name_forms

__all__ = ["forget"]

_MOST: Final = 16 * 1024 * 1024
_NO_TEXT: Final = frozenset({".png", ".jpg", ".jpeg", ".webp", ".woff2", ".pdf", ".zip", ".epub"})
_RECALL: Final = """\
Change these places, then build again: the next build publishes nothing while the name is left.
Copies on memory sticks and paper, in mails and in browsers cannot be called back, and version
control keeps old texts: ask those who have them to delete them."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a name stands. Line and column are 1-based; line 0 is the name of the file itself."""

    file: str
    line: int
    column: int
    row: str


def forget(name: str, course: Path | None) -> int:
    """List the places of a name and return the exit code: 1 while there are any."""
    if not name_forms(name):
        raise UsageError(f"`{shown(name)}` is no name to look for")
    folder = find_course(course)
    ident = read_course_folder(folder, report=Report()).file.ident
    path = folder / CONSENT_FILE
    consent = read_consent(path, report=Report())
    entries = [one for one in consent.people if one.name.casefold() == name.casefold()]
    wanted = People([name, *(f"={one.shown}" for one in entries)], wants_capitals=True)
    new = add_withheld(ident, [name])
    if entries:
        _end_consent(path, consent, entries)
        click.echo(f"{CONSENT_FILE}: entries taken out: {len(entries)}")
    places = list(_places(folder, wanted))
    for place in places:
        where = f"{place.file}:{place.line}:{place.column}" if place.line else place.file
        click.echo(f"{where}: {place.row}")
    click.echo(f"{'withheld from now on' if new else 'withheld already'}: {withheld_file(ident)}")
    if not places:
        click.echo("The name stands nowhere in the course folder.")
        return 0
    click.echo(_RECALL)
    if len(name_forms(name)) > len(name_forms(name, is_whole_only=True)):
        click.echo(
            "Where a part of it is an everyday word, look for the whole name only: in\n"
            f"{withheld_file(ident)}\nwrite `={name}` in place of `{name}`."
        )
    return FAULTS


def _places(folder: Path, wanted: People) -> Iterator[_Place]:
    """Yield where a name stands in the files of a course and in their names, in order."""
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        for name in sorted(names):
            path = Path(place) / name
            file = path.relative_to(folder).as_posix()
            if wanted.are_in(file):
                yield _Place(file, 0, 0, "the name of the file: rename it")
            if path.suffix.lower() not in _NO_TEXT:
                yield from _places_in(path, file, wanted)


def _places_in(path: Path, file: str, wanted: People) -> Iterator[_Place]:
    try:
        content = read_regular(path, most=_MOST)
    except OSError as error:
        click.echo(f"{file}: cannot be read: {(error.strerror or '').lower()}", err=True)
        return
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    for number, row in enumerate(text.split("\n"), start=1):
        for found in wanted.find(row):
            yield _Place(file, number, found.start + 1, shown(row.strip(), limit=90))


def _end_consent(path: Path, consent: Consent, entries: list[Person]) -> None:
    """Take entries out of the consent file; every other line stays as it is."""
    rows = consent.text.split("\n")
    gone: set[int] = set()
    for entry in entries:
        at = entry.span.line - 1
        dash = re.match(r"\s*", rows[at])
        depth = dash.end() if dash else 0
        gone.add(at)
        for number in range(at + 1, len(rows)):
            if rows[number].strip() and not rows[number].startswith(" " * (depth + 1)):
                break
            gone.add(number)
    kept = "\n".join(row for number, row in enumerate(rows) if number not in gone)
    try:
        write_whole(path, (kept.rstrip("\n") + "\n").encode())
    except OSError as error:
        raise UsageError(f"cannot write {path}: {(error.strerror or '').lower()}") from error
