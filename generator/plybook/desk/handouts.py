"""The command `pack`: check, make the pages, write the course as one file, say what was done."""

from __future__ import annotations

import errno
import os
import re
import zipfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Final

import click

from plybook.course import Course
from plybook.desk.moment import epoch_of
from plybook.desk.printing import FAULTS, OURS, USAGE, show_all, summary
from plybook.desk.publishing import show_invalid
from plybook.desk.work import (
    CHECK,
    InvalidSiteError,
    Stage,
    Work,
    draw_pages,
    find_course,
    look_for_leaks,
    run,
    validate_pages,
)
from plybook.diagnostics import UsageError, near_miss, shown
from plybook.files import read_regular, write_whole
from plybook.site.wording.pgn import course_pgn

__all__ = ["Handout", "mark", "put", "put_all", "write_handout"]

#: What a hand-out is made after: all that a build does before it publishes.
_MAKE: Final = (
    Stage(draw_pages, needs_clean=True),
    Stage(validate_pages, needs_clean=True),
    Stage(look_for_leaks, needs_clean=True),
)
_ENDINGS: Final = {"page": "html", "epub": "epub", "zip": "zip", "pgn": "pgn"}


def write_handout(
    form: str,
    course: Path | None,
    *,
    lesson: str | None,
    out: Path | None,
    theme: str | None,
    is_strict: bool,
    jobs: int,
    is_folder: bool = False,
) -> int:
    """Write the course in one of the forms and return the exit code.

    `out` is a file, or a folder that is there; with `is_folder`, a folder that may be made.
    """
    if lesson is not None and form != "page":
        raise UsageError("`--lesson` goes with `page`: the other forms hold the whole course")
    folder = find_course(course)
    work = run(CHECK, Work(folder=folder, theme=theme, jobs=jobs))
    show_all(work)
    click.echo(summary(work))
    before = frozenset(work.report)
    try:
        work = run(_MAKE, work, warnings_stop=is_strict)
    except InvalidSiteError as invalid:
        show_invalid(invalid)
        return OURS
    show_all(work, but=before)
    if work.report.errors or not work.files or work.course is None:
        click.echo("nothing was written", err=True)
        return FAULTS
    _check_lesson(work, lesson)
    name = f"{lesson or work.course.file.ident}.{_ENDINGS[form]}"
    target = out or folder.resolve().parent
    if out is None or is_folder or out.is_dir():
        target /= name
    content = _content(form, work, lesson)
    if is_folder:
        with suppress(OSError):  # what cannot be made is told when the file is written
            target.parent.mkdir(exist_ok=True)
    return put(target, content, is_ours=mark(form, work.course))


def _check_lesson(work: Work, lesson: str | None) -> None:
    known = work.course.lessons if work.course else {}
    if lesson is not None and lesson not in known:
        near = near_miss(lesson, known)
        hint = f"did you mean `{near}`?" if near else f"lessons: {', '.join(known)}"
        raise UsageError(f"there is no lesson `{shown(lesson)}`; {hint}")


def _content(form: str, work: Work, lesson: str | None) -> bytes:
    """Return the hand-out. The site's parts are loaded for the form that needs them."""
    assert work.course is not None
    if form == "pgn":
        return course_pgn(work.course).encode()
    if form == "zip":
        from plybook.site.handouts.archive import site_zip

        return site_zip(work.files, course=work.course.file.ident)
    if form == "epub":
        from plybook.site.handouts.epub import epub
        from plybook.site.pages.theme import load_theme

        theme = load_theme(work.theme or work.course.file.theme)
        return epub(work.course, theme, images=work.images, epoch=epoch_of(os.environ))
    from plybook.site.handouts.single_file import course_page, lesson_page

    if lesson is None:
        return course_page(work.course, work.files)
    return lesson_page(work.course, work.files, lesson)


# ---------------------------------------------------------------------- writing


@dataclass(frozen=True, slots=True, kw_only=True)
class Handout:
    """A file to be written. `is_ours` knows an earlier one of the same form and course."""

    target: Path
    content: bytes
    is_ours: Callable[[bytes], bool]


def put(target: Path, content: bytes, *, is_ours: Callable[[bytes], bool]) -> int:
    """Write one file as `put_all` does and return the exit code."""
    return put_all([Handout(target=target, content=content, is_ours=is_ours)])


def put_all(handouts: Sequence[Handout]) -> int:
    """Write the files, each whole or not at all, say so, and return the exit code.

    What stands there already is replaced only if it is an earlier hand-out of the same form and
    course; anything else is somebody's own file, and then none of the files is written.
    """
    target = Path()
    try:
        earlier: list[bytes | None] = []
        for one in handouts:
            target = one.target
            before = _content_of(target)
            if before not in {None, one.content} and not one.is_ours(before or b""):
                click.echo(
                    f"plybook: {target} is no earlier file of this kind from plybook, so it stays\n"
                    "  help: move it away, or name another place with --out",
                    err=True,
                )
                return USAGE
            earlier.append(before)
        for one, before in zip(handouts, earlier, strict=True):
            target = one.target
            if before == one.content:
                click.echo(f"{target}: as it was")
                continue
            write_whole(target, one.content)
            click.echo(f"{target}: written, {_size(len(one.content))}")
    except OSError as error:
        reason = os.strerror(error.errno).lower() if error.errno else str(error)
        click.echo(f"plybook: cannot write {target}: {reason}", err=True)
        is_place = error.errno in {errno.ENOENT, errno.ENOTDIR, errno.EISDIR, errno.EINVAL}
        return USAGE if is_place else OURS
    return 0


def _content_of(target: Path) -> bytes | None:
    """Return what stands there, None where nothing does."""
    with suppress(FileNotFoundError):
        return read_regular(target)
    return None


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(count // 1000, 1)} kB"


# ---------------------------------------------------------------------- what is ours


def mark(form: str, course: Course) -> Callable[[bytes], bool]:
    """Return how an earlier hand-out of this form and course is known again.

    Forms are those of `pack`, and `paper` and `pdf` for a sheet, its key and its cards.
    """
    ident = course.file.ident
    if form == "page":
        start = f'<!doctype html>\n<html [^>]*data-course="{re.escape(ident)}"'.encode()
        return lambda before: bool(re.match(start, before)) and _GENERATOR in before
    if form == "paper":
        begin = f'<!doctype html>\n<html [^>]*data-paper="{re.escape(ident)}"'.encode()
        return lambda before: bool(re.match(begin, before)) and _GENERATOR in before
    if form == "pdf":
        from plybook.site.paper.pdf import is_paper_of

        return lambda before: is_paper_of(ident, before)
    if form == "zip":
        named_there = f'"course": "{ident}"'.encode()
        return lambda before: named_there in _member(before, f"{ident}/site-manifest.json")
    if form == "epub":
        from plybook.site.handouts.epub import book_ident

        named = book_ident(course).encode()
        return lambda before: named in _member(before, "EPUB/package.opf")
    games = course_pgn(course).partition("\n[Course ")[2].partition("\n")[0].encode()
    return lambda before: b"\n[Course " + games + b"\n" in before


def _member(content: bytes, name: str) -> bytes:
    """Return a file of an archive of ours; nothing where it is another's or no archive at all."""
    unreadable = (zipfile.BadZipFile, NotImplementedError, RuntimeError, KeyError)
    with suppress(*unreadable), zipfile.ZipFile(BytesIO(content)) as archive:
        entry = archive.getinfo(name)
        if entry.compress_type == zipfile.ZIP_STORED:  # as all of ours: nothing can swell
            return archive.read(entry)
    return b""


_GENERATOR: Final = b'<meta name="generator" content="plybook '
