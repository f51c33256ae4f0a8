"""What the search page looks in: one record for each section of a page, and every line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from plybook.site.wording.prose import plain_text
from plybook.text.model import (
    Block,
    CardsDraft,
    ClaimsDraft,
    DiagramDraft,
    ExerciseDraft,
    LessonDraft,
    MovesDraft,
    PrincipleDraft,
    Prose,
)
from plybook.text.walk import plies_of

__all__ = ["Record", "records_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A section: the id of its heading ("" for what comes before the first), its words."""

    fragment: str
    heading: str
    text: str


def records_of(page: LessonDraft | PrincipleDraft) -> tuple[Record, ...]:
    """Return the sections of a page in order, each with what a reader sees there.

    Answers of exercises and cards are left out, and so is all that is for the coach alone.
    """
    blocks = page.blocks if isinstance(page, LessonDraft) else ()
    first = page.subtitle if isinstance(page, LessonDraft) else page.short
    sections: list[tuple[str, str, list[str]]] = [("", "", [first] if first else [])]
    tokens = page.prose.tokens
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            sections.append((str(token.attrGet("id") or ""), _inline(tokens[at + 1]), []))
        elif token.type == "inline" and (at == 0 or tokens[at - 1].type != "heading_open"):
            sections[-1][2].append(_inline(token))
        elif token.type == "fence":
            index = token.meta.get("block") if token.meta else None
            if index is not None and index < len(blocks):
                sections[-1][2].extend(_words_of(blocks[index]))
    return tuple(
        Record(fragment=fragment, heading=heading, text=" ".join(map(_sentence, parts)))
        for fragment, heading, parts in sections
        if heading or parts
    )


def _sentence(part: str) -> str:
    """Return a part's words on one line, ended so that the next part does not run into it."""
    words = " ".join(part.split())
    return f"{words}." if words[-1:].isalnum() else words


def _inline(token: Any) -> str:
    return plain_text(Prose(tokens=(token,)))


def _words_of(block: Block) -> Iterator[str]:
    """Yield the words that a block shows before anything is asked or turned over."""
    match block:
        case MovesDraft():
            yield from filter(None, (block.title, block.source))
            for ply in plies_of(block.movetext.main):
                for comment in (*ply.comments_before, *ply.comments):
                    yield plain_text(comment.prose)
        case DiagramDraft() if block.caption is not None:
            yield plain_text(block.caption)
        case ClaimsDraft():
            yield from (claim.text for claim in block.claims)
        case ExerciseDraft():
            yield block.task
        case CardsDraft():
            yield from (card.question for card in block.cards)
        case _:
            return
