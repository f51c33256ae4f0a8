"""Claims that are false, as lines that can be stepped through.

The moves that answer a claim are written below its lesson as one more `moves` block, so that the
page treats them as it treats every line. The file of the lesson is not touched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from plybook.board import Position, open_place
from plybook.board.claims import MoveSaid, Reach
from plybook.course.model import Course, Settled
from plybook.diagnostics import Report
from plybook.kept import Kept
from plybook.text.lesson import read_lesson
from plybook.text.model import CourseDraft, LessonDraft, MovesDraft

__all__ = ["with_refutations"]


def with_refutations(draft: CourseDraft, course: Course, kept: Kept) -> CourseDraft:
    """Return the course with a line below each lesson for every claim that has an answer.

    The very same draft when there is none.
    """
    refuted: dict[str, list[Settled]] = {}
    for settled in course.verdicts.values():
        if settled.verdict.reach is Reach.FALSE and settled.verdict.counter:
            refuted.setdefault(settled.claim.span.file, []).append(settled)
    if not refuted:
        return draft
    return replace(
        draft,
        lock=None,  # these lines are in no lock
        lessons=tuple(
            _extended(lesson, draft.sources[lesson.file], course, refuted[lesson.file], kept)
            if lesson.file in refuted
            else lesson
            for lesson in draft.lessons
        ),
    )


def _extended(
    lesson: LessonDraft, source: str, course: Course, refuted: Sequence[Settled], kept: Kept
) -> LessonDraft:
    taken = {block.name for block in lesson.blocks if isinstance(block, MovesDraft)}
    free = (name for at in range(1, 1000) if (name := f"refuted-{at}") not in taken)
    blocks = "".join(_block(name, one, course) for name, one in zip(free, refuted, strict=False))
    text = f"{source.rstrip()}\n\n## Refuted\n{blocks}"
    return kept.take(
        "refuted",
        lesson.file,
        (text, lesson.slug),
        partial(_read, text, lesson),
        report=Report(),
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
