"""The course folder: course.yaml, lessons, principles, the lock, images."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Final, Protocol, TypeVar

from plybook.diagnostics import Report, Span, UsageError, shown
from plybook.kept import Kept
from plybook.litter import LITTER
from plybook.text.fields import CourseFields
from plybook.text.heads import Head, read_fields, read_yaml
from plybook.text.lesson import read_lesson, read_principle
from plybook.text.model import (
    CourseDraft,
    CourseFile,
    Located,
    PartDraft,
)
from plybook.text.notation import letter_set
from plybook.text.source import excerpt_of_file, read_text, signature

__all__ = ["COURSE_FILE", "LOCK_FILE", "read_course_folder"]

D = TypeVar("D", covariant=True)

COURSE_FILE: Final = "course.yaml"
LOCK_FILE: Final = "positions.lock"
_LESSON_LIMIT: Final = 512 * 1024
_COURSE_LIMIT: Final = 64 * 1024
_LOCK_LIMIT: Final = 16 * 1024 * 1024
_NAME = re.compile(r"(?:([0-9]{1,4})-)?([a-z0-9](?:[a-z0-9-]{0,79}))\.md")
_PAGE_LIKE = re.compile(r".*\.(?:md|markdown|mdown|txt)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Page:
    """A Markdown file of the course."""

    path: str
    file: str
    number: int
    slug: str


def read_course_folder(folder: Path, *, report: Report, kept: Kept | None = None) -> CourseDraft:
    """Return everything in a course folder; what is at fault is left out and reported.

    A page of which nothing has changed is taken up from `kept`, as the same object. Raises
    UsageError when the folder is no course.
    """
    kept = kept or Kept()
    if not os.path.lexists(folder / COURSE_FILE):
        raise UsageError(f"no {COURSE_FILE} in {folder}")
    sources: dict[str, str] = {}
    course = _read_course_file(folder, sources, report)
    pages = _pages(folder, "lessons", report)
    lessons = tuple(_drafted(read_lesson, pages or (), sources, kept, report))
    rules = _pages(folder, "principles", report) or ()
    principles = tuple(_drafted(read_principle, rules, sources, kept, report))
    _forget_others(kept, (*(pages or ()), *rules))
    if pages == ():
        report.add(
            "empty-course",
            Span.of_file(COURSE_FILE),
            "the course has no lesson",
            help="put the first one into lessons/01-NAME.md",
        )
    return CourseDraft(
        file=kept.same("course", course),
        lessons=lessons,
        principles=principles,
        lock=_read_lock(folder, sources, report),
        images=_images(folder, report),
        sources=sources,
    )


class _ReadPage(Protocol[D]):
    """Reads the text of a page, None where there was none to be had."""

    def __call__(self, text: str | None, /, *, slug: str, file: str, report: Report) -> D: ...


def _drafted(
    read: _ReadPage[D], pages: Iterable[_Page], sources: dict[str, str], kept: Kept, report: Report
) -> Iterator[D]:
    """Yield the pages as drafts, and put their texts among the sources."""
    for page in pages:
        text = kept.take(
            "text", page.file, (signature(page.path),), partial(_text_of, page), report=report
        )
        if text is not None:
            sources[page.file] = text
        yield kept.take(
            "draft",
            page.file,
            (text, page.slug),
            partial(_draft_of, read, text, page),
            report=report,
        )


def _text_of(page: _Page, report: Report) -> str | None:
    return read_text(Path(page.path), file=page.file, limit=_LESSON_LIMIT, report=report)


def _draft_of(read: _ReadPage[D], text: str | None, page: _Page, report: Report) -> D:
    return read(text, slug=page.slug, file=page.file, report=report)


def _forget_others(kept: Kept, pages: Iterable[_Page]) -> None:
    files = {page.file for page in pages}
    for kind in ("text", "draft"):
        kept.only(kind, files)


def _read_lock(folder: Path, sources: dict[str, str], report: Report) -> str | None:
    path = folder / LOCK_FILE
    if not os.path.lexists(path):
        return None
    text = read_text(path, file=LOCK_FILE, limit=_LOCK_LIMIT, report=report)
    if text is not None:
        sources[LOCK_FILE] = text
    return text


def _pages(folder: Path, kind: str, report: Report) -> tuple[_Page, ...] | None:
    """Return the Markdown files of a sub-folder in order: by leading number, then by name.

    None for a folder that cannot be read, which is reported.
    """
    place = folder / kind
    names = _listed(place, file=kind, report=report)
    if names is None:
        return None
    pages: dict[str, _Page] = {}
    for name in names:
        if name.startswith((".", "_")) or not _PAGE_LIKE.match(name):
            continue
        file = f"{kind}/{name}"
        found = _NAME.fullmatch(name)
        if not found:
            report.add(
                "bad-file-name",
                Span.of_file(file),
                f"`{shown(name)}` cannot be the address of a page",
                help="small letters, digits and hyphens, ending in .md: `01-the-centre.md`",
            )
            continue
        page = _Page(os.path.join(place, name), file, int(found[1] or 0), found[2])
        if page.slug in pages:
            report.add(
                "duplicate-slug",
                Span.of_file(file),
                f"`{page.slug}` is also the address of `{pages[page.slug].file}`",
                help="give one of the two files another name behind its number",
            )
            continue
        pages[page.slug] = page
    return tuple(sorted(pages.values(), key=lambda page: (page.number, page.file)))


def _images(folder: Path, report: Report) -> tuple[str, ...]:
    names = _listed(folder / "images", file="images", report=report)
    return tuple(f"images/{name}" for name in names or () if name[0] != "." and name not in LITTER)


def _listed(place: Path, *, file: str, report: Report) -> list[str] | None:
    """Return the names in a folder, sorted, or None after a report: a link, or shut to us.

    Nothing outside the course is read, so a link is not followed. A folder may be missing.
    """
    try:
        if os.path.islink(place):
            reason = "it is a link"
        else:
            return sorted(os.listdir(place))
    except FileNotFoundError:
        return []
    except OSError as error:
        reason = error.strerror or "no reason given"
    report.add(
        "unreadable-file",
        Span.of_file(file),
        f"cannot read `{file}`: {reason}",
        help="put the folder itself here, readable for you",
    )
    return None


# ---------------------------------------------------------------------- course.yaml


def _read_course_file(folder: Path, sources: dict[str, str], report: Report) -> CourseFile:
    text = read_text(folder / COURSE_FILE, file=COURSE_FILE, limit=_COURSE_LIMIT, report=report)
    head = None
    if text is not None:
        sources[COURSE_FILE] = text
        head = read_yaml(excerpt_of_file(COURSE_FILE, text), report=report)
    fields, is_whole = read_fields(head, CourseFields, report=report)
    place = Span.of_file(COURSE_FILE)
    is_rising = _is_rising(fields.recall, head, report)
    return CourseFile(
        title=fields.title,
        ident=fields.id or _ident(fields.title),
        club=fields.club,
        author=fields.author,
        language=fields.language,
        letters=letter_set(
            fields.letters,
            span=head.at("letters") if head else place,
            report=report,
        )
        or "figurine",
        levels=tuple(fields.levels),
        parts=_parts(head, fields) if head else (),
        recall=tuple(sorted(set(fields.recall))),
        paper=tuple(dict.fromkeys(fields.paper)),
        theme=fields.theme,
        site_url=fields.site_url,
        licence=fields.licence,
        contact=fields.contact,
        span=head.at("theme") if head else place,
        is_whole=is_whole and is_rising,
    )


def _is_rising(weeks: tuple[int, ...], head: Head | None, report: Report) -> bool:
    """Report the first week of `recall` that is no later than the one before it."""
    for at, (before, week) in enumerate(pairwise(weeks), start=1):
        if head is not None and week <= before:
            rising = ", ".join(map(str, sorted(set(weeks))))
            report.add(
                "bad-value",
                head.at("recall", at),
                f"the weeks of `recall` must rise: {week} stands after {before}",
                help=f"write `recall: [{rising}]`",
            )
            return False
    return True


def _parts(head: Head, fields: CourseFields) -> tuple[PartDraft, ...]:
    return tuple(
        PartDraft(
            title=part.title,
            lessons=tuple(
                Located(value=slug, span=head.at("parts", at, "lessons", position))
                for position, slug in enumerate(part.lessons)
            ),
        )
        for at, part in enumerate(fields.parts)
    )


def _ident(title: str) -> str:
    """Return a course id made from its title; the same title gives the same id."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    return "-".join(words)[:80].strip("-") or "course"
