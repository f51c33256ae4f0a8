"""Claims that are false, as lines that can be stepped through.

The moves that answer a claim are written below its lesson as one more `moves` block, so that the
page treats them as it treats every line. The file of the lesson is not touched.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from itertools import count

from plybook.board import Position, open_place
from plybook.board.claims import MoveSaid, Reach
from plybook.course.model import Course, Settled
from plybook.diagnostics import Report, Span
from plybook.kept import Kept
from plybook.text.lesson import read_lesson
from plybook.text.model import CourseDraft, LessonDraft, MovesDraft

__all__ = ["refuted_lines", "with_refutations"]


def refuted_lines(draft: CourseDraft, course: Course) -> dict[Span, str]:
    """Return the name of the line that refutes a claim, by the claim's place, in reading order."""
    taken = {
        lesson.file: {block.name for block in lesson.blocks if isinstance(block, MovesDraft)}
        for lesson in draft.lessons
    }
    names: dict[Span, str] = {}
    for span, settled in course.verdicts.items():
        if settled.verdict.reach is Reach.FALSE and settled.verdict.counter:
            free = (f"refuted-{at}" for at in count(1))
            names[span] = next(name for name in free if name not in taken[span.file])
            taken[span.file].add(names[span])
    return names


def with_refutations(
    draft: CourseDraft, course: Course, names: Mapping[Span, str], kept: Kept
) -> CourseDraft:
    """Return the course with a line of its name below each lesson for every refuted claim."""
    blocks: dict[str, str] = {}
    for span, name in names.items():
        more = _block(name, course.verdicts[span], course)
        blocks[span.file] = blocks.get(span.file, "\n\n## Refuted\n") + more
    return replace(
        draft,
        lock=None,  # these lines are in no lock
        lessons=tuple(
            _extended(lesson, draft.sources[lesson.file].rstrip() + blocks[lesson.file], kept)
            if lesson.file in blocks
            else lesson
            for lesson in draft.lessons
        ),
    )


def _extended(lesson: LessonDraft, text: str, kept: Kept) -> LessonDraft:
    return kept.take(
        "refuted", lesson.file, (text, lesson.slug), partial(_read, text, lesson), report=Report()
    )


def _read(text: str, lesson: LessonDraft, report: Report) -> LessonDraft:
    return read_lesson(text, slug=lesson.slug, file=lesson.file, report=report)


def _block(name: str, one: Settled, course: Course) -> str:
    answer = one.verdict.counter
    moves = " ".join(
        f"{move.number}{'.' if move.mover == 'white' else '...'} {move.san}"
        if at == 0 or move.mover == "white"
        else move.san
        for at, move in enumerate(answer)
    )
    start = open_place(course.line(one.place), one.place.index)
    origin = str(one.reference) if answer[0].mover == start.turn else _passed(start, answer[0])
    return f"\n```moves {name}\ntitle: Not true: {one.claim.text}\nfrom: {origin}\n\n{moves}\n```\n"


def _passed(start: Position, answer: MoveSaid) -> str:
    """Return where a line starts that answers after a pass, as what threatens does."""
    placement, _, castling, *_ = start.fen.split(" ")
    return f"fen {placement} {answer.mover[0]} {castling} - 0 {answer.number}"
