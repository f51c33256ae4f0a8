"""The page of a lesson, and its PGN file."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from plybook.course.model import Lesson, Place
from plybook.site.pages.edition import Edition
from plybook.site.pages.exercise_words import script_words
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.lesson_blocks import BlockWriter
from plybook.site.pages.levels import level_html
from plybook.site.pages.plate import plate_view
from plybook.site.pages.views import LessonView, LinkView
from plybook.site.wording.pgn import lesson_pgn
from plybook.site.wording.prose import render_prose
from plybook.site.wording.stepper import json_for_script
from plybook.text.model import CardsDraft, ExerciseDraft, Located

__all__ = ["lesson_files", "lesson_link", "principle_links"]

_ROOT = "../"


def lesson_files(edition: Edition, slug: str) -> dict[str, bytes]:
    """Return a lesson's page and, where it has lines, its PGN file, by path."""
    lesson = edition.course.lessons[slug]
    pgn = lesson_pgn(lesson)
    files = {f"lessons/{slug}.html": _page(edition, lesson, pgn_href=f"{slug}.pgn" if pgn else "")}
    if pgn:
        files[f"lessons/{slug}.pgn"] = pgn.encode()
    return files


def lesson_link(edition: Edition, slug: str, *, folder: str) -> LinkView:
    """Return a link to a lesson; `folder` is the way from the page to lessons/ (may be empty)."""
    draft = edition.course.lessons[slug].draft
    return LinkView(href=f"{folder}{slug}.html", text=draft.title)


def principle_links(edition: Edition, slugs: Iterable[str], *, folder: str) -> tuple[LinkView, ...]:
    """Return links to the principles that are there; `folder` is the way to principles/."""
    principles = edition.course.principles
    return tuple(
        LinkView(href=f"{folder}{slug}.html", text=principles[slug].title)
        for slug in slugs
        if slug in principles
    )


def _page(edition: Edition, lesson: Lesson, *, pgn_href: str) -> bytes:
    draft = lesson.draft
    text = Hypertext(edition, file=draft.file, root=_ROOT, language=draft.language, lesson=lesson)
    blocks = BlockWriter(edition, lesson, text, elsewhere=_elsewhere(edition, lesson, text))
    body = render_prose(draft.prose, text.setting(blocks.write))
    plate = plate_view(edition, lesson, text.words)
    before, after = _neighbours(edition, lesson.slug)
    view = LessonView(
        number=lesson.number,
        slug=lesson.slug,
        title=draft.title,
        subtitle=draft.subtitle or "",
        level=level_html(edition, draft.level, text.words),
        minutes=draft.minutes or 0,
        part=_part_of(edition, lesson.slug),
        changed=draft.changed or "",
        needs=_needed(edition, draft.needs),
        teaches=principle_links(edition, _values(draft.teaches), folder="../principles/"),
        practises=principle_links(edition, _values(draft.practises), folder="../principles/"),
        previous=before,
        next=after,
        body=body,
        plate=plate,
        pgn_href=pgn_href,
        paper=_paper(edition, lesson, text),
        exercise_words=_exercise_words(text) if blocks.has_trials else Markup(),
        signs=tuple((kind, *text.words.known_means[kind]) for kind in sorted(blocks.signs)),
    )
    return edition.page(
        "lesson.html",
        kind="lesson",
        title=draft.title,
        root=_ROOT,
        language=draft.language,
        has_boards=plate is not None or "<svg" in body,
        parts=_parts(lesson, has_trials=blocks.has_trials),
        lesson=view,
    )


def _paper(edition: Edition, lesson: Lesson, text: Hypertext) -> tuple[LinkView, ...]:
    """Return links to the papers of a lesson that the course publishes."""
    kinds = {type(block) for block in lesson.draft.blocks}
    papers = {
        "sheet": (ExerciseDraft in kinds, text.words.say("Sheet")),
        "key": (ExerciseDraft in kinds, text.words.say("Key")),
        "cards": (CardsDraft in kinds, text.words.say("Cards")),
    }
    return tuple(
        LinkView(href=f"{_ROOT}paper/{lesson.slug}-{kind}.html", text=word)
        for kind, (is_there, word) in papers.items()
        if is_there and kind in edition.course.file.paper
    )


def _parts(lesson: Lesson, *, has_trials: bool) -> tuple[str, ...]:
    """Return the further sheets and scripts that a lesson's blocks need."""
    has_cards = any(isinstance(block, CardsDraft) for block in lesson.draft.blocks)
    parts = (("exercises", has_trials), ("cards", has_cards))
    needed = tuple(name for name, is_needed in parts if is_needed)
    return ("progress", *needed) if needed else ()


def _exercise_words(text: Hypertext) -> Markup:
    return Markup(json_for_script(script_words(text.words, letters=text.letters)))


def _values(located: Iterable[Located]) -> tuple[str, ...]:
    return tuple(item.value for item in located)


def _part_of(edition: Edition, slug: str) -> str:
    return next((part.title for part in edition.course.parts if slug in part.lessons), "")


def _needed(edition: Edition, needs: Iterable[Located]) -> tuple[LinkView, ...]:
    lessons = edition.course.lessons
    return tuple(
        lesson_link(edition, slug, folder="") for slug in _values(needs) if slug in lessons
    )


def _neighbours(edition: Edition, slug: str) -> tuple[LinkView | None, LinkView | None]:
    """Return links to the lessons before and after, in the order of the parts."""
    order = [name for part in edition.course.parts for name in part.lessons]
    order = order if slug in order else list(edition.course.lessons)
    at = order.index(slug)
    before = lesson_link(edition, order[at - 1], folder="") if at else None
    after = lesson_link(edition, order[at + 1], folder="") if at + 1 < len(order) else None
    return before, after


def _elsewhere(
    edition: Edition, lesson: Lesson, text: Hypertext
) -> dict[str, tuple[LinkView, ...]]:
    """Return, by line, where its positions stand in other lessons, each other line once.

    Meetings come most telling first, so the first place of another line is the one to name.
    """
    found: dict[str, dict[tuple[str, str], Place]] = {}
    for meeting in edition.meetings_of(lesson.slug):
        for own in meeting.places:
            if own.lesson == lesson.slug:
                for other in meeting.places:
                    if other.lesson != lesson.slug:
                        lines = found.setdefault(own.line, {})
                        lines.setdefault((other.lesson, other.line), other)
    return {
        name: tuple(
            LinkView(href=text.address(place), text=edition.title_of(place, text.words))
            for place in lines.values()
        )
        for name, lines in found.items()
    }
