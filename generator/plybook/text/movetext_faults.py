"""What the movetext reader says of each fault: the message, and what to do.

A key is a diagnostic code, with a word behind `/` where one code has several messages.
"""

from __future__ import annotations

from typing import Final

__all__ = ["WORDS"]

_NOTE_REST: Final = "the rest of the block was not read"

#: Key to message, help and note; `{0}` and `{1}` are filled in.
WORDS: Final[dict[str, tuple[str, str, str]]] = {
    "comment-too-long": (
        "the comment has {0} characters; the limit is {1}",
        "move part of it into the text of the lesson",
        "",
    ),
    "unclosed-comment": ("this comment is never closed", "close it with `}}`", _NOTE_REST),
    "nested-comment": (
        "a `{{` inside a comment",
        "close the comment before it with `}}`, or use ( ) inside the comment",
        "comments do not nest (PGN standard, section 5)",
    ),
    "stray-comment-end": (
        "`}}` closes nothing",
        "delete it, or open the comment with `{{`",
        "",
    ),
    "line-comment": (
        "comments from `;` to the line's end are not used here",
        "write the comment between {{ and }}",
        _NOTE_REST,
    ),
    "escape-line": (
        "lines that begin with `%` are not used here",
        "write a remark between {{ and }}",
        _NOTE_REST,
    ),
    "misplaced-variation": (
        "a variation stands before any move",
        "put it after the move that it replaces",
        "",
    ),
    "variation-too-deep": (
        "variations are nested deeper than {0}",
        "give the inner line a block of its own, `from` a reference",
        "",
    ),
    "stray-variation-end": (
        "`)` closes nothing",
        "delete it, or open the variation with `(`",
        "",
    ),
    "empty-variation": (
        "a variation without a move",
        "write its moves, or use {{ }} for a comment",
        "",
    ),
    "unclosed-variation": (
        "this variation is never closed",
        "close it with `)`",
        "what follows it was not played",
    ),
    "bad-nag": ("`{0}` is not a NAG: they run from $0 to $255", "", ""),
    "bad-nag/glyph": (
        "`{0}` is not one of the six move glyphs",
        "they are ! ? !! ?? !? ?!",
        "",
    ),
    "misplaced-glyph": (
        "`{0}` stands behind no move",
        "put it right after the move it speaks of",
        "",
    ),
    "misplaced-glyph/apart": (
        "`{0}` stands apart from its move",
        "write it right behind the move: `Nf3!`",
        "",
    ),
    "stray-character": (
        "a stray character between the moves: {0}",
        "put an ordinary space there",
        "",
    ),
    "unknown-result": (
        "`{0}` is not a result",
        "results are 1-0, 0-1, 1/2-1/2 and *",
        "",
    ),
    "misplaced-result": (
        "moves follow the result `{0}`",
        "put the result last, or delete it",
        "",
    ),
    "misplaced-result/inside": (
        "`{0}` stands inside a variation",
        "a result ends the whole line; in a variation say it in a comment",
        "",
    ),
    "misplaced-result/second": ("a second result", "keep one", ""),
    "not-canonical": (
        "`{0}` is not written in the notation used here",
        "delete it",
        "en passant is clear from the move itself",
    ),
    "number-form": (
        "`{0}` is not how a move number is written",
        "write `{1}` (one full stop for White, three for Black)",
        "",
    ),
    "dangling-number": (
        "a move number without a move",
        "write the move behind it, or delete the number",
        "",
    ),
    "null-move": (
        "`{0}` would pass; a line holds moves only",
        "to show a threat, end the line and draw `arrow threat`",
        "",
    ),
    "too-many-moves": (
        "more than {0} moves in one block",
        "divide the block; the second part can start `from` a reference",
        "",
    ),
    "empty-block": (
        "a comment, but no move",
        "write the text below the block, outside it",
        "",
    ),
}
