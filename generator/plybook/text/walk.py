"""Walking drafts: every ply of a line, every piece of running text of a page."""

from __future__ import annotations

from collections.abc import Iterator

from plybook.text.model import (
    DiagramDraft,
    LessonDraft,
    MovesDraft,
    PlyDraft,
    PrincipleDraft,
    Prose,
    VariationDraft,
)

__all__ = ["plies_of", "proses_of"]


def plies_of(line: VariationDraft) -> Iterator[PlyDraft]:
    """Yield the plies of a line in the order of the movetext, variations included."""
    for ply in line.plies:
        yield ply
        for variation in ply.variations:
            yield from plies_of(variation)


def proses_of(page: LessonDraft | PrincipleDraft) -> Iterator[Prose]:
    """Yield the text of a page, its captions and the comments of its lines."""
    yield page.prose
    if isinstance(page, PrincipleDraft):
        return
    for block in page.blocks:
        if isinstance(block, DiagramDraft) and block.caption is not None:
            yield block.caption
        elif isinstance(block, MovesDraft):
            for ply in plies_of(block.movetext.main):
                for comment in (*ply.comments_before, *ply.comments):
                    yield comment.prose
