"""The fenced blocks of a lesson, read line by line: every line is understood or reported."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from plybook.diagnostics import Report, Span, near_miss, shown
from plybook.text.markdown import Fence, looks_like_moves, read_inline
from plybook.text.model import Comment, Drawing, MovetextDraft, Prose, Reference
from plybook.text.movetext import read_movetext
from plybook.text.references import NAME, read_reference
from plybook.text.source import Excerpt

__all__ = [
    "ARROW_ROLES",
    "MARK_ROLES",
    "WORDS",
    "BlockReader",
    "Row",
    "is_ours",
    "lines_of",
    "row_of",
]

#: The words behind the fence that begin one of our blocks.
WORDS: Final = ("moves", "diagram", "claims", "tags", "exercise", "cards", "coach")

ARROW_ROLES: Final = ("attack", "guard", "pin", "check", "threat", "move", "plan")
MARK_ROLES: Final = ("target", "loose", "hanging", "weak", "safe", "flight")

_SQUARE = re.compile(r"[a-h][1-8]")
_DRAWING = re.compile(r"(arrow|mark)\s+([^\s:]+)\s*:?\s*(.*)")


@dataclass(frozen=True, slots=True)
class Row:
    """One `key: value` line of a block, with the excerpts of both sides."""

    key: str
    value: str
    key_span: Span
    value_text: Excerpt

    @property
    def span(self) -> Span:
        """The span of the value, or of the key when there is none."""
        return self.value_text.span(0, len(self.value_text.text)) if self.value else self.key_span


class BlockReader:
    """What all block readers share: the report, and the small grammars inside a line."""

    def __init__(self, report: Report) -> None:
        self.report = report

    def comment(self, excerpt: Excerpt) -> Comment:
        """Return the text between two braces as a comment."""
        start = len(excerpt.text) - len(excerpt.text.lstrip())
        end = max(len(excerpt.text.rstrip()), start)
        inner = excerpt.part(start, end)
        return Comment(
            text=" ".join(inner.text.split()),
            prose=self.inline(inner),
            span=excerpt.span(0, len(excerpt.text)),
        )

    def inline(self, excerpt: Excerpt) -> Prose:
        """Return inline Markdown."""
        return read_inline(excerpt, report=self.report)

    def movetext(self, excerpt: Excerpt) -> MovetextDraft:
        """Return movetext."""
        return read_movetext(excerpt, read_comment=self.comment, report=self.report)

    def reference(self, text: str, span: Span) -> Reference | None:
        """Return a reference, or None after a report."""
        return read_reference(text, span=span, report=self.report)

    def rows(
        self, excerpt: Excerpt, known: tuple[str, ...], *, repeated: tuple[str, ...] = ()
    ) -> Iterator[Row]:
        """Yield the `key: value` lines of an excerpt; others, and repeated keys, are reported.

        An indented line goes on with the value above it. A key that ends in a space stands for
        every key that begins with it.
        """
        seen: dict[str, Row] = {}
        for start, text in _logical_lines(excerpt):
            key = text.partition(":")[0].strip() if ":" in text else ""
            if not any(key == word or (word[-1] == " " and key.startswith(word)) for word in known):
                self._unknown_row(excerpt.part(start, start + len(text)), key, known)
                continue
            row = row_of(excerpt, start, text)
            if key in seen and key not in repeated and not key.startswith(repeated or ("\n",)):
                self.report.add(
                    "duplicate-key",
                    row.key_span,
                    f"`{key}` is already given on line {seen[key].key_span.line}",
                    help="keep one of them",
                )
                continue
            seen[key] = row
            yield row

    def _unknown_row(self, line: Excerpt, key: str, known: tuple[str, ...]) -> None:
        words = [word.strip() for word in known]
        near = near_miss(key, words) if key else None
        self.unknown_line(
            line,
            help=f"did you mean `{near}:`?" if near else f"lines here: {', '.join(words)}",
        )

    def unknown_line(self, line: Excerpt, *, help: str) -> None:
        """Report a line that belongs to no grammar of its block."""
        text = line.text.strip()
        at = line.text.find(text)
        self.report.add(
            "bad-block-line",
            line.span(at, at + len(text)),
            f"`{shown(text)}` is not a line of this block",
            help=help,
        )

    def choice(self, row: Row, choices: tuple[str, ...]) -> str | None:
        """Return a value that must be one of a few words."""
        if row.value in choices:
            return row.value
        near = near_miss(row.value, choices)
        self.report.add(
            "bad-value",
            row.span,
            f"`{row.key}` is {' or '.join(choices)}, not `{shown(row.value)}`",
            help=f"did you mean `{near}`?" if near else (),
        )
        return None

    def drawings(self, line: Excerpt) -> tuple[Drawing, ...] | None:
        """Return the drawings of `arrow ROLE squares` or `mark ROLE squares`; None if it is none.

        Several arrows of one role are separated by commas; several marks by spaces or commas.
        """
        found = _DRAWING.fullmatch(line.text.strip())
        if not found:
            return None
        is_arrow, role = found[1] == "arrow", found[2]
        roles = ARROW_ROLES if is_arrow else MARK_ROLES
        offset = line.text.find(line.text.strip())
        if role not in roles:
            near = near_miss(role, roles)
            at = offset + found.start(2)
            self.report.add(
                "unknown-role",
                line.span(at, at + len(role)),
                f"`{shown(role)}` is no role of {'an arrow' if is_arrow else 'a mark'}",
                help=f"did you mean `{near}`?" if near else f"roles: {', '.join(roles)}",
            )
            return ()
        start = offset + found.start(3)
        return self._squares(line.part(start, start + len(found[3])), is_arrow, role)

    def _squares(self, excerpt: Excerpt, is_arrow: bool, role: str) -> tuple[Drawing, ...]:
        wanted = 3 if role == "pin" else 2 if is_arrow else 1
        drawings = []
        groups = re.finditer(r"[^,]+" if is_arrow else r"[^,\s]+", excerpt.text)
        for group in groups:
            squares = group[0].replace("-", " ").split()
            start = group.start() + len(group[0]) - len(group[0].lstrip())
            span = excerpt.span(start, group.start() + len(group[0].rstrip()))
            bad = [square for square in squares if not _SQUARE.fullmatch(square)]
            if bad:
                at = excerpt.text.find(bad[0], group.start())
                span = excerpt.span(at, at + len(bad[0]))
            if bad or len(squares) != wanted or len(set(squares)) != len(squares):
                self.report.add(
                    "bad-square",
                    span,
                    f"`{shown(group[0].strip())}`: "
                    + (
                        f"`{shown(bad[0])}` is not a square"
                        if bad
                        else f"{'an arrow' if is_arrow else 'a mark'} {role} takes {_count(wanted)}"
                    ),
                    help=_SQUARE_HELP[wanted],
                )
                continue
            drawings.append(
                Drawing(is_arrow=is_arrow, role=role, squares=tuple(squares), span=span)
            )
        if not excerpt.text.strip():
            self.report.add(
                "bad-square",
                excerpt.span(0, 0),
                f"{'arrow' if is_arrow else 'mark'} {role} without a square",
                help=_SQUARE_HELP[wanted],
            )
        return tuple(drawings)

    def name(self, fence: Fence, what: str) -> str | None:
        """Return the name behind the fence's word, or None after a report."""
        if not fence.argument:
            self.report.add(
                "missing-block-name",
                fence.span,
                f"this {what} block has no name",
                help=f"write ```{fence.word} NAME (small letters, digits, hyphens)",
            )
            return None
        if not re.fullmatch(NAME, fence.argument):
            self.report.add(
                "bad-block-name",
                fence.argument_span,
                f"`{shown(fence.argument)}` is no name for a block",
                help="use small letters a-z, digits and hyphens: `early-queen`",
            )
            return None
        return fence.argument


def row_of(excerpt: Excerpt, start: int, text: str) -> Row:
    """Return a line with a colon as a row."""
    key, _, raw = text.partition(":")
    value = " ".join(raw.split())
    key_at = start + len(key) - len(key.lstrip())
    value_at = start + len(key) + 1 + len(raw) - len(raw.lstrip())
    return Row(
        key=key.strip(),
        value=value,
        key_span=excerpt.span(key_at, key_at + len(key.strip())),
        value_text=excerpt.part(value_at, value_at + len(raw.strip())),
    )


def lines_of(excerpt: Excerpt) -> Iterator[tuple[int, str]]:
    """Yield the lines that are not blank, with their offsets."""
    at = 0
    for text in excerpt.text.split("\n"):
        if text.strip():
            yield at, text
        at += len(text) + 1


def _logical_lines(excerpt: Excerpt) -> Iterator[tuple[int, str]]:
    """Yield lines with the indented lines that continue them."""
    start: int | None = None
    end = 0
    for at, text in lines_of(excerpt):
        if start is not None and text[0] in " \t":
            end = at + len(text)
            continue
        if start is not None:
            yield start, excerpt.text[start:end]
        start, end = at, at + len(text)
    if start is not None:
        yield start, excerpt.text[start:end]


def _count(squares: int) -> str:
    return {1: "one square", 2: "two squares", 3: "three squares"}[squares]


_SQUARE_HELP: Final = {
    1: "write squares with spaces between them: `g4 h5`",
    2: "write from and to: `c4 f7`; more arrows after a comma",
    3: "write the pinner, the pinned man and the man behind it: `g4 f3 d1`",
}


def is_ours(fence: Fence, report: Report) -> bool:
    """Return whether a fence is one of our blocks; near misses and stray moves are reported."""
    if fence.word in WORDS:
        return True
    near = near_miss(fence.word, WORDS) if fence.word else None
    if near:
        report.add(
            "unknown-block",
            fence.span,
            f"`{shown(fence.word)}` begins no block known here, so it is printed as it stands",
            help=f"did you mean `{near}`?",
        )
    elif looks_like_moves(fence.body.text):
        report.add(
            "moves-outside-fence",
            fence.span,
            "these moves are not in a `moves` block, so nobody plays them",
            help="begin the block with a line ```moves NAME",
        )
    return False
