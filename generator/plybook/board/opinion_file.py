"""Opinions on record: one text file in the course folder that a coach can read and commit.

What is read is never trusted for its shape: an entry whose fields do not fit or whose moves are
not legal in its position is left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import chess

from plybook.board.opinion import MOST_MOVES, Doubt, Opinion, is_plain, opinion_of
from plybook.diagnostics import Report, Span, UsageError, shown
from plybook.files import write_whole
from plybook.text.source import read_text

__all__ = ["read_opinions", "write_opinions"]

_FORMAT: Final = 1
_SIZE_LIMIT: Final = 4 * 1024 * 1024  # bytes of a file that is read
_LONGEST: Final = 2_000  # characters of a text
_SCORE = re.compile(r"[+-][0-9]{1,4}\.[0-9]|0\.0|mated? in [0-9]{1,3}")
_NUMBER = re.compile(r"[0-9]{1,4}\.(?:\.\.)?")
_FIELDS: Final = ("position", "question", "engine", "score", "line", "nodes")


def read_opinions(path: Path, *, report: Report) -> dict[Doubt, Opinion]:
    """Return the opinions of a file, none where there is no file.

    What does not fit is left out, and that is reported once: the file may have been edited, or
    badly joined with another version.
    """
    if not path.exists():
        return {}
    text = read_text(path, file=path.name, limit=_SIZE_LIMIT, report=report)
    if text is None:
        return {}
    span = Span.of_file(path.name)
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        place = Span(path.name, error.lineno, error.colno, error.lineno, error.colno)
        _refuse(place, f"no JSON text: {error.msg}", report)
        return {}
    except RecursionError:
        _refuse(span, "no JSON text: too deep", report)
        return {}
    rows = data.get("opinions") if isinstance(data, dict) else None
    if not isinstance(rows, list) or data.get("version") != _FORMAT:
        _refuse(span, "not written by this version of plybook", report)
        return {}
    found = [_entry_of(row) for row in rows]
    if None in found:
        _refuse(span, f"entry {found.index(None) + 1} does not fit its position", report)
    return dict(entry for entry in found if entry is not None)


def _refuse(span: Span, fault: str, report: Report) -> None:
    report.add(
        "bad-opinions",
        span,
        f"cannot read `{shown(span.file)}`: {fault}",
        help="delete it, and let `plybook check --engine PATH` write it anew",
    )


def write_opinions(path: Path, opinions: Mapping[Doubt, Opinion]) -> None:
    """Write the file anew, whole or not at all, ordered by position and question.

    Without opinions no file is made where there is none. Raises UsageError.
    """
    if not opinions and not path.exists():
        return
    order = sorted(opinions, key=lambda doubt: (doubt.position, doubt.question))
    document = {"version": _FORMAT, "opinions": [_row_of(one, opinions[one]) for one in order]}
    text = json.dumps(document, ensure_ascii=False, indent=2) + "\n"
    try:
        write_whole(path, text.encode("utf-8"))
    except OSError as error:
        raise UsageError(f"cannot write {path}: {error.strerror}") from error


def _row_of(doubt: Doubt, opinion: Opinion) -> dict[str, Any]:
    return {
        "position": doubt.position,
        "question": doubt.question,
        "engine": opinion.engine,
        "nodes": opinion.nodes,
        "score": opinion.score,
        "line": opinion.line_text,
    }


def _entry_of(row: Any) -> tuple[Doubt, Opinion] | None:
    """Return a row as a doubt and its opinion, or None where anything in it does not fit."""
    if not isinstance(row, dict) or sorted(row) != sorted(_FIELDS):
        return None
    nodes = row["nodes"]
    if type(nodes) is not int or not 0 < nodes < 10**12:
        return None
    texts = [row[name] for name in _FIELDS if name != "nodes"]
    if not all(isinstance(text, str) and len(text) <= _LONGEST for text in texts):
        return None
    position, question, engine, score, line = texts
    if not (_SCORE.fullmatch(score) and is_plain(engine)):
        return None
    try:
        board = chess.Board(position)
        moves = _moves_of(line, board)
    except ValueError:
        return None
    if len(moves) > MOST_MOVES:
        return None
    doubt = Doubt(position=position, question=question)
    return doubt, opinion_of(board, engine=engine, nodes=nodes, score=score, moves=moves)


def _moves_of(line: str, board: chess.Board) -> list[chess.Move]:
    """Return the moves of a line as it is written here. Raises ValueError for any other text."""
    trial = board.copy(stack=False)
    return [trial.push_san(_NUMBER.sub("", word, count=1)) for word in line.split(" ")]
