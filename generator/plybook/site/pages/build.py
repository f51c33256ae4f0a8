"""The whole site as a mapping from path to bytes: pages, PGN files, assets, images."""

from __future__ import annotations

from collections.abc import Mapping

from plybook.course.model import Course
from plybook.site.pages.edition import Edition
from plybook.site.pages.index_pages import front_page, lines_page, sources_page
from plybook.site.pages.lesson_page import lesson_files
from plybook.site.pages.principle_pages import principle_pages
from plybook.site.pages.recall_pages import recall_files
from plybook.site.pages.search_page import search_files
from plybook.site.pages.theme import Theme
from plybook.site.pictures.images import Image
from plybook.site.wording.pgn import COURSE_PGN, course_pgn
from plybook.text.addresses import target_of
from plybook.text.model import LessonDraft, PrincipleDraft
from plybook.text.walk import proses_of

__all__ = ["build_lesson_page", "build_pages"]


def build_pages(
    course: Course, theme: Theme, *, images: Mapping[str, Image] | None = None
) -> dict[str, bytes]:
    """Return every file of the site. `images` are by their path from the course folder."""
    edition = Edition(course, theme, images=images)
    files: dict[str, bytes] = {"index.html": front_page(edition)}
    for slug in course.lessons:
        files |= lesson_files(edition, slug)
    files |= principle_pages(edition)
    files["lines.html"] = lines_page(edition)
    files["sources.html"] = sources_page(edition)
    files |= search_files(edition)
    files |= recall_files(edition)
    if lines := course_pgn(course):
        files[COURSE_PGN] = lines.encode()
    files |= edition.assets.files
    shown = _pictures_shown(course)
    files |= {path: image.content for path, image in edition.images.items() if path in shown}
    return files


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
