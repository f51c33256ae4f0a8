"""Lessons and principles: a head between two lines of `---`, then Markdown."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from plybook.diagnostics import Report, Span
from plybook.text.blocks import BlockReader, is_ours
from plybook.text.exercise_block import read_exercise
from plybook.text.fields import LessonFields, PrincipleFields
from plybook.text.heads import Head, read_fields, read_yaml
from plybook.text.markdown import Fence, read_prose
from plybook.text.model import (
    Block,
    ExerciseDraft,
    LessonDraft,
    Located,
    MovesDraft,
    PrincipleDraft,
)
from plybook.text.moves_block import read_moves
from plybook.text.source import Excerpt, excerpt_of_file
from plybook.text.still_blocks import (
    read_cards,
    read_claims,
    read_coach,
    read_diagram,
    read_tags,
)

__all__ = ["read_lesson", "read_principle"]

_RULE = re.compile(r"---[ \t]*(?:\n|$)")

_READERS: Final[dict[str, Callable[[Fence, BlockReader], Block | None]]] = {
    "moves": read_moves,
    "diagram": read_diagram,
    "claims": read_claims,
    "tags": read_tags,
    "exercise": read_exercise,
    "cards": read_cards,
    "coach": read_coach,
}


def read_lesson(text: str, *, slug: str, file: str, report: Report) -> LessonDraft | None:
    """Return a lesson; None when its head is not usable. The body is checked in any case."""
    whole = excerpt_of_file(file, text)
    head, body = _divide(whole, report)
    fields = read_fields(head, LessonFields, report=report) if head else None
    prose, fences = read_prose(body, has_mentions=True, report=report)
    blocks = _read_blocks(fences, report)
    if head is None or fields is None:
        return None
    return LessonDraft(
        slug=slug,
        file=file,
        title=fields.title,
        subtitle=fields.subtitle,
        level=Located(value=fields.level, span=head.at("level")) if fields.level else None,
        minutes=fields.minutes,
        needs=_located(head, "needs", fields.needs),
        teaches=_located(head, "teaches", fields.teaches),
        practises=_located(head, "practises", fields.practises),
        language=fields.language,
        letters=fields.letters,
        hides_next=fields.hide_next,
        is_draft=fields.draft,
        changed=fields.changed,
        prose=prose,
        blocks=blocks,
        span=Span.of_file(file),
    )


def read_principle(text: str, *, slug: str, file: str, report: Report) -> PrincipleDraft | None:
    """Return a principle, or None when its head is not usable."""
    head, body = _divide(excerpt_of_file(file, text), report)
    fields = read_fields(head, PrincipleFields, report=report) if head else None
    prose, fences = read_prose(body, has_mentions=False, report=report)
    for fence in fences:
        if is_ours(fence, report):
            report.add(
                "unknown-block",
                fence.span,
                f"a `{fence.word}` block on the page of a principle is printed as it stands",
                help="put it in a lesson; the page lists what the lessons tag with the principle",
            )
    if fields is None:
        return None
    return PrincipleDraft(
        slug=slug,
        file=file,
        title=fields.title,
        short=fields.short,
        since=None if fields.since is None else str(fields.since),
        prose=prose,
        span=Span.of_file(file),
    )


def _located(head: Head, key: str, values: list[str]) -> tuple[Located, ...]:
    return tuple(Located(value=value, span=head.at(key, at)) for at, value in enumerate(values))


def _divide(whole: Excerpt, report: Report) -> tuple[Head | None, Excerpt]:
    """Return the head (None after a report) and the body."""
    text = whole.text
    opening = _RULE.match(text)
    if not opening:
        report.add(
            "missing-head",
            whole.span(0, 0),
            "the file does not begin with a head",
            help="begin with a line of `---`, a line `title: …`, and a line of `---`",
        )
        return None, whole
    closing = re.compile(r"^---[ \t]*$", re.M).search(text, opening.end())
    if not closing:
        report.add(
            "unclosed-head",
            whole.span(0, 3),
            "the head is never closed",
            help="end it with a line of `---`",
        )
        return None, whole.part(len(text), len(text))
    head = read_yaml(
        whole.part(opening.end(), max(closing.start() - 1, opening.end())), report=report
    )
    return head, whole.part(min(closing.end() + 1, len(text)), len(text))


def _read_blocks(fences: tuple[Fence, ...], report: Report) -> tuple[Block | None, ...]:
    """Return the blocks in order; each of their tokens learns its index."""
    reader = BlockReader(report)
    blocks: list[Block | None] = []
    names: dict[str, Span] = {}
    for fence in fences:
        if not is_ours(fence, report):
            continue
        fence.token.meta = {"block": len(blocks)}
        block = _READERS[fence.word](fence, reader)
        if isinstance(block, MovesDraft | ExerciseDraft) and block.name in names:
            report.add(
                "duplicate-block",
                fence.argument_span,
                f"`{block.name}` is already the name of the block on line {names[block.name].line}",
                help="give one of them another name",
            )
            block = None
        if isinstance(block, MovesDraft | ExerciseDraft):
            names[block.name] = fence.span
        blocks.append(block)
    return tuple(blocks)
