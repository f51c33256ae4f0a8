"""What only the coach's own edition shows: the notes between the blocks of a lesson."""

from __future__ import annotations

from markupsafe import Markup

from plybook.diagnostics import Report
from plybook.site.pages.hypertext import Hypertext
from plybook.site.wording.prose import render_prose
from plybook.text.markdown import read_prose
from plybook.text.model import CoachDraft
from plybook.text.source import excerpt_of_file

__all__ = ["coach_note"]


def coach_note(block: CoachDraft, text: Hypertext) -> Markup:
    """Return a note as HTML. Its moves are plain text: a note has no place in the lesson's lines.

    A lesson is read without its notes, so that nothing of one can get onto a page by mistake.
    """
    prose, _ = read_prose(
        excerpt_of_file(block.span.file, block.text), has_mentions=False, report=Report()
    )
    said = text.words.say("For the coach alone")
    body = render_prose(prose, text.setting(_no_block))
    return Markup('<aside class="coach" aria-label="{0}"><p class="for">{0}</p>{1}</aside>').format(
        said, body
    )


def _no_block(index: int) -> str:
    """A note holds no block of ours: what looks like one is printed as it stands."""
    raise AssertionError(f"a note has no block {index}")
