"""The pages beside the lessons: front, lines and positions, sources and credits."""

from __future__ import annotations

from itertools import islice
from typing import Final

from markupsafe import Markup

from plybook.course.model import Meeting
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.lesson_page import lesson_link, principle_links
from plybook.site.pages.levels import level_html, levels_html
from plybook.site.pages.plate import key_place
from plybook.site.pages.views import (
    IndexView,
    LessonEntryView,
    LineEntryView,
    LinkView,
    MeetingView,
    PartView,
    SourcesView,
    SourceView,
)
from plybook.site.wording.movetext import move_sign
from plybook.site.wording.pgn import COURSE_PGN, has_games
from plybook.site.wording.typography import set_text

__all__ = ["front_page", "lines_page", "sources_page", "sources_view"]

_FIRST_PLIES: Final = 8
#: A page of many hundred boards would be slow, and nobody would look at them.
_MOST_MEETINGS: Final = 60


def front_page(edition: Edition) -> bytes:
    """Return index.html."""
    course = edition.course
    parts = tuple(
        PartView(
            title=part.title,
            lessons=tuple(_lesson_entry(edition, slug) for slug in part.lessons),
        )
        for part in course.parts
        if part.lessons
    )
    has_levels = any(entry.level for part in parts for entry in part.lessons)
    index = IndexView(
        parts=parts,
        levels=levels_html(edition, edition.words()) if has_levels else (),
        principles=tuple(
            LinkView(
                href=f"principles/{principle.slug}.html",
                text=principle.title,
                note=set_text(principle.short, edition.quotes()),
            )
            for principle in course.principles.values()
        ),
    )
    return edition.page(
        "front.html",
        kind="front",
        title=course.file.title,
        root="",
        has_boards=any(entry.board for part in parts for entry in part.lessons),
        index=index,
    )


def _lesson_entry(edition: Edition, slug: str) -> LessonEntryView:
    lesson = edition.course.lessons[slug]
    draft = lesson.draft
    place = key_place(lesson, edition.sheets(lesson))
    words = edition.words(draft.language)
    return LessonEntryView(
        number=lesson.number,
        link=lesson_link(edition, slug, folder="lessons/"),
        subtitle=draft.subtitle or "",
        level=level_html(edition, draft.level, words),
        minutes=draft.minutes or 0,
        teaches=principle_links(
            edition, [item.value for item in draft.teaches], folder="principles/"
        ),
        board=edition.board(place, words, small=True) if place else Markup(),
    )


# ---------------------------------------------------------------- lines and positions


def lines_page(edition: Edition) -> bytes:
    """Return lines.html: every line of the course, and the positions that several share."""
    lines = [
        _line_entry(edition, sheet)
        for lesson in edition.course.lessons.values()
        for sheet in edition.sheets(lesson)
    ]
    meetings = [_meeting(edition, meeting) for meeting in edition.course.meetings[:_MOST_MEETINGS]]
    return edition.page(
        "lines.html",
        kind="lines",
        title=edition.words().titles["lines"],
        root="",
        has_boards=bool(meetings),
        lines=lines,
        pgn_href=COURSE_PGN if has_games(edition.course) else "",
        meetings=meetings,
    )


def _line_entry(edition: Edition, sheet: Sheet) -> LineEntryView:
    main = list(islice(sheet.line.main(), _FIRST_PLIES + 1))
    signs = [
        move_sign(ply, sheet.letters, has_number=at == 0)
        for at, ply in enumerate(main[:_FIRST_PLIES])
    ]
    if len(main) > _FIRST_PLIES:
        signs.append("…")
    return LineEntryView(
        link=LinkView(href=f"lessons/{sheet.lesson}.html#l-{sheet.line.name}", text=sheet.title),
        lesson=lesson_link(edition, sheet.lesson, folder="lessons/"),
        moves=Markup(" ".join(signs)),
        plies=len(sheet.line.plies),
    )


def _meeting(edition: Edition, meeting: Meeting) -> MeetingView:
    words = edition.words()
    first = meeting.places[0]
    return MeetingView(
        board=edition.board(first, words, small=True),
        words=edition.place_words(first, words),
        places=tuple(
            LinkView(href=edition.address(place, root=""), text=edition.title_of(place, words))
            for place in meeting.places
        ),
    )


# ---------------------------------------------------------------- sources


def sources_page(edition: Edition) -> bytes:
    """Return sources.html: where games come from, and whose drawings and letters these are."""
    return edition.page(
        "sources.html",
        kind="sources",
        title=edition.words().titles["sources"],
        root="",
        has_boards=False,
        sources=sources_view(edition),
    )


def sources_view(edition: Edition) -> SourcesView:
    """Return the sources of the course's lines and the credits of its theme."""
    sources = tuple(
        SourceView(
            source=sheet.draft.source,
            link=LinkView(
                href=f"lessons/{sheet.lesson}.html#l-{sheet.line.name}",
                text=edition.course.lessons[sheet.lesson].draft.title,
            ),
        )
        for lesson in edition.course.lessons.values()
        for sheet in edition.sheets(lesson)
        if sheet.draft.source
    )
    said = edition.words()
    owed = tuple(said.term(text, context="credits") for text in edition.theme.credits)
    return SourcesView(sources=sources, credits=owed)
