"""The command `diagram`: one position as a picture file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import click

from plybook.board import Line, Mark, Position, Side, open_place, read_fen
from plybook.course import Course
from plybook.course.model import Place
from plybook.course.places import resolve_in_line
from plybook.desk.handouts import put
from plybook.desk.printing import FAULTS, show_all
from plybook.desk.work import CHECK, Work, find_course, run
from plybook.diagnostics import Report, Span, UsageError, near_miss, shown
from plybook.site.handouts.boards import MADE_BY, diagram_svg, png_of
from plybook.site.pages.theme import load_theme
from plybook.site.wording.languages import words_for
from plybook.site.wording.words import Words, after, marks_words, position_words, turn_words
from plybook.text.model import FenText, MovesDraft
from plybook.text.references import read_reference

__all__ = ["draw_diagram"]

_THEME: Final = "press"
_SPAN: Final = Span.of_file("the command line")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """What is drawn, and what the picture says of itself."""

    position: Position
    view: Side
    marks: tuple[Mark, ...]
    last: tuple[str, str] | None
    place: str
    theme: str
    words: Words


def draw_diagram(
    position: str,
    course: Path | None,
    *,
    out: Path | None,
    view: Side | None,
    size: int,
    theme: str | None,
) -> int:
    """Draw the position and return the exit code."""
    ending = out.suffix.lower().removeprefix(".") if out else "svg"
    if ending not in MADE_BY:
        raise UsageError(f"{out} ends in neither .svg nor .png")
    found = _of_fen(position) if _is_fen(position) else _of_reference(position, course)
    if found is None:
        return FAULTS
    svg = diagram_svg(
        found.position,
        load_theme(theme or found.theme),
        seen_from=view or found.view,
        marks=found.marks,
        last=found.last,
        label=_label(found),
        width=size,
    )
    if out is None:
        click.echo(svg, nl=False)
        return 0
    content = png_of(svg) if ending == "png" else svg.encode()
    return put(out, content, is_ours=lambda before: MADE_BY[ending] in before)


def _is_fen(text: str) -> bool:
    return "@" not in text and "/" in text


def _of_fen(text: str) -> _Shown:
    report = Report()
    position = read_fen(FenText(fen=text, span=_SPAN), is_partial=False, report=report)
    if position is None:
        raise UsageError(_first_fault(report))
    return _Shown(
        position=position,
        view="white",
        marks=(),
        last=None,
        place="",
        theme=_THEME,
        words=words_for("en"),
    )


def _of_reference(text: str, folder: Path | None) -> _Shown | None:
    """Return the position of a reference, None where the course has faults, which are shown."""
    report = Report()
    reference = read_reference(text, span=_SPAN, report=report)
    if reference is None:
        raise UsageError(_first_fault(report))
    work = run(CHECK, Work(folder=find_course(folder)))
    if work.report.errors or work.course is None:
        show_all(work)
        click.echo("nothing was drawn", err=True)
        return None
    slug, line = _line_of(work.course, reference.lesson, reference.line)
    index = resolve_in_line(line, reference, report=report)
    if index is None:
        raise UsageError(_first_fault(report))
    return _at(work.course, Place(slug, line.name, index))


def _at(course: Course, place: Place) -> _Shown:
    lesson = course.lessons[place.lesson]
    draft = next(
        block
        for block in lesson.draft.blocks
        if isinstance(block, MovesDraft) and block.name == place.line
    )
    ply = course.ply(place)
    words = words_for(lesson.draft.language or course.file.language)
    letters = draft.letters or lesson.draft.letters or course.file.letters
    return _Shown(
        position=open_place(course.line(place), place.index),
        view="black" if draft.view == "black" else "white",
        marks=lesson.sets.get(place, ()),
        last=(ply.origin, ply.target) if ply else None,
        place=after(ply, words, letters=letters),
        theme=course.file.theme,
        words=words,
    )


def _line_of(course: Course, slug: str | None, name: str) -> tuple[str, Line]:
    """Return a line and its lesson. A name that one lesson alone has needs no lesson."""
    if slug is not None and slug not in course.lessons:
        raise UsageError(_unknown("lesson", slug, course.lessons))
    known = [
        (one.slug, line)
        for one in course.lessons.values()
        if slug in {None, one.slug}
        for line in one.lines.values()
    ]
    found = [(lesson, line) for lesson, line in known if line.name == name]
    if not found:
        raise UsageError(_unknown("line", name, [line.name for _, line in known]))
    if len(found) > 1:
        ways = " or ".join(f"{lesson}/{name}" for lesson, _ in found)
        raise UsageError(f"several lessons have a line `{name}`; write {ways}")
    return found[0]


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    names = list(dict.fromkeys(known))
    near = near_miss(name, names)
    hint = f"did you mean `{near}`?" if near else f"there are: {', '.join(names)}"
    return f"there is no {what} `{shown(name)}`; {hint}"


def _label(found: _Shown) -> str:
    """Return the whole picture in words."""
    words = found.words
    turn = turn_words(found.position, words)
    men = position_words(found.position, words, has_turn=False)
    if not found.place:
        return f"{turn}. {men}"
    marks = marks_words(found.marks, words)
    return words.board.format(place=found.place, turn=turn, words=men, marks=marks).strip()


def _first_fault(report: Report) -> str:
    """Return what was reported first as one line."""
    fault = report.sorted()[0]
    return "; ".join((fault.message, *fault.help))
