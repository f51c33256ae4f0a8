"""The live board of a lesson page: where it stands, its marks, its rails, and its data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from markupsafe import Markup

from plybook.board import newly_attacked
from plybook.board.model import Mark
from plybook.course.model import Lesson, Place
from plybook.site.drawing.diagram import plate_svg
from plybook.site.drawing.rail import rail_svg
from plybook.site.pages.chart import chart_svg, count_signs, has_chart
from plybook.site.pages.edition import Edition, Sheet
from plybook.site.pages.evidence import RowMaker
from plybook.site.pages.lesson_blocks import legend_of
from plybook.site.pages.views import PlateView
from plybook.site.wording.stepper import json_for_script
from plybook.site.wording.tree import sideline_letters
from plybook.site.wording.words import Words, out_words, position_words, spoken, turn_words
from plybook.text.model import DiagramDraft

__all__ = ["key_place", "plate_view"]

_FIRST_PLIES: Final = 3


def key_place(lesson: Lesson, sheets: Sequence[Sheet]) -> Place | None:
    """Return the position a lesson opens with, None when it has no line.

    It is the position of the first diagram that stands in one of the lesson's lines; else the first
    that carries marks; else the one three plies into the first line.
    """
    for block in lesson.draft.blocks:
        if isinstance(block, DiagramDraft):
            place = lesson.targets.get(block.place)
            if place is not None and place.lesson == lesson.slug:
                return place
    for sheet in sheets:
        marked = [place for place in lesson.sets if place.line == sheet.line.name]
        if marked:
            return min(marked)
    if not sheets:
        return None
    first = sheets[0].line
    main = [0, *(ply.index for ply in first.main())]
    return Place(lesson.slug, first.name, main[min(_FIRST_PLIES, len(main) - 1)])


def plate_view(edition: Edition, lesson: Lesson, words: Words) -> PlateView | None:
    """Return the plate of a lesson, None for a lesson without lines."""
    sheets = edition.sheets(lesson)
    place = key_place(lesson, sheets)
    if place is None:
        return None
    sheet = edition.sheet_of(place)
    position = edition.position(place)
    ply = sheet.ply(place.index)
    sets = _mark_sets(lesson, sheets)
    caption = edition.place_words(place, words)
    turn = turn_words(position, words)
    men = position_words(position, words, has_turn=False)
    return PlateView(
        board=plate_svg(
            position,
            seen_from=sheet.view,
            last=(ply.origin, ply.target) if ply else None,
            mark_sets=sets,
            at=sheet.fragments[place.index],
            label=words.board.format(
                place=caption,
                turn=turn,
                words=men,
                marks="",
            ).strip(),
        ),
        caption=caption,
        line_title=sheet.title,
        turn=turn,
        turn_side=position.turn,
        words=men,
        at=sheet.fragments[place.index],
        legend=legend_of((mark for _, marks in sets.values() for mark in marks), words),
        rails=Markup("").join(_rail(edition, each) for each in sheets),
        out=_out(edition, place, words),
        data=Markup(
            json_for_script(_data(edition, lesson, sheets, words, at=sheet.fragments[place.index]))
        ),
        hides_next=lesson.draft.hides_next,
    )


def _rail(edition: Edition, sheet: Sheet) -> Markup:
    """Return the chart of a line, or the plain rail of one whose men do not come out."""
    letters = sideline_letters(sheet.line)
    ledger = edition.ledger(sheet)
    if has_chart(ledger):
        return chart_svg(sheet.line, ledger, letters=letters)
    return rail_svg(sheet.line, letters=letters)


def _out(edition: Edition, place: Place, words: Words) -> str:
    """Return what the chart counts at a place, in the words that the page script has too."""
    ledger = edition.ledger(edition.sheet_of(place))
    return out_words(ledger.entries[place.index], words) if has_chart(ledger) else ""


def _mark_sets(
    lesson: Lesson, sheets: Sequence[Sheet]
) -> Mapping[str, tuple[str, tuple[Mark, ...]]]:
    """Return placement and marks of every marked place by its fragment, in the order of lines."""
    return {
        sheet.fragments[place.index]: (sheet.placements[place.index], lesson.sets[place])
        for sheet in sheets
        for place in sorted(lesson.sets)
        if place.line == sheet.line.name and place.lesson == lesson.slug
    }


def _data(
    edition: Edition, lesson: Lesson, sheets: Sequence[Sheet], words: Words, *, at: str
) -> dict[str, Any]:
    """Return what the page script reads."""
    maker = RowMaker(
        course=edition.course,
        touched=edition.touched,
        words=words,
        quotes=edition.quotes(lesson.draft.language),
        root="../",
    )
    return {
        "course": edition.course.file.ident,
        "lesson": lesson.slug,
        "lines": [_line_data(edition, sheet, words, maker) for sheet in sheets],
        "rules": maker.rules,
        "at": at,
        "hide": lesson.draft.hides_next,
        "text": words.for_script,
    }


def _line_data(edition: Edition, sheet: Sheet, words: Words, maker: RowMaker) -> dict[str, Any]:
    line = sheet.line
    attacked = newly_attacked(line)
    placements = sheet.placements
    data: dict[str, Any] = {
        "name": line.name,
        "fen": line.start.fen,
        "from": line.start.placement,
        "turn": line.start.turn[0],
        "moves": sheet.moves,
        "view": sheet.view,
        "say": [
            spoken(ply, words, placement=placements[ply.index], attacked=targets)
            for ply, targets in zip(line.plies, attacked, strict=True)
        ],
    }
    for name, outcome in (("mate", "mate"), ("stale", "stalemate")):
        places = [ply.index for ply in line.plies if ply.outcome == outcome]
        if places:
            data[name] = places
    ledger = edition.ledger(sheet)
    if has_chart(ledger):
        data["out"] = count_signs(ledger, of="out")
        lost = count_signs(ledger, of="lost")
        if lost.strip("0"):
            data["lost"] = lost
    rows = maker.rows(sheet.lesson, line, letters=sheet.letters)
    if rows:
        data["why"] = rows
    return data
