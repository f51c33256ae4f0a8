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
from plybook.site.pages.policy import POLICY
from plybook.site.pages.theme import Theme, handout_text
from plybook.site.paper.chosen import Bundle
from plybook.site.paper.drawings import cut_marks, side_mark, stars
from plybook.site.paper.layout import best_per_page, card_pages, sheet_pages
from plybook.site.paper.views import PaperView
from plybook.site.paper.writing import Writer
from plybook.site.wording.languages import is_right_to_left

__all__ = ["Kind", "Paper", "linked_style", "make_papers"]

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
    edition: Edition,
    bundle: Bundle,
    kinds: tuple[Kind, ...],
    *,
    per_page: int | None = None,
    stylesheet: str = "",
) -> tuple[Paper, ...]:
    """Return the papers of these kinds; what there is nothing for is left out.

    `per_page` is how many exercises a page may hold, None for as many as suit their number.
    `stylesheet` is the address of a style sheet beside them; without one they hold their own.
    """
    maker = _Maker(edition, bundle, stylesheet)
    makers = {
        "sheet": lambda: maker.sheet(per_page),
        "key": maker.key,
        "cards": maker.cards,
    }
    there = {"sheet": bundle.exercises, "key": bundle.exercises, "cards": bundle.cards}
    return tuple(
        Paper(name=f"{bundle.name}-{kind}", kind=kind, html=makers[kind]())
        for kind in kinds
        if there[kind]
    )


class _Maker:
    """Makes the documents of one bundle."""

    def __init__(self, edition: Edition, bundle: Bundle, stylesheet: str) -> None:
        self._edition = edition
        self._bundle = bundle
        self._stylesheet = stylesheet
        self._writer = Writer(edition, bundle)

    def sheet(self, wanted: int | None) -> str:
        lengths = [len(one.draft.task) for one in self._bundle.exercises]
        per_page = best_per_page(lengths, wanted)
        pages = sheet_pages(self._writer.tasks(), per_page=per_page)
        return self._document("sheet", page_count=len(pages), pages=pages, per_page=per_page)

    def key(self) -> str:
        return self._document("key", page_count=0, keys=self._writer.keys())

    def cards(self) -> str:
        pages = card_pages(self._writer.fronts(), self._writer.backs())
        return self._document("cards", page_count=len(pages), pages=pages, cuts=cut_marks())

    def _document(self, kind: Kind, *, page_count: int, **views: Any) -> str:
        lesson, language = self._bundle.lesson, self._writer.language
        tag = language or self._edition.course.file.language
        style = "" if self._stylesheet else "".join(_style(self._edition.theme))
        view = PaperView(
            kind=kind,
            title=lesson.draft.title if lesson else self._writer.words.say("Mixed practice"),
            subtitle=(lesson.draft.subtitle or "") if lesson else "",
            code=self._bundle.code,
            language=tag,
            is_right_to_left=is_right_to_left(tag),
            pages=page_count,
            policy=POLICY if self._stylesheet else _policy(style),
            style=Markup(style),
            stylesheet=self._stylesheet,
            generator=f"plybook {__version__}",
        )
        return self._edition.document(
            f"paper/{kind}.html",
            language=language,
            paper=view,
            stars=stars,
            side_mark=side_mark,
            **views,
        )


def linked_style(style: str) -> str:
    """Return the style sheet for papers of a site, from the site's own `style`."""
    return "".join(f"{row}\n" for row in style.splitlines() if row.startswith(_TAKEN)) + (
        handout_text("paper.css")
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
