"""The table of diagnostic codes. A code names its fault; it is never renamed and never reused.

Each code has a page of the same name in explain/, whose example is run as a test.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["CODES", "Code"]


@dataclass(frozen=True, slots=True)
class Code:
    """One kind of fault: how much it matters and the room that finds it."""

    severity: Literal["error", "warning"]
    room: Literal["text", "board", "course", "site"]


def _rows(room: Literal["text", "board", "course", "site"], words: str) -> dict[str, Code]:
    """Return the codes of one room; a trailing `?` in the table marks a warning."""
    rows = {}
    for word in words.split():
        name = word.rstrip("?")
        rows[name] = Code("warning" if word.endswith("?") else "error", room)
    return rows


CODES: Final[dict[str, Code]] = {
    # the folder and its files
    **_rows("text", "not-utf8 file-too-large line-too-long control-character unreadable-file"),
    **_rows("text", "bad-file-name duplicate-slug empty-course"),
    # heads and the course file
    **_rows("text", "missing-head unclosed-head head-too-large bad-yaml duplicate-key"),
    **_rows("text", "unknown-key wrong-type bad-value missing-key unknown-letters"),
    # Markdown
    **_rows("text", "unclosed-fence nested-too-deep move-list-item? moves-outside-fence?"),
    **_rows("text", "unknown-block? raw-html? bad-link missing-alt?"),
    # blocks
    **_rows("text", "missing-block-name bad-block-name duplicate-block bad-block-line"),
    **_rows("text", "unknown-role bad-square bad-reference empty-block missing-source?"),
    # what the coach claims
    **_rows("text", "unknown-claim"),
    # movetext, as written
    **_rows("text", "unclosed-comment nested-comment stray-comment-end comment-too-long"),
    **_rows("text", "unclosed-variation stray-variation-end empty-variation"),
    **_rows("text", "misplaced-variation variation-too-deep line-comment escape-line null-move"),
    **_rows("text", "bad-nag misplaced-glyph number-form dangling-number stray-character"),
    **_rows("text", "misplaced-result unknown-result too-many-moves"),
    # movetext, as played
    **_rows("board", "unreadable-move illegal-move ambiguous-move not-canonical"),
    **_rows("board", "foreign-letter look-alike false-check-mark false-mate-mark missing-mark"),
    **_rows("board", "wrong-number missing-number duplicate-variation wrong-result wrong-ending"),
    **_rows("board", "game-over bad-fen impossible-position partial-position"),
    # what the coach draws
    **_rows("board", "false-arrow false-mark"),
    # what the coach claims
    **_rows("board", "false-claim claim-not-askable claim-not-settled? bad-opinions?"),
    # what a pupil is asked
    **_rows("board", "answer-fails exercise-cooked exercise-short exercise-dual? wrong-try-works"),
    **_rows("board", "false-exercise no-claim twin-agrees hint-gives-away? exercise-not-settled?"),
    # how lessons hang together
    **_rows("course", "unknown-line unresolved-reference ambiguous-reference reference-cycle"),
    **_rows("course", "unknown-lesson unknown-principle unknown-level unknown-theme"),
    **_rows("course", "prerequisite-cycle"),
    **_rows("course", "unknown-fact misused-fact tag-contradicts punishes-nothing?"),
    **_rows("course", "contradiction? practised-before-taught?"),
    **_rows("course", "later-prerequisite? lesson-in-two-parts lesson-in-no-part? part-order"),
    **_rows("course", "move-not-in-lesson? ambiguous-mention? broken-link"),
    **_rows("course", "missing-image bad-image"),
    **_rows("course", "positions-changed positions-not-locked? positions-unused? bad-lock"),
    # what must not be published, looked for in the finished pages
    **_rows("site", "withheld-name address-in-text phone-in-text no-day-for-consent?"),
}
