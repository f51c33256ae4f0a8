"""Small makers shared by the tests: a course folder, a line, a report that is easy to compare."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import chess
from hypothesis import settings

from plybook.board import Line, play_line, read_fen
from plybook.course import Course, assemble
from plybook.diagnostics import Diagnostic, Report, Span
from plybook.text import CourseDraft, read_course_folder
from plybook.text.blocks import BlockReader
from plybook.text.model import FenText, LessonDraft, MovetextDraft
from plybook.text.source import excerpt_of_file

__all__ = [
    "FILE",
    "Checked",
    "board_of",
    "check_course",
    "check_lesson",
    "codes",
    "lesson",
    "moves",
    "only_lesson",
    "play",
    "read_moves",
    "steady",
    "under",
]

FILE: Final = "lessons/01-a.md"


def steady(examples: int) -> settings:
    """Return how our random cases run: the same ones each time, without a clock or a store."""
    return settings(max_examples=examples, deadline=None, derandomize=True, database=None)


# ---------------------------------------------------------------------- reports


def codes(found: Iterable[Diagnostic]) -> list[str]:
    """Return the codes of diagnostics in reading order."""
    return [one.code for one in sorted(found, key=lambda one: (one.span, one.code))]


def under(span: Span, text: str) -> str:
    """Return what stands under a span of a file with this text."""
    lines = text.split("\n")[span.line - 1 : span.end_line]
    lines[-1] = lines[-1][: span.end_column - 1]
    lines[0] = lines[0][span.column - 1 :]
    return "\n".join(lines)


# ---------------------------------------------------------------------- lines


def read_moves(movetext: str, report: Report) -> MovetextDraft:
    """Return movetext as read, comments with their Markdown."""
    return BlockReader(report).movetext(excerpt_of_file(FILE, movetext))


def play(
    movetext: str,
    *,
    fen: str = chess.STARTING_FEN,
    ends: str | None = None,
    is_partial: bool = False,
) -> tuple[Line, tuple[Diagnostic, ...]]:
    """Return the line of a movetext from `fen`, and what was reported, in reading order."""
    report = Report()
    draft = read_moves(movetext, report)
    span = Span.of_file(FILE)
    start = read_fen(FenText(fen=fen, span=span), is_partial=is_partial, report=report)
    assert start is not None, report.sorted()
    wanted = None if ends is None else FenText(fen=ends, span=span)
    line = play_line("line", draft, start=start, span=span, report=report, ends=wanted)
    return line, report.sorted()


def board_of(sans: str, *, fen: str = chess.STARTING_FEN) -> chess.Board:
    """Return the board after moves written without numbers."""
    board = chess.Board(fen)
    for san in sans.split():
        board.push_san(san)
    return board


# ---------------------------------------------------------------------- courses


@dataclass(frozen=True, slots=True)
class Checked:
    """A course folder that was read and put together, with all that was reported."""

    folder: Path
    draft: CourseDraft
    course: Course
    found: tuple[Diagnostic, ...]

    @property
    def codes(self) -> list[str]:
        """The codes reported, in reading order."""
        return codes(self.found)

    def the(self, code: str) -> Diagnostic:
        """Return the only diagnostic of a code."""
        (one,) = (one for one in self.found if one.code == code)
        return one

    def under(self, code: str) -> str:
        """Return what the coach wrote under the only diagnostic of a code."""
        span = self.the(code).span
        return under(span, (self.folder / span.file).read_text(encoding="utf-8"))


def lesson(body: str, **head: object) -> str:
    """Return the text of a lesson; `head` adds to its title, values as YAML writes them."""
    rows = {"title": "A lesson", **head}
    return "---\n" + "".join(f"{key}: {value}\n" for key, value in rows.items()) + f"---\n{body}"


def moves(name: str, movetext: str, **head: str) -> str:
    """Return a `moves` block."""
    rows = "".join(f"{key.rstrip('_')}: {value}\n" for key, value in head.items())
    return f"\n```moves {name}\n{rows}{chr(10) if rows else ''}{movetext}\n```\n"


def check_course(folder: Path, files: Mapping[str, str]) -> Checked:
    """Return the course of a dict of files; without a course.yaml it has a title alone."""
    report = Report()
    for name, text in {"course.yaml": "title: A course\n", **files}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="")
    draft = read_course_folder(folder, report=report)
    assert draft is not None, report.sorted()
    return Checked(folder, draft, assemble(draft, report=report), report.sorted())


def check_lesson(folder: Path, body: str, **head: object) -> Checked:
    """Return the course of a single lesson, lessons/01-a.md."""
    return check_course(folder, {FILE: lesson(body, **head)})


def only_lesson(checked: Checked) -> LessonDraft:
    """Return the draft of a course's only lesson."""
    (draft,) = checked.draft.lessons
    return draft
