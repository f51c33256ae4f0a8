"""The course as an e-book: EPUB 3, a chapter a lesson, the boards as pictures.

The paths of its pages are those of the site, so that links need no new way: `lessons/forks.xhtml`
for `lessons/forks.html`. EPUB 3.3 (W3C Recommendation) says what stands in a package.
"""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final
from urllib.parse import quote
from xml.etree import ElementTree

from markupsafe import escape

from plybook import __version__
from plybook.course.model import Course
from plybook.site.handouts.archive import archive
from plybook.site.handouts.book import Book, Chapter, read_book
from plybook.site.pages.theme import Theme, handout_text
from plybook.site.pictures.images import Image
from plybook.site.wording.languages import is_right_to_left, words_for

__all__ = ["book_ident", "epub"]

#: The date of a book whose lessons name none.
_NO_DATE: Final = "2000-01-01T00:00:00Z"
_CONTAINER: Final = """<?xml version="1.0" encoding="utf-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
<rootfiles><rootfile full-path="EPUB/package.opf" media-type="application/oebps-package+xml"/>\
</rootfiles>
</container>
"""
_PAGE: Final = """<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE html>
<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" \
lang="{language}" xml:lang="{language}" dir="{direction}">
<head>
<meta charset="utf-8"/>
<title>{title}</title>
<link rel="stylesheet" href="{root}book.css"/>
</head>
<body class="{kind}">
{body}
</body>
</html>
"""
_FACE: Final = re.compile(r'@font-face\{[^}]*?url\("(figurines[^"]*\.woff2)"\)[^}]*\}')
_FAMILY: Final = re.compile(r"font-family:([^;]+);")
_MEDIA: Final = {
    "xhtml": "application/xhtml+xml",
    "css": "text/css",
    "svg": "image/svg+xml",
    "woff2": "font/woff2",
    "txt": "text/plain",
}


@dataclass(frozen=True, slots=True)
class _Item:
    """A file of the package as its manifest lists it."""

    ident: str
    path: str
    media: str
    properties: str = ""


def epub(
    course: Course, theme: Theme, *, images: Mapping[str, Image], epoch: int | None = None
) -> bytes:
    """Return the book. `epoch` is its date in seconds since 1970; else the lessons say it.

    The same course gives the same bytes.
    """
    book = read_book(course, theme, images=images)
    pages = {chapter.path: _page(chapter) for chapter in book.chapters}
    fonts, style = _style(theme)
    files = {**pages, "book.css": style.encode(), **fonts, **book.boards, **book.images}
    items = _items(files, images)
    package = _package(course, book, items, modified=_modified(course, epoch))
    return archive(
        [
            ("mimetype", b"application/epub+zip"),
            ("META-INF/container.xml", _CONTAINER.encode()),
            ("EPUB/package.opf", package.encode()),
            *((f"EPUB/{path}", files[path]) for path in sorted(files)),
        ]
    )


def book_ident(course: Course) -> str:
    """Return the identifier of the book, the same for every edition of the course."""
    return f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_URL, f'plybook:{course.file.ident}')}"


def _page(chapter: Chapter) -> bytes:
    text = _PAGE.format(
        language=escape(chapter.language),
        direction="rtl" if is_right_to_left(chapter.language) else "ltr",
        title=escape(chapter.title),
        root="../" * chapter.path.count("/"),
        kind=chapter.kind,
        body=chapter.body,
    )
    ElementTree.fromstring(text)  # what is not well formed would be refused by every reader
    return text.encode()


def _style(theme: Theme) -> tuple[dict[str, bytes], str]:
    """Return the figurine font of a theme, where it has one, and the book's style sheet."""
    face = _FACE.search(theme.stylesheet)
    style = handout_text("book.css")
    if face is None:
        return {}, style
    family = _FAMILY.search(face[0])
    assert family is not None
    own = face[0].replace(face[1], f"fonts/{face[1]}")
    fonts = {f"fonts/{name}": content for name, content in theme.fonts if name == face[1]}
    return fonts, f"{own}\n{style}i{{font-family:{family[1]};font-style:normal}}\n"


# ---------------------------------------------------------------------- the package


def _items(files: Iterable[str], images: Mapping[str, Image]) -> list[_Item]:
    """Return the manifest: everything in the package but itself, in the order of paths."""
    found = []
    for number, path in enumerate(sorted(files), start=1):
        image = images.get(path)
        media = f"image/{image.kind}" if image else _MEDIA[path.rpartition(".")[2]]
        found.append(_Item(f"i{number}", path, media, "nav" if path == "contents.xhtml" else ""))
    return found


def _modified(course: Course, epoch: int | None) -> str:
    if epoch is not None:
        return datetime.fromtimestamp(epoch, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    changed = [one.draft.changed for one in course.lessons.values() if one.draft.changed]
    return f"{max(changed)}T00:00:00Z" if changed else _NO_DATE


def _package(course: Course, book: Book, items: Iterable[_Item], *, modified: str) -> str:
    file = course.file
    language = escape(file.language)
    direction = "rtl" if is_right_to_left(file.language) else "ltr"
    said = (
        ("dc:creator", file.author),
        ("dc:publisher", file.club),
        ("dc:rights", file.licence),
    )
    metadata = [
        f'<dc:identifier id="id">{book_ident(course)}</dc:identifier>',
        f"<dc:title>{escape(file.title)}</dc:title>",
        f"<dc:language>{language}</dc:language>",
        *(f"<{name}>{escape(value)}</{name}>" for name, value in said if value),
        f'<meta property="dcterms:modified">{modified}</meta>',
        *(
            f'<meta property="schema:{name}">{escape(value)}</meta>'
            for name, value in _accessibility(file.language)
        ),
        f'<meta name="generator" content="plybook {__version__}"/>',
    ]
    listed = list(items)
    idents = {item.path: item.ident for item in listed}
    manifest = [
        f'<item id="{item.ident}" href="{escape(quote(item.path))}" media-type="{item.media}"'
        + (f' properties="{item.properties}"' if item.properties else "")
        + "/>"
        for item in listed
    ]
    spine = [f'<itemref idref="{idents[chapter.path]}"/>' for chapter in book.chapters]
    return "\n".join(
        (
            '<?xml version="1.0" encoding="utf-8"?>',
            '<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="id" '
            f'xml:lang="{language}">',
            '<metadata xmlns:dc="http://purl.org/dc/elements/1.1/">',
            *metadata,
            "</metadata>\n<manifest>",
            *manifest,
            f'</manifest>\n<spine page-progression-direction="{direction}">',
            *spine,
            "</spine>\n</package>\n",
        )
    )


def _accessibility(language: str) -> Iterable[tuple[str, str]]:
    """Yield what a reader who does not see the boards wants to know (EPUB Accessibility 1.1).

    No conformance is claimed: that is for somebody who has examined this very book.
    """
    words = words_for(language)
    yield "accessMode", "textual"
    yield "accessMode", "visual"
    yield "accessModeSufficient", "textual"
    yield "accessModeSufficient", "textual,visual"
    for feature in (
        "alternativeText",
        "displayTransformability",
        "readingOrder",
        "structuralNavigation",
        "tableOfContents",
    ):
        yield "accessibilityFeature", feature
    yield "accessibilityHazard", "none"
    yield (
        "accessibilitySummary",
        words.say(
            "Every board is a picture with a text that names each man and its square, who is to "
            "move, and the marks. Moves stand as text."
        ),
    )
