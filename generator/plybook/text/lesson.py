"""Lessons and principles: a head between two lines of `---`, then Markdown."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from plybook.diagnostics import Report, Span
from plybook.text.blocks import WORDS, BlockReader, is_ours
from plybook.text.exercise_block import read_exercise
from plybook.text.fields import LessonFields, PrincipleFields
from plybook.text.heads import Head, read_fields, read_yaml
from plybook.text.markdown import Fence, read_prose
from plybook.text.model import (
    EMPTY_PROSE,
    Block,
    ExerciseDraft,
    LessonDraft,
    Located,
    MovesDraft,
    MovetextDraft,
    PrincipleDraft,
    Prose,
    VariationDraft,
)
from plybook.text.moves_block import read_moves
from plybook.text.notation import letter_set
from plybook.text.source import Excerpt, excerpt_of_file
from plybook.text.still_blocks import (
    read_cards,
    read_claims,
    read_coach,
    read_diagram,
    read_tags,
)

__all__ = ["divide_page", "read_lesson", "read_principle"]

_NOTHING: Final[tuple[Prose, tuple[Fence, ...]]] = (EMPTY_PROSE, ())
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


def read_lesson(text: str | None, *, slug: str, file: str, report: Report) -> LessonDraft:
    """Return a lesson. What is at fault is left out, so that the rest can be checked.

    `text` is None for a file that could not be read; that has been reported.
    """
    head, body = divide_page(text, file=file, report=report)
    fields, _ = read_fields(head, LessonFields, report=report)
    prose, fences = _NOTHING
    if body is not None:
        prose, fences = read_prose(body, has_mentions=True, report=report)
    blocks = _read_blocks(fences, report)
    return LessonDraft(
        slug=slug,
        file=file,
        title=fields.title,
        subtitle=fields.subtitle,
        level=Located(value=fields.level, span=head.at("level")) if head and fields.level else None,
        minutes=fields.minutes,
        needs=_located(head, "needs", fields.needs),
        teaches=_located(head, "teaches", fields.teaches),
        practises=_located(head, "practises", fields.practises),
        language=fields.language,
        letters=letter_set(fields.letters, span=_at(head, "letters", file), report=report),
        hides_next=fields.hide_next,
        is_draft=fields.draft,
        changed=fields.changed,
        prose=prose,
        blocks=blocks,
        span=Span.of_file(file),
        is_read=body is not None,
    )


def read_principle(text: str | None, *, slug: str, file: str, report: Report) -> PrincipleDraft:
    """Return a principle. What is at fault is left out, as in a lesson."""
    head, body = divide_page(text, file=file, report=report)
    fields, _ = read_fields(head, PrincipleFields, report=report)
    prose, fences = _NOTHING
    if body is not None:
        prose, fences = read_prose(body, has_mentions=False, report=report)
    for fence in fences:
        if is_ours(fence, report):
            report.add(
                "unknown-block",
                fence.span,
                f"a `{fence.word}` block on the page of a principle is printed as it stands",
                help="put it in a lesson; the page lists what the lessons tag with the principle",
            )
    return PrincipleDraft(
        slug=slug,
        file=file,
        title=fields.title,
        short=fields.short,
        since=None if fields.since is None else str(fields.since),
        kept_by=_located(head, "kept_by", fields.kept_by),
        broken_by=_located(head, "broken_by", fields.broken_by),
        justified_by=_located(head, "justified_by", fields.justified_by),
        punished_by=_located(head, "punished_by", fields.punished_by),
        prose=prose,
        span=Span.of_file(file),
        is_read=body is not None,
    )


def _at(head: Head | None, key: str, file: str) -> Span:
    return head.at(key) if head else Span.of_file(file)


def _located(head: Head | None, key: str, values: list[str]) -> tuple[Located, ...]:
    if head is None:
        return ()
    return tuple(Located(value=value, span=head.at(key, at)) for at, value in enumerate(values))


def divide_page(
    text: str | None, *, file: str, report: Report
) -> tuple[Head | None, Excerpt | None]:
    """Return the head and the body, None for what could not be read, which is reported."""
    if text is None:
        return None, None
    whole = excerpt_of_file(file, text)
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
        return None, None
    head = read_yaml(
        whole.part(opening.end(), max(closing.start() - 1, opening.end())), report=report
    )
    return head, whole.part(min(closing.end() + 1, len(text)), len(text))


def _takes_in_another(fence: Fence, report: Report) -> bool:
    """Report a block that was not closed before the next began; return whether it is one."""
    markup = fence.token.markup
    inner = re.search(
        rf"^[ \t>]*{markup}{markup[0]}*[ \t]*(?:{'|'.join(WORDS)})\b", fence.body.text, re.M
    )
    if inner is None:
        return False
    line, _ = fence.body.place(inner.start())
    report.add(
        "unclosed-fence",
        fence.span,
        f"this `{fence.word}` block is not closed before the next begins",
        notes=(f"the next begins on line {line}",),
        help=f"end it with a line of `{markup}`",
    )
    return True


def _without_text(block: Block | None) -> Block | None:
    """Return what is certain of a block whose end is not known: the name of a line."""
    if not isinstance(block, MovesDraft):
        return None
    nothing = VariationDraft(plies=(), span=block.movetext.main.span)
    return replace(
        block,
        start=None,
        ends=None,
        drawings=(),
        movetext=MovetextDraft(main=nothing, is_whole=False),
    )


def _read_blocks(fences: tuple[Fence, ...], report: Report) -> tuple[Block | None, ...]:
    """Return the blocks in order; each of their tokens learns its index."""
    reader = BlockReader(report)
    blocks: list[Block | None] = []
    names: dict[str, Span] = {}
    for fence in fences:
        if not is_ours(fence, report):
            continue
        fence.token.meta = {"block": len(blocks)}
        is_whole = fence.is_closed and not _takes_in_another(fence, report)
        block = _READERS[fence.word](fence, reader if is_whole else BlockReader(Report()))
        if not is_whole:
            block = _without_text(block)
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
