"""Movetext set out in one way: the same moves, remarks and brackets, other spaces and line ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from plybook.diagnostics import Report
from plybook.text import tokens
from plybook.text.blocks import BlockReader
from plybook.text.lesson import divide_page, read_lesson
from plybook.text.markdown import read_prose
from plybook.text.model import MovesDraft, VariationDraft
from plybook.text.moves_block import divide_block
from plybook.text.source import Excerpt

__all__ = ["lay_out_lesson", "lay_out_moves"]

_WIDTH: Final = 96  # columns of a line where its words allow it
_SIGNS: Final = {f"${number}": sign for sign, number in tokens.GLYPHS.items()}


def lay_out_lesson(text: str, *, file: str) -> str:
    """Return a lesson's text with every `moves` block laid out; all else stays as it is.

    A block with a fault is left alone: what is wrong with it must stay where it was reported. So
    is one whose new layout would not be read as the same moves, signs and remarks.
    """
    rows = text.split("\n")
    for written in reversed(_movetexts(text, file)):  # the last first: its rows move no others
        before = list(rows)
        _lay_out_rows(rows, written)
        if _said(rows, file) != _said(before, file):
            rows = before
    return "\n".join(rows)


def _movetexts(text: str, file: str) -> list[Excerpt]:
    """Return the movetext of every `moves` block that holds no fault, in order."""
    report = Report()
    _, body = divide_page(text, file=file, report=report)
    if body is None:
        return []
    _, fences = read_prose(body, has_mentions=False, report=report)
    found = []
    for fence in fences:
        if fence.word == "moves" and fence.is_closed:
            reader = BlockReader(Report())
            _, written = divide_block(fence.body, reader)
            moves = reader.movetext(written)
            if moves.is_whole and moves.main.plies and not reader.report.errors:
                found.append(written)
    return found


def _lay_out_rows(rows: list[str], written: Excerpt) -> None:
    """Put new layout in place of movetext; each row keeps the margin that the first one has."""
    body = written.text.strip()
    start = written.text.index(body)
    line, _ = written.place(start)
    last, _ = written.place(start + len(body))
    margin = rows[line - 1][: written.origins[written.text.count("\n", 0, start)][1] - 1]
    rows[line - 1 : last] = [margin + row for row in lay_out_moves(body).split("\n")]


def _said(rows: list[str], file: str) -> tuple[object, ...]:
    """Return what a lesson says in its blocks, and its faults, wherever they stand."""
    report = Report()
    draft = read_lesson("\n".join(rows), slug="lesson", file=file, report=report)
    blocks = [
        (block.name, block.movetext.result, _tree(block.movetext.main))
        if isinstance(block, MovesDraft)
        else type(block)
        for block in draft.blocks
    ]
    return blocks, sorted((one.code, one.message) for one in report)


def _tree(line: VariationDraft) -> tuple[object, ...]:
    return tuple(
        (
            ply.text,
            ply.nags,
            tuple(comment.text for comment in ply.comments_before),
            tuple(comment.text for comment in ply.comments),
            tuple(map(_tree, ply.variations)),
        )
        for ply in line.plies
    )


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
