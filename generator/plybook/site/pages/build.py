"""The whole site as a mapping from path to bytes: pages, PGN files, assets, images."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import NamedTuple

from plybook.course.model import Course
from plybook.site.pages.edition import Edition
from plybook.site.pages.index_pages import front_page, lines_page, sources_page
from plybook.site.pages.lesson_page import lesson_files
from plybook.site.pages.principle_pages import principle_pages
from plybook.site.pages.recall_pages import recall_files
from plybook.site.pages.room_page import room_files
from plybook.site.pages.search_page import search_files
from plybook.site.pages.theme import Theme
from plybook.site.pictures.images import Image
from plybook.site.wording.pgn import COURSE_PGN, course_pgn
from plybook.text.addresses import target_of
from plybook.text.model import LessonDraft, PrincipleDraft
from plybook.text.walk import proses_of

__all__ = ["Group", "build_lesson_page", "build_pages", "groups_of"]


def build_pages(
    course: Course,
    theme: Theme,
    *,
    images: Mapping[str, Image] | None = None,
    more: Iterable[Group] = (),
) -> dict[str, bytes]:
    """Return every file of the site. `images` are by their path from the course folder.

    `more` are groups from other parts, such as sheets.
    """
    edition = Edition(course, theme, images=images)
    files: dict[str, bytes] = {}
    for group in (*groups_of(course), *more):
        files |= group.make(edition)
    return files


class Group(NamedTuple):
    """Files of the site that are made together.

    `stem` is how their paths begin, "" where nothing is known of them before they are made.
    """

    name: str
    stem: str
    make: Callable[[Edition], Mapping[str, bytes]]


def groups_of(course: Course) -> tuple[Group, ...]:
    """Return everything there is in a site, in the order in which it is made."""
    return (
        Group("front", "index.html", lambda edition: {"index.html": front_page(edition)}),
        *(
            Group(f"lesson {slug}", f"lessons/{slug}.", partial(lesson_files, slug=slug))
            for slug in course.lessons
        ),
        *(
            Group(f"room {slug}", f"room/{slug}.", partial(room_files, slug=slug))
            for slug in course.lessons
        ),
        Group("principles", "principles/", principle_pages),
        Group("lines", "lines.html", lambda edition: {"lines.html": lines_page(edition)}),
        Group("sources", "sources.html", lambda edition: {"sources.html": sources_page(edition)}),
        Group("search", "", search_files),
        Group("recall", "", recall_files),
        Group("pgn", COURSE_PGN, _course_pgn),
        Group("assets", "assets/", lambda edition: edition.assets.files),
        Group("pictures", "images/", _pictures),
    )


def _course_pgn(edition: Edition) -> dict[str, bytes]:
    lines = course_pgn(edition.course)
    return {COURSE_PGN: lines.encode()} if lines else {}


def _pictures(edition: Edition) -> dict[str, bytes]:
    shown = _pictures_shown(edition.course)
    return {path: image.content for path, image in edition.images.items() if path in shown}


def _pictures_shown(course: Course) -> frozenset[str]:
    """Return the pictures that published pages show: a draft's, or nobody's, stay at home."""
    pages: list[LessonDraft | PrincipleDraft] = [
        *(lesson.draft for lesson in course.lessons.values()),
        *course.principles.values(),
    ]
    return frozenset(
        target_of(link.target, file=page.file).path
        for page in pages
        for prose in proses_of(page)
        for link in prose.links
        if link.is_image
    )


def build_lesson_page(
    course: Course, theme: Theme, slug: str, *, images: Mapping[str, Image] | None = None
) -> dict[str, bytes]:
    """Return the page of one lesson and its PGN file, for a build that has all others."""
    return lesson_files(Edition(course, theme, images=images), slug)
