"""The blocks without lines of their own: `diagram`, `claims`, `tags`, `cards`, `coach`."""

from __future__ import annotations

import re
from typing import Final

from plybook.diagnostics import near_miss, shown
from plybook.text.blocks import BlockReader, lines_of, row_of
from plybook.text.markdown import Fence
from plybook.text.model import (
    CardDraft,
    CardsDraft,
    ClaimDraft,
    ClaimsDraft,
    CoachDraft,
    DiagramDraft,
    Drawing,
    Reference,
    TagDraft,
    TagsDraft,
)
from plybook.text.references import NAME, SAN_LIKE, read_step
from plybook.text.source import Excerpt

__all__ = ["read_cards", "read_claims", "read_coach", "read_diagram", "read_tags"]

VERBS: Final = ("obeys", "breaks", "punishes")
_TAG = re.compile(
    rf"([0-9]+\.(?:\.\.)?[ ]?{SAN_LIKE}[!?]{{0,2}}(?:>[0-9]+\.(?:\.\.)?[ ]?{SAN_LIKE})*)"
    r"\s+(\S+)\s+(\S+)(?:\s+anyway\s+\"([^\"]*)\")?"
)
_BOARD = re.compile(rf"((?:{NAME}/)?{NAME}@\S+)(?:\s+|$)")


def _place(fence: Fence, reader: BlockReader) -> Reference | None:
    """Return the reference behind the fence's word, or None after a report."""
    if not fence.argument:
        reader.report.add(
            "missing-block-name",
            fence.span,
            f"this {fence.word} block does not say of which position",
            help=f"write ```{fence.word} line@4...g6",
        )
        return None
    return reader.reference(fence.argument, fence.argument_span)


def read_diagram(fence: Fence, reader: BlockReader) -> DiagramDraft | None:
    """Return a `diagram` block, or None when its position cannot be told."""
    place = _place(fence, reader)
    values: dict[str, Excerpt] = {}
    view = None
    drawings: list[Drawing] = []
    for start, text in lines_of(fence.body):
        line = fence.body.part(start, start + len(text))
        drawn = reader.drawings(line)
        if drawn is not None:
            drawings += drawn
            continue
        row = row_of(fence.body, start, text)
        if row.key not in {"caption", "alt", "view"} or ":" not in text:
            near = near_miss(row.key, ("caption", "alt", "view", "arrow", "mark"))
            reader.unknown_line(
                line,
                help=f"did you mean `{near}`?"
                if near
                else "lines: caption, alt, view, arrow, mark",
            )
        elif row.key in values:
            reader.report.add(
                "duplicate-key", row.key_span, f"`{row.key}` is given twice", help="keep one"
            )
        else:
            values[row.key] = row.value_text
            if row.key == "view":
                view = reader.choice(row, ("white", "black"))
    if place is None:
        return None
    caption = values.get("caption")
    return DiagramDraft(
        place=place,
        caption=reader.inline(caption) if caption else None,
        caption_text=caption.text if caption else None,
        alt=values["alt"].text if "alt" in values else None,
        view=view,
        drawings=tuple(drawings),
        span=fence.span,
    )


def read_claims(fence: Fence, reader: BlockReader) -> ClaimsDraft | None:
    """Return a `claims` block, or None when its position cannot be told."""
    place = _place(fence, reader)
    claims = []
    for start, text in lines_of(fence.body):
        sentence = text.strip()
        at = start + text.find(sentence)
        claims.append(ClaimDraft(text=sentence, span=fence.body.span(at, at + len(sentence))))
    if not claims and fence.is_closed:
        reader.report.add(
            "empty-block", fence.span, "a claims block without a claim", help="write one a line"
        )
    return ClaimsDraft(place=place, claims=tuple(claims), span=fence.span) if place else None


def read_tags(fence: Fence, reader: BlockReader) -> TagsDraft | None:
    """Return a `tags` block, or None when its line has no usable name."""
    name = reader.name(fence, "tags")
    tags = []
    for start, text in lines_of(fence.body):
        line = fence.body.part(start, start + len(text))
        tag = _read_tag(line, name or "line", reader)
        if tag:
            tags.append(tag)
    if name is None:
        return None
    return TagsDraft(line=name, line_span=fence.argument_span, tags=tuple(tags), span=fence.span)


def _read_tag(line: Excerpt, name: str, reader: BlockReader) -> TagDraft | None:
    text = line.text.strip()
    offset = line.text.find(text)
    found = _TAG.fullmatch(text)
    if not found:
        reader.unknown_line(
            line, help='write `4...Bxf3 breaks piece-twice`, with `anyway "reason"` if need be'
        )
        return None
    verb = found[2]
    if verb not in VERBS:
        near = near_miss(verb, VERBS)
        at = offset + found.start(2)
        reader.report.add(
            "bad-value",
            line.span(at, at + len(verb)),
            f"`{shown(verb)}` is not what a move does to a principle",
            help=f"did you mean `{near}`?" if near else f"a move {', '.join(VERBS)} it",
        )
        return None
    steps = tuple(read_step(re.sub(r"[!?]+$", "", piece)) for piece in found[1].split(">"))
    span = line.span(offset, offset + found.end(1))
    principle_at = offset + found.start(3)
    return TagDraft(
        place=Reference(
            lesson=None,
            line=name,
            edge=None,
            steps=tuple(step for step in steps if step),
            span=span,
        ),
        verb=verb,
        principle=found[3],
        principle_span=line.span(principle_at, principle_at + len(found[3])),
        reason=found[4],
        span=span,
    )


def read_cards(fence: Fence, reader: BlockReader) -> CardsDraft:
    """Return a `cards` block."""
    cards = []
    for start, text in lines_of(fence.body):
        line = fence.body.part(start, start + len(text))
        question, bar, answer = text.partition("|")
        if not bar or not question.strip() or not answer.strip():
            reader.unknown_line(line, help="write `question | answer`")
            continue
        span = line.span(0, len(text))
        sides = [
            _card_side(side, start + at, fence.body, reader)
            for side, at in ((question, 0), (answer, len(question) + 1))
        ]
        cards.append(
            CardDraft(
                question=sides[0][1],
                answer=sides[1][1],
                question_board=sides[0][0],
                answer_board=sides[1][0],
                span=span,
            )
        )
    return CardsDraft(cards=tuple(cards), span=fence.span)


def _card_side(
    text: str, at: int, body: Excerpt, reader: BlockReader
) -> tuple[Reference | None, str]:
    words = text.strip()
    found = _BOARD.match(words)
    if not found:
        return None, words
    start = at + text.find(words)
    span = body.span(start, start + len(found[1]))
    return reader.reference(found[1], span), words[found.end() :]


def read_coach(fence: Fence, reader: BlockReader) -> CoachDraft:
    """Return a `coach` block: its Markdown, unparsed, so that no page can hold a byte of it."""
    return CoachDraft(text=fence.body.text, span=fence.span)
