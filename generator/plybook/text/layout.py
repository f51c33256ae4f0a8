"""Movetext set out in one way: the same moves, remarks and brackets, other spaces and line ends."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from plybook.diagnostics import Report, Severity
from plybook.text import tokens
from plybook.text.lesson import read_lesson
from plybook.text.model import MovesDraft

__all__ = ["lay_out_lesson", "lay_out_moves"]

_WIDTH: Final = 96  # columns of a line where its words allow it
_FENCE = re.compile(r"`{3}|~{3}")
_SIGNS: Final = {f"${number}": sign for sign, number in tokens.GLYPHS.items()}


def lay_out_lesson(text: str, *, file: str) -> str:
    """Return a lesson's text with every `moves` block laid out; all else stays as it is.

    A block with a fault is left alone: what is wrong with it must stay where it was reported.
    """
    report = Report()
    draft = read_lesson(text, slug="lesson", file=file, report=report)
    faults = [one.span for one in report if one.severity is Severity.ERROR]
    rows = text.split("\n")
    for block in reversed(draft.blocks):
        if isinstance(block, MovesDraft) and block.movetext.is_whole and block.movetext.main.plies:
            span = block.movetext.main.span
            if not any(span.line <= fault.line <= span.end_line for fault in faults):
                _lay_out_block(rows, block)
    return "\n".join(rows)


def _lay_out_block(rows: list[str], block: MovesDraft) -> None:
    """Lay out the movetext of one block within the rows of its file."""
    span = block.movetext.main.span
    first, last = span.line - 1, span.end_line - 1
    opening = _FENCE.search(rows[block.span.line - 1])
    prefix = opening.start() if opening else 0  # the margin of a list or a quotation around it
    inside = [row[prefix:] for row in rows[first : last + 1]]
    inside[-1] = rows[last][prefix : max(span.end_column - 1, prefix)]
    start = span.column - 1 - prefix  # the span begins where the head of the block ends
    written = "\n".join(inside)[start:]
    body = written.strip()
    skipped = written[: len(written) - len(written.lstrip())].count("\n")
    first += skipped
    last = first + body.count("\n")
    before = rows[first][:prefix]
    rows[first : last + 1] = [f"{before}{row}" for row in lay_out_moves(body).split("\n")]


def lay_out_moves(movetext: str) -> str:
    """Return movetext that has no fault in canonical layout.

    One space between words; a number before each move of White and, for Black, only where it is
    needed; `$1` to `$6` as signs at the move. A remark stays as it is, behind its move. In the main
    line it ends a line, and a variation has lines of its own; moves go on up to 96 columns.
    """
    return "\n".join(_filled(_units(movetext)))


@dataclass(slots=True)
class _Unit:
    """Words that stay on one line, and whether a line ends before or after them."""

    text: str
    begins_line: bool = False
    ends_line: bool = False


def _units(movetext: str) -> Iterator[_Unit]:
    """Yield what is put on lines: a number with its move, a bracket with what it touches."""
    depth = 0
    needs_number = True
    number = ""
    opened = ""  # brackets that stick to the next word
    waiting: _Unit | None = None
    for kind, word in _words(movetext):
        if kind == "open":
            depth += 1
            opened += "("
            needs_number = True
        elif kind == "close":
            depth -= 1
            assert waiting is not None, "a variation holds a move"
            waiting.text += ")"
            waiting.ends_line = waiting.ends_line or depth == 0
            needs_number = True
        elif kind == "number":
            number = word
        elif kind == "sign":
            assert waiting is not None, "a sign stands at a move"
            waiting.text += word if word in tokens.GLYPHS else f" {word}"
        else:
            if kind == "move" and number and (needs_number or not number.endswith("...")):
                word = f"{number} {word}"
            if waiting is not None:
                yield waiting
            is_remark = kind == "comment"
            waiting = _Unit(
                f"{opened}{word}",
                begins_line=bool(opened) and depth == 1,
                ends_line=is_remark and depth == 0,
            )
            opened = ""
            needs_number = is_remark
            number = "" if kind == "move" else number
    if waiting is not None:
        yield waiting


def _words(movetext: str) -> Iterator[tuple[str, str]]:
    """Yield the kind and text of each word: open, close, comment, number, move, sign, result."""
    at = 0
    follows_move = False
    while at < len(movetext):
        found = tokens.TOKEN.match(movetext, at)
        assert found is not None
        at = found.end()
        word, kind = found.group(), found.lastgroup or ""
        if kind == "space":
            continue
        if kind == "nag":
            # A sign sticks to its move; behind a remark or another sign the number stays.
            yield "sign", _SIGNS.get(word, word) if follows_move else word
            follows_move = False
            continue
        if kind != "word":
            yield kind, word
        elif word in tokens.RESULTS:
            yield "result", word
        else:
            number = tokens.NUMBER.match(word)
            if number:
                yield "number", number.group()
                word = word[number.end() :]
            if word:
                yield "move", word
                follows_move = not tokens.GLYPH.search(word)
                continue
        follows_move = False


def _filled(units: Iterator[_Unit]) -> Iterator[str]:
    """Yield lines as full as they may be."""
    row = ""
    ends = False
    for unit in units:
        is_full = len(row.rpartition("\n")[2]) + 1 + len(unit.text.partition("\n")[0]) > _WIDTH
        sticks = unit.text.startswith("{")  # a remark stays with its move
        if row and (ends or unit.begins_line or (is_full and not sticks)):
            yield row
            row = ""
        row = f"{row} {unit.text}" if row else unit.text
        ends = unit.ends_line
    if row:
        yield row
