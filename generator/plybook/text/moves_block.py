"""The `moves` block: a head of `key: value` lines, a blank line, then movetext."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from plybook.diagnostics import Span, shown
from plybook.text.blocks import BlockReader, Row
from plybook.text.markdown import Fence
from plybook.text.model import (
    FenText,
    MovesDraft,
    PlacedDrawings,
    Reference,
)
from plybook.text.notation import letter_set
from plybook.text.references import read_step
from plybook.text.source import Excerpt

__all__ = ["divide_block", "read_fen_text", "read_moves"]

_KEYS: Final = ("title", "from", "view", "source", "ends", "partial", "letters", "at ")
_MOVES_LINE = re.compile(r"^[ \t]*[0-9]+\.[^:\n]*$", re.M)
_HEAD_LINE = re.compile(r"[ \t]*[A-Za-z_-]{2,}(?:[ \t][^:\n]*)?:")


@dataclass(slots=True)
class _Head:
    title: str | None = None
    start: Reference | FenText | None = None
    view: str | None = None
    source: str | None = None
    ends: FenText | None = None
    is_partial: bool = False
    letters: str | None = None
    drawings: list[PlacedDrawings] = field(default_factory=list)


def read_moves(fence: Fence, reader: BlockReader) -> MovesDraft | None:
    """Return a `moves` block, or None when it has no usable name."""
    name = reader.name(fence, "moves")
    head_text, moves_text = divide_block(fence.body, reader)
    head = _Head()
    for row in reader.rows(head_text, _KEYS, repeated=("at ",)):
        _read_row(row, head, name or "line", reader)
    movetext = reader.movetext(moves_text)
    if name is None:
        return None
    is_bare = not moves_text.text.strip() or movetext.result is not None
    if is_bare and not movetext.main.plies and head.start is None and fence.is_closed:
        reader.report.add(
            "empty-block",
            fence.span,
            f"the block `{name}` has no moves",
            help="write the moves after a blank line; a board alone needs `from: fen …`",
        )
    if movetext.result not in {None, "*"} and head.source is None:
        reader.report.add(
            "missing-source",
            movetext.result_span or fence.span,
            "a game with a result, but no source",
            help="add `source:` with players, place and year; leave the result out for your own",
        )
    return MovesDraft(
        name=name,
        title=head.title,
        start=head.start,
        view=head.view,
        source=head.source,
        ends=head.ends,
        is_partial=head.is_partial,
        letters=head.letters,
        drawings=tuple(head.drawings),
        movetext=movetext,
        span=fence.span,
    )


def divide_block(body: Excerpt, reader: BlockReader) -> tuple[Excerpt, Excerpt]:
    """Return head and movetext. A block without a head begins with its moves."""
    text = body.text
    lead = len(text) - len(text.lstrip("\n"))
    if not _HEAD_LINE.match(text, lead):
        return body.part(0, 0), body
    blank = re.search(r"\n[ \t]*\n", text[lead:])
    end = lead + blank.start() if blank else len(text)
    moves = _MOVES_LINE.search(text, lead, end)
    if moves is None:
        return body.part(lead, end), body.part(end, len(text))
    reader.report.add(
        "bad-block-line",
        body.span(moves.start(), moves.end()),
        "the moves begin right below the head",
        help="leave an empty line above them",
    )
    return body.part(lead, moves.start()), body.part(moves.start(), len(text))


def _read_row(row: Row, head: _Head, name: str, reader: BlockReader) -> None:
    if row.key.startswith("at "):
        _read_drawings(row, head, name, reader)
        return
    if not row.value:
        reader.report.add("bad-value", row.span, f"`{row.key}:` has no value")
        return
    match row.key:
        case "title":
            head.title = row.value
        case "source":
            head.source = row.value
        case "letters":
            head.letters = letter_set(row.value, span=row.span, report=reader.report)
        case "view":
            head.view = reader.choice(row, ("white", "black"))
        case "partial":
            head.is_partial = reader.choice(row, ("true", "false")) == "true"
        case "ends":
            head.ends = read_fen_text(row.value, row.value_text)
        case "from":
            head.start = _read_start(row, reader)


def _read_start(row: Row, reader: BlockReader) -> Reference | FenText | None:
    if row.value == "start":
        return None
    if row.value.lower().startswith("fen ") or row.value.count("/") == 7:
        return read_fen_text(row.value, row.value_text)
    return reader.reference(row.value, row.span)


def read_fen_text(value: str, excerpt: Excerpt) -> FenText:
    """Return a FEN with its span; the word `fen` before it is optional."""
    fen = re.sub(r"^[Ff][Ee][Nn]\s+", "", value)
    at = excerpt.text.find(fen.split()[0]) if fen.split() else 0
    return FenText(fen=fen, span=excerpt.span(max(at, 0), len(excerpt.text)))


def _read_drawings(row: Row, head: _Head, name: str, reader: BlockReader) -> None:
    place = _read_place(row.key.removeprefix("at ").strip(), row.key_span, name, reader)
    drawings = reader.drawings(row.value_text)
    if drawings is None:
        reader.unknown_line(
            row.value_text,
            help="write `at 4...g6: arrow attack c4 f7` or `at 4...g6: mark loose g4`",
        )
    elif place is not None and drawings:
        head.drawings.append(PlacedDrawings(place=place, drawings=drawings))


def _read_place(text: str, span: Span, name: str, reader: BlockReader) -> Reference | None:
    """Return the place of an `at` line: a move of this block, `start` or `end`."""
    if text in {"start", "end"}:
        return Reference(lesson=None, line=name, edge=text, span=span)
    steps = [read_step(piece.strip()) for piece in text.split(">")]
    good = [step for step in steps if step is not None]
    if len(good) != len(steps):
        reader.report.add(
            "bad-reference",
            span,
            f"`{shown(text)}` is not a numbered move of this line",
            help="write `at 4...g6: …`, `at start: …` or `at end: …`",
        )
        return None
    return Reference(lesson=None, line=name, edge=None, steps=tuple(good), span=span)
