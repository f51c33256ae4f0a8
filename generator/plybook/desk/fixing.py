"""What `check --fix` does: repairs that were played through are shown, then written."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

import click

from plybook.desk.printing import counted, print_difference
from plybook.desk.work import Work, hang_together, read
from plybook.diagnostics import Repair, UsageError
from plybook.files import read_regular, write_whole
from plybook.kept import Kept
from plybook.text import COURSE_FILE, LOCK_FILE

__all__ = ["fix_course"]

_ROUNDS: Final = 200  # a repaired move lets the rest of its line speak: one fault a round at worst
_BOM: Final = "\ufeff"


def fix_course(folder: Path, *, is_agreed: bool) -> bool:
    """Repair what can be repaired without a choice; return whether the files were written.

    The difference is printed first. It is written when `is_agreed`, or when the coach says so at
    a terminal. Everything is tried on a copy, so that no repair is written that leads to a worse
    fault; each file is written whole.
    """
    with tempfile.TemporaryDirectory(prefix="plybook-") as place:
        copy = Path(place)
        before = _copy_texts(folder, copy)
        repaired = _repair(copy)
        after = {file: _read(copy / file) for file in before}
    changed = {file: after[file] for file in before if after[file] != before[file]}
    if not changed:
        click.echo("nothing here can be repaired without a choice of yours", err=True)
        return False
    for file, text in changed.items():
        print_difference(file, before[file], text)
    amount = f"{counted(repaired, 'repair')} in {counted(len(changed), 'file')}"
    if not is_agreed and not _agrees(amount):
        click.echo(f"{amount} shown, nothing written; `--fix --yes` writes them", err=True)
        return False
    _write(folder, before, changed)
    click.echo(f"{amount} written", err=True)
    return True


def _write(folder: Path, before: Mapping[str, str], changed: Mapping[str, str]) -> None:
    """Write the repaired files, unless one of them was saved anew while the coach was asked."""
    for file in changed:
        if _text_of(folder / file) != before[file]:
            raise UsageError(f"{folder / file} has changed meanwhile; nothing was written")
    done: list[str] = []
    for file, text in changed.items():
        try:
            write_whole(folder / file, text.encode("utf-8"))
        except OSError as error:
            written = f"; written so far: {', '.join(done)}" if done else "; nothing was written"
            raise UsageError(f"cannot write {folder / file}: {error.strerror}{written}") from error
        done.append(file)


def _text_of(path: Path) -> str | None:
    try:
        return read_regular(path).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def _agrees(amount: str) -> bool:
    """Return whether the coach wants the changes. Where nobody can be asked, nobody does."""
    return (
        sys.stdin.isatty() and sys.stderr.isatty() and click.confirm(f"Write {amount}?", err=True)
    )


def _copy_texts(folder: Path, copy: Path) -> dict[str, str]:
    """Copy what is read of a course, without its pictures; return the texts that can be read."""
    texts: dict[str, str] = {}
    for path in _texts(folder):
        file = path.relative_to(folder).as_posix()
        target = copy / file
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            content = read_regular(path)
            target.write_bytes(content)
            texts[file] = content.decode("utf-8")
        except (OSError, UnicodeDecodeError):
            continue  # `check` names the file and the reason
    for name in (COURSE_FILE, LOCK_FILE):
        if (folder / name).is_file():
            shutil.copyfile(folder / name, copy / name)
    return texts


def _texts(folder: Path) -> Iterator[Path]:
    for part in ("lessons", "principles"):
        yield from sorted((folder / part).glob("*.md"))


def _read(path: Path) -> str:
    return path.read_bytes().decode("utf-8")


def _repair(copy: Path) -> int:
    """Repair a course until nothing more can be repaired; return how many repairs were made."""
    done = 0
    kept = Kept()  # a round makes anew only what the one before it has repaired
    for _ in range(_ROUNDS):
        work = hang_together(read(Work(folder=copy, checks_lock=False, kept=kept)))
        by_file: dict[str, list[Repair]] = {}
        for found in work.report.sorted():
            if found.repair is not None:
                by_file.setdefault(found.repair.span.file, []).append(found.repair)
        made = sum(_apply(copy / file, repairs) for file, repairs in sorted(by_file.items()))
        if not made:
            break
        done += made
    return done


def _apply(path: Path, repairs: list[Repair]) -> int:
    """Write the repairs of one file; of two that touch the same text the first one counts."""
    text = _read(path)
    mark = _BOM if text.startswith(_BOM) else ""
    rows = text.removeprefix(mark).split("\n")
    chosen: list[Repair] = []
    for repair in sorted(repairs, key=lambda one: one.span):
        last = chosen[-1].span if chosen else None
        if last and (last.end_line, last.end_column) > (repair.span.line, repair.span.column):
            continue
        if repair.span.line == repair.span.end_line:  # a move or a number never spans two lines
            chosen.append(repair)
    for repair in reversed(chosen):
        span = repair.span
        row = rows[span.line - 1]
        rows[span.line - 1] = row[: span.column - 1] + repair.text + row[span.end_column - 1 :]
    path.write_bytes((mark + "\n".join(rows)).encode("utf-8"))
    return len(chosen)
