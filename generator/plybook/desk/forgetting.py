"""The command `forget`: where a name stands, so that it can be taken out, and never comes back."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import click

from plybook.desk.printing import FAULTS
from plybook.desk.withheld import add_withheld, course_with_id, withheld_file
from plybook.desk.work import find_course
from plybook.diagnostics import Report, Span, UsageError, shown
from plybook.files import read_regular, write_whole
from plybook.text.consent import CONSENT_FILE, Consent, Person, consent_of, read_consent
from plybook.text.people import People, name_forms

__all__ = ["forget"]

_PAPER: Final = "paper"  # where `sheet` writes, beside the course
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
    ident = course_with_id(folder).file.ident
    path = folder / CONSENT_FILE
    faults = Report()
    consent = read_consent(path, report=faults)
    entries = consent.entries_of(name)
    wanted = People([name, *(f"={one.shown}" for one in entries)], wants_capitals=True)
    new = add_withheld(ident, [name])
    is_ended = not faults.errors
    for fault in faults.sorted():
        click.echo(f"{CONSENT_FILE}:{fault.span.line}: {fault.message}", err=True)
    if faults.errors:
        click.echo(f"{CONSENT_FILE} has faults: end the consent there by hand", err=True)
    elif entries:
        is_ended = _end_consent(path, consent, entries)
    skipped: list[str] = []
    places = list(_all_places(folder, wanted, skipped))
    for place in places:
        where = f"{place.file}:{place.line}:{place.column}" if place.line else place.file
        click.echo(f"{where}: {place.row}")
    click.echo(f"{'withheld from now on' if new else 'withheld already'}: {withheld_file(ident)}")
    if skipped:
        click.echo(f"not searched, look yourself: {', '.join(skipped)}")
    if not places:
        click.echo("The name stands nowhere in what was searched.")
        return 0 if is_ended else FAULTS
    click.echo(_RECALL)
    _tell_remedy(name, withheld_file(ident))
    return FAULTS


def _tell_remedy(name: str, path: Path) -> None:
    if len(name_forms(name)) > len(name_forms(name, is_whole_only=True)):
        click.echo(
            "Where a part of it is an everyday word, look for the whole name only: in\n"
            f"{path}\nwrite `={name}` in place of `{name}`."
        )


def _all_places(folder: Path, wanted: People, skipped: list[str]) -> Iterator[_Place]:
    """Yield the places in the course and in the papers beside it; note what was not searched."""
    yield from _places(folder, wanted, skipped)
    paper = folder.resolve().parent / _PAPER
    if paper.is_dir():
        yield from _places(paper, wanted, skipped, before=f"../{_PAPER}/")


def _places(
    folder: Path, wanted: People, skipped: list[str], *, before: str = ""
) -> Iterator[_Place]:
    """Yield where a name stands in the files of a folder and in their names, in order.

    `before` stands before the files' names. What holds no text goes to `skipped`.
    """
    for place, folders, names in os.walk(folder):
        hidden = [one for one in folders if one.startswith(".")]
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        skipped += [
            f"{before}{(Path(place) / one).relative_to(folder).as_posix()}/"
            for one in sorted(hidden)
        ]
        for name in sorted(names):
            path = Path(place) / name
            file = before + path.relative_to(folder).as_posix()
            if wanted.are_in(file):
                yield _Place(file, 0, 0, "the name of the file: rename it")
            if path.suffix.lower() in _NO_TEXT:
                skipped.append(file)
            else:
                yield from _places_in(path, file, wanted, skipped)


def _places_in(path: Path, file: str, wanted: People, skipped: list[str]) -> Iterator[_Place]:
    try:
        content = read_regular(path, most=_MOST + 1)
    except OSError as error:
        click.echo(f"{file}: cannot be read: {(error.strerror or '').lower()}", err=True)
        skipped.append(file)
        return
    if len(content) > _MOST:  # the rest of it would go unseen
        skipped.append(file)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    for found in wanted.find(text):  # whole: a name may go on in the next line
        start = text.rfind("\n", 0, found.start) + 1
        row = text[start:].split("\n", 1)[0]
        number = text.count("\n", 0, start) + 1
        yield _Place(file, number, found.start - start + 1, shown(row.strip(), limit=90))


def _end_consent(path: Path, consent: Consent, entries: Sequence[Person]) -> bool:
    """Take entries out of the consent file and return whether that was done.

    Every other line stays as it is. What would be left is read again first: unless that is all
    others, unchanged, nothing is written, and the lines to edit are named.
    """
    left = _without(consent.text, entries)
    report = Report()
    after = consent_of(left, file=path.name, report=report)
    others = [_unplaced(one) for one in consent.people if one not in entries]
    if (
        len(report)
        or [_unplaced(one) for one in after.people] != others
        or after.public != consent.public
    ):
        for entry in entries:
            click.echo(f"{CONSENT_FILE}:{entry.span.line}: take this entry out by hand", err=True)
        return False
    try:
        write_whole(path, left.encode())
    except OSError as error:
        raise UsageError(f"cannot write {path}: {(error.strerror or '').lower()}") from error
    click.echo(f"{CONSENT_FILE}: entries taken out: {len(entries)}")
    return True


def _unplaced(person: Person) -> Person:
    return replace(person, span=Span.of_file(CONSENT_FILE))


def _without(text: str, entries: Sequence[Person]) -> str:
    """Return the text of a consent file without the rows of some entries."""
    rows = text.split("\n")
    gone: set[int] = set()
    for entry in entries:
        at = entry.span.line - 1
        depth = len(rows[at]) - len(rows[at].lstrip())
        gone.add(at)
        for number in range(at + 1, len(rows)):
            if rows[number].strip() and not rows[number].startswith(" " * (depth + 1)):
                break
            gone.add(number)
    kept = "\n".join(row for number, row in enumerate(rows) if number not in gone)
    return kept.rstrip("\n") + "\n"
