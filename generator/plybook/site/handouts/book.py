"""The chapters of an e-book in order, their links and ids as the book has them."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import unquote

from markupsafe import Markup

from plybook.course.model import Course
from plybook.site.handouts.boards import Boards
from plybook.site.handouts.book_lesson import BookLesson
from plybook.site.handouts.book_views import ContentsView, NavPartView, RuleView
from plybook.site.handouts.markup import Attributes, as_xhtml, with_tags
from plybook.site.pages.edition import Edition
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.index_pages import sources_view
from plybook.site.pages.theme import Theme
from plybook.site.pages.views import LinkView
from plybook.site.pictures.images import Image
from plybook.site.wording.languages import is_right_to_left
from plybook.site.wording.prose import render_prose
from plybook.site.wording.typography import set_text

__all__ = ["Book", "Chapter", "read_book"]

#: Which way text runs in a chapter that is written from right to left, by class: moves never turn
#: round. A book's style sheet may not say so.
_WAYS: Final = {
    **dict.fromkeys(("mv", "side", "mt", "m", "m s"), "ltr"),
    **dict.fromkeys(("c", "note"), "auto"),
}
_EXTERNAL: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]*:")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """A page of the book: its path in the package, and the XML of its body."""

    path: str
    title: str
    language: str
    kind: str  # cover, contents, lesson, rules, rule, sources
    body: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The chapters in reading order, the boards and the coach's pictures by path."""

    chapters: tuple[Chapter, ...]
    boards: Mapping[str, bytes]
    images: Mapping[str, bytes]


def read_book(course: Course, theme: Theme, *, images: Mapping[str, Image]) -> Book:
    """Return the course as a book."""
    binder = _Binder(Edition(course, theme, images=images), Boards(theme))
    chapters = tuple(binder.chapters())
    return Book(
        chapters=chapters,
        boards=binder.boards.files,
        images={path: images[path].content for path in sorted(binder.pictures)},
    )


class _Binder:
    """Writes the chapters, then ties them together: where a link leads is known at the end."""

    def __init__(self, edition: Edition, boards: Boards) -> None:
        self._edition = edition
        self._course = edition.course
        self.boards = boards
        self.pictures: set[str] = set()
        #: The id of a board by its page and the fragment of its position.
        self._stands: dict[tuple[str, str], str] = {}

    def chapters(self) -> Iterator[Chapter]:
        """Yield the chapters in reading order."""
        language = self._course.file.language
        lessons = {}
        for slug, lesson in self._course.lessons.items():
            writer = BookLesson(self._edition, lesson, self.boards)
            lessons[slug] = writer.html()
            path = f"lessons/{slug}.html"
            self._stands |= {(path, at): ident for at, ident in writer.stands.items()}
        titles = self._edition.words().titles
        title = self._course.file.title
        yield self._chapter("cover.html", title, language, "cover", None)
        yield self._chapter(
            "contents.html",
            self._edition.words().say("Contents"),
            language,
            "contents",
            self._contents(),
        )
        for slug, html in lessons.items():
            draft = self._course.lessons[slug].draft
            yield self._bound(
                f"lessons/{slug}.html", draft.title, draft.language or language, "lesson", html
            )
        if self._course.principles:
            rules = [self._rule(slug, has_body=False) for slug in self._course.principles]
            yield self._chapter(
                "principles/index.html", titles["principles"], language, "principles", rules
            )
        for slug, principle in self._course.principles.items():
            yield self._chapter(
                f"principles/{slug}.html",
                principle.title,
                language,
                "principle",
                self._rule(slug, has_body=True),
            )
        yield self._chapter(
            "sources.html", titles["sources"], language, "sources", sources_view(self._edition)
        )

    def _contents(self) -> ContentsView:
        lessons = self._course.lessons
        titles = self._edition.words().titles
        others = [LinkView(href="sources.html", text=titles["sources"])]
        if self._course.principles:
            others.insert(0, LinkView(href="principles/index.html", text=titles["principles"]))
        return ContentsView(
            parts=tuple(
                NavPartView(
                    title=part.title,
                    links=tuple(
                        LinkView(href=f"lessons/{slug}.html", text=lessons[slug].draft.title)
                        for slug in part.lessons
                    ),
                )
                for part in self._course.parts
                if part.lessons
            ),
            others=tuple(others),
        )

    def _rule(self, slug: str, *, has_body: bool) -> RuleView:
        principle = self._course.principles[slug]
        text = Hypertext(self._edition, file=principle.file, root="../")
        body = render_prose(principle.prose, text.setting(_no_block)) if has_body else Markup()
        return RuleView(
            link=LinkView(href=f"{slug}.html", text=principle.title),
            short=set_text(principle.short, text.quotes),
            body=body,
        )

    # ---------------------------------------------------------------- binding

    def _chapter(self, path: str, title: str, language: str, kind: str, view: Any) -> Chapter:
        html = self._edition.document("book.html", part=kind, v=view).strip()
        return self._bound(path, title, language, kind, html)

    def _bound(self, path: str, title: str, language: str, kind: str, html: str) -> Chapter:
        def change(tag: str, values: Attributes) -> Attributes:
            return directed(self._tag(path, tag, values))

        def directed(changed: Attributes) -> Attributes:
            way = _WAYS.get(changed.get("class") or "") if is_right_to_left(language) else None
            return {**changed, "dir": way} if way else changed

        return Chapter(
            path=_book_path(path),
            title=title,
            language=language,
            kind=kind,
            body=as_xhtml(with_tags(html, change)),
        )

    def _tag(self, path: str, tag: str, values: Attributes) -> Attributes:
        changed = dict(values)
        if "@" in (changed.get("id") or ""):
            del changed["id"]  # a move in its line: text, as there is nothing to step through
        source = changed.get("src")
        if source and not source.startswith("../boards/"):
            self.pictures.add(_resolved(path, source))
        href = changed.pop("href", None)
        if href is not None:
            is_move = values.get("id") == href[1:]
            found = None if is_move else self._address(path, href, values.get("class") or "")
            if found is not None:
                changed["href"] = found
        return changed

    def _address(self, path: str, href: str, kind: str) -> str | None:
        """Return where a link leads in the book; a move leads only to a board of its position."""
        if _EXTERNAL.match(href):
            return href
        target, _, fragment = href.partition("#")
        found = _resolved(path, target) if target else path
        if "@" in fragment:
            board = self._stands.get((found, fragment))
            if board is None and kind in {"m", "m s"}:
                return None
            fragment = board or f"l-{fragment.partition('@')[0]}"
        return (_book_path(target) if target else "") + (f"#{fragment}" if fragment else "")


def _book_path(path: str) -> str:
    return path.removesuffix(".html") + ".xhtml"


def _resolved(path: str, value: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(value)))


def _no_block(index: int) -> str:
    """Principles have prose alone: a block in one has been reported, and nothing shows it."""
    return ""
