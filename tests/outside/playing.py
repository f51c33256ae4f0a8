"""A movetext played through the text room and the board room, as a lesson's block is."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board import Line, play_line, read_fen
from plybook.diagnostics import Diagnostic, Report, Span
from plybook.text.model import EMPTY_PROSE, Comment, FenText
from plybook.text.movetext import read_movetext
from plybook.text.source import Excerpt, excerpt_of_file

__all__ = ["FILE", "numbered", "play"]

FILE: Final = "lessons/line.md"


def play(
    movetext: str, *, fen: str = chess.STARTING_FEN, report: Report | None = None
) -> tuple[Line, tuple[Diagnostic, ...]]:
    """Return the line of a movetext from `fen`, and all diagnostics in reading order.

    Comments stay unread: their Markdown is no matter of moves.
    """
    report = Report() if report is None else report
    draft = read_movetext(
        excerpt_of_file(FILE, movetext), read_comment=_plain_comment, report=report
    )
    span = Span.of_file(FILE)
    start = read_fen(FenText(fen=fen, span=span), is_partial=False, report=report)
    assert start is not None, report.sorted()
    line = play_line("line", draft, start=start, span=span, report=report)
    return line, report.sorted()


def numbered(words: list[str], *, fen: str = chess.STARTING_FEN) -> str:
    """Return moves with the numbers that movetext needs when they are played from `fen`."""
    fields = fen.split()
    number, is_white = int(fields[5]), fields[1] == "w"
    parts = [] if is_white else [f"{number}..."]
    for word in words:
        if is_white:
            parts.append(f"{number}.")
        parts.append(word)
        number += not is_white
        is_white = not is_white
    return " ".join(parts)


def _plain_comment(excerpt: Excerpt) -> Comment:
    return Comment(text=excerpt.text, prose=EMPTY_PROSE, span=excerpt.span(0, len(excerpt.text)))
