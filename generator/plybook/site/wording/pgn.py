"""A lesson's lines as PGN in export format (PGN standard of 1994-03-12, section 3.2)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from plybook.board import START
from plybook.board.model import Line, Ply
from plybook.course.model import Course, Lesson
from plybook.site.wording.prose import plain_text
from plybook.site.wording.tree import walk
from plybook.text.model import Comment, MovesDraft

__all__ = ["COURSE_PGN", "course_pgn", "has_games", "lesson_pgn", "line_pgn"]

#: Where the lines of all lessons lie in a site.
COURSE_PGN: Final = "course.pgn"

_WIDTH: Final = 79  # section 4.3: fewer than 80 columns
_BREAKS = re.compile(r"\s+")
#: A brace would end the comment or seem to open another (section 5).
_BRACES: Final = str.maketrans("{}", "()")


def course_pgn(course: Course) -> str:
    """Return one game a line of the whole course, lesson by lesson; "" when there is none.

    Each game names the course in a tag of its own, after the seven that every game has.
    """
    lessons = (lesson_pgn(one, course=course.file.title) for one in course.lessons.values())
    return "\n".join(games for games in lessons if games)


def has_games(course: Course) -> bool:
    """Return whether some line of the course can be written as a game."""
    lessons = course.lessons.values()
    return any(not line.start.is_partial for one in lessons for line in one.lines.values())


def lesson_pgn(lesson: Lesson, *, course: str = "") -> str:
    """Return one game a line of the lesson, in order; "" when there is none.

    A partial board is left out: a game needs both kings. `course` is named where it is given.
    """
    games = [
        line_pgn(
            lesson.lines[block.name],
            event=f"{lesson.draft.title}: {block.title}" if block.title else lesson.draft.title,
            source=block.source or "",
            course=course,
        )
        for block in lesson.draft.blocks
        if isinstance(block, MovesDraft)
        and block.name in lesson.lines
        and not lesson.lines[block.name].start.is_partial
    ]
    return "\n".join(games)


def line_pgn(line: Line, *, event: str, source: str = "", course: str = "") -> str:
    """Return a line as one game: tags, a blank line, movetext in lines of fewer than 80 columns.

    `source` becomes a comment before the first move.
    """
    result = line.result or "*"
    tags = {
        "Event": event,
        "Site": "?",
        "Date": "????.??.??",
        "Round": "?",
        "White": "?",
        "Black": "?",
        "Result": result,
    }
    if course:
        tags["Course"] = course
    if line.start.fen != START.fen:
        tags |= {"FEN": line.start.fen, "SetUp": "1"}
    head = "".join(f'[{name} "{_escaped(value)}"]\n' for name, value in tags.items())
    words = [*_comment(source), *_movetext(line), result]
    return f"{head}\n{_wrapped(words)}\n"


def _escaped(value: str) -> str:
    """Return the text of a tag: backslash and quotation mark escaped (section 7)."""
    plain = _BREAKS.sub(" ", value)
    return plain.replace("\\", "\\\\").replace('"', '\\"')


def _movetext(line: Line) -> list[str]:
    """Return the words of the movetext; brackets belong to the words inside them."""
    found: list[str] = []
    bracket = ""
    needs_number = True
    depth = 0

    def add(word: str) -> None:
        nonlocal bracket
        found.append(bracket + word)
        bracket = ""

    for closes, begins, ply in walk(line):
        if closes:
            found[-1] += ")" * closes
        if begins:
            bracket = "("
        needs_number = needs_number or bool(closes or begins)
        for comment in ply.comments_before:
            for word in _comment(_plain(comment)):
                add(word)
            needs_number = True
        for word in _move(ply, needs_number=needs_number):
            add(word)
        for comment in ply.comments:
            for word in _comment(_plain(comment)):
                add(word)
        needs_number = bool(ply.comments)
        depth = ply.depth
    if depth:
        found[-1] += ")" * depth
    return found


def _move(ply: Ply, *, needs_number: bool) -> Iterator[str]:
    if ply.mover == "white":
        yield f"{ply.number}."
    elif needs_number:
        yield f"{ply.number}..."
    yield ply.san
    for nag in ply.nags:
        yield f"${nag}"


def _plain(comment: Comment) -> str:
    return plain_text(comment.prose) if comment.prose.tokens else comment.text


def _comment(text: str) -> list[str]:
    """Return the words of a comment in braces, none for an empty one.

    A line must not begin with `%`, which would hide it (section 6): such a word clings to the one
    before it.
    """
    words = text.translate(_BRACES).split()
    if not words:
        return []
    found = ["{" + words[0]]
    for word in words[1:]:
        if word.startswith("%"):
            found[-1] += f" {word}"
        else:
            found.append(word)
    found[-1] += "}"
    return found


def _wrapped(words: list[str]) -> str:
    """Return the words in lines of fewer than 80 columns, as far as single words allow it."""
    lines: list[str] = []
    row = words[0]
    for word in words[1:]:
        if len(row) + 1 + len(word) <= _WIDTH:
            row = f"{row} {word}"
        else:
            lines.append(row)
            row = word
    return "\n".join([*lines, row])
