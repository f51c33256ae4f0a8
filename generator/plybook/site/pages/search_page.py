"""The search page and its data: words by section, and every line for moves and positions."""

from __future__ import annotations

from typing import Any, Final

from markupsafe import Markup

from plybook.board import START
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.stock import data_script
from plybook.site.wording.records import records_of
from plybook.site.wording.stepper import json_for_script
from plybook.site.wording.words import Words
from plybook.text.model import LessonDraft, PrincipleDraft
from plybook.text.notation import LANGUAGES

__all__ = ["search_files"]

_PARTS: Final = ("minisearch", "search")


def search_files(edition: Edition) -> dict[str, bytes]:
    """Return search.html and the script that holds what it looks in."""
    path, data = data_script("search-data", "window.plybook.searchData = ", _data(edition))
    words = edition.words()
    page = edition.page(
        "search.html",
        kind="search",
        title=words.say("Search"),
        root="",
        has_boards=False,
        parts=_PARTS,
        data=(path,),
        words=Markup(json_for_script(_said(words))),
    )
    return {"search.html": page, path: data}


def _data(edition: Edition) -> dict[str, Any]:
    course = edition.course
    pages: list[tuple[LessonDraft | PrincipleDraft, str]] = [
        *((one.draft, f"lessons/{slug}.html") for slug, one in course.lessons.items()),
        *((one, f"principles/{slug}.html") for slug, one in course.principles.items()),
    ]
    return {
        "pages": [[path, page.title] for page, path in pages],
        "records": [
            [at, record.fragment, record.heading, record.text]
            for at, (page, _) in enumerate(pages)
            for record in records_of(page)
        ],
        "lines": [
            _line(edition, sheet, at)
            for at, lesson in enumerate(course.lessons.values())
            for sheet in edition.sheets(lesson)
            if not sheet.line.start.is_partial
        ],
        "letters": _letters(edition),
    }


def _line(edition: Edition, sheet: Sheet, page: int) -> list[Any]:
    """Return a line: its page, name, title, start (0: that of the game), moves and their SAN."""
    line = sheet.line
    start: Any = 0
    if line.start.key != START.key:
        start = [line.start.placement, line.start.turn[0], line.first_number]
    sans = " ".join(ply.san for ply in line.plies)
    return [page, line.name, sheet.title, start, sheet.moves, sans]


def _letters(edition: Edition) -> str:
    """Return the letters for N B R Q K in the course's language, "" where they are English."""
    letters = edition.letters()
    known = {name.lower(): five[1:] for name, five in LANGUAGES.items()}
    return "" if letters in {"figurine", "english"} else known.get(letters, "")


def _said(words: Words) -> dict[str, str]:
    """Return the words that the script puts together."""
    say = words.say
    return {
        "none": say("Nothing found. Try fewer or shorter words."),
        "more": say("and more; a longer search finds fewer"),
        "after": words.after,
        "start": words.start,
        "line_of": words.line_of,
        "other_way": say("by another order of moves"),
        "bad_fen": say("This looks like a position, but it has not eight ranks of eight squares."),
        "found": say("Found: {count}", count="{count}"),
    }
