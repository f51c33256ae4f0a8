"""Sheets, keys and cards as whole HTML documents that need nothing beside them."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final, Literal

from markupsafe import Markup

from plybook import __version__
from plybook.site.pages.edition import Edition
from plybook.site.pages.theme import Theme, handout_text
from plybook.site.paper.chosen import Bundle
from plybook.site.paper.drawings import cut_marks, side_mark, stars
from plybook.site.paper.layout import best_per_page, card_pages, sheet_pages
from plybook.site.paper.views import PaperView
from plybook.site.paper.writing import Writer

__all__ = ["Kind", "Paper", "make_papers"]

Kind = Literal["sheet", "key", "cards"]

_FONT: Final = re.compile(r'url\("([^"]+)"\)')
#: What a paper takes from the theme's style sheet: its fonts, and its tokens by day.
_TAKEN: Final = ("@font-face{", ":root{color-scheme:light;")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One document. `name` has no ending."""

    name: str
    kind: Kind
    html: str


def make_papers(
    edition: Edition, bundle: Bundle, kinds: tuple[Kind, ...], *, per_page: int | None = None
) -> tuple[Paper, ...]:
    """Return the papers of these kinds; what there is nothing for is left out.

    `per_page` is how many exercises a page may hold, None for as many as suit their number.
    """
    writer = Writer(edition, bundle)
    makers = {
        "sheet": lambda: _sheet(edition, bundle, writer, per_page),
        "key": lambda: _key(edition, bundle, writer),
        "cards": lambda: _cards(edition, bundle, writer),
    }
    there = {"sheet": bundle.exercises, "key": bundle.exercises, "cards": bundle.cards}
    return tuple(
        Paper(name=f"{bundle.name}-{kind}", kind=kind, html=makers[kind]())
        for kind in kinds
        if there[kind]
    )


def _sheet(edition: Edition, bundle: Bundle, writer: Writer, wanted: int | None) -> str:
    lengths = [len(one.draft.task) for one in bundle.exercises]
    per_page = best_per_page(lengths, wanted)
    pages = sheet_pages(writer.tasks(), per_page=per_page)
    return _document(
        edition, bundle, writer, "sheet", page_count=len(pages), pages=pages, per_page=per_page
    )


def _key(edition: Edition, bundle: Bundle, writer: Writer) -> str:
    return _document(edition, bundle, writer, "key", page_count=0, keys=writer.keys())


def _cards(edition: Edition, bundle: Bundle, writer: Writer) -> str:
    pages = card_pages(writer.fronts(), writer.backs())
    return _document(
        edition, bundle, writer, "cards", page_count=len(pages), pages=pages, cuts=cut_marks()
    )


def _document(
    edition: Edition, bundle: Bundle, writer: Writer, kind: Kind, *, page_count: int, **views: Any
) -> str:
    style = "".join(_style(edition.theme))
    view = PaperView(
        kind=kind,
        title=bundle.lesson.draft.title if bundle.lesson else writer.words.say("Mixed practice"),
        subtitle=(bundle.lesson.draft.subtitle or "") if bundle.lesson else "",
        code=bundle.code,
        language=writer.language or edition.course.file.language,
        pages=page_count,
        policy=_policy(style),
        style=Markup(style),
        generator=f"plybook {__version__}",
    )
    return edition.document(
        f"paper/{kind}.html",
        language=writer.language,
        paper=view,
        stars=stars,
        side_mark=side_mark,
        **views,
    )


def _style(theme: Theme) -> Iterator[str]:
    """Yield the rows of a paper's style sheet, the fonts in them."""
    fonts = dict(theme.fonts)

    def held(found: re.Match[str]) -> str:
        return f'url("data:font/woff2;base64,{b64encode(fonts[found[1]]).decode()}")'

    for row in theme.stylesheet.splitlines():
        if row.startswith(_TAKEN):
            yield _FONT.sub(held, row) + "\n"
    yield handout_text("paper.css")


def _policy(style: str) -> str:
    """Return the policy of a document that holds its one style sheet and runs nothing."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; font-src data:; base-uri 'none'; "
        "form-action 'none'"
    )
