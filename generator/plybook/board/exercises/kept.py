"""What was found of an exercise as text and back: what is read is never trusted for its shape.

A text that does not fit its question in every part is no use: the exercise is looked into anew.
"""

from __future__ import annotations

import json
import re
from typing import Any, Final

import chess

from plybook.board.claims.cache import row_of, verdict_of
from plybook.board.exercises.model import Finding, Judgement
from plybook.board.exercises.question import ExerciseQuestion
from plybook.board.exercises.solve import Looked
from plybook.board.exercises.table import Outcome, Played
from plybook.codes import CODES

__all__ = ["from_text", "to_text"]

_UCI: Final = "[a-h][1-8][a-h][1-8][nbrq]?"
_LETTERS: Final = {Judgement.RIGHT: "r", Judgement.WRONG: "w", Judgement.OTHER: "o"}
_JUDGEMENTS: Final = {letter: judgement for judgement, letter in _LETTERS.items()}
#: One legal move: itself, its judgement, place, wrong try, reply, loss, mate, next turn.
_OUTCOME = re.compile(rf"({_UCI})([rwo])(\d*),(\d*),({_UCI}|),(\d*)(#?),(\d*)")
_MOST: Final = 10**6


def to_text(looked: Looked) -> str:
    """Return what was found as one text."""
    return json.dumps(
        {
            "verdict": row_of(looked.verdict),
            "findings": [
                [one.code, one.message, one.notes, one.help, one.about, one.ply]
                for one in looked.findings
            ],
            "table": [[one.fen, " ".join(map(_word, one.outcomes))] for one in looked.table],
            "nodes": looked.nodes,
        },
        separators=(",", ":"),
    )


def _word(outcome: Outcome) -> str:
    def number(value: int | None) -> str:
        return str(value) if value else "0" if value == 0 else ""

    return (
        f"{outcome.uci}{_LETTERS[outcome.judgement]}{outcome.place or ''},"
        f"{number(outcome.wrong)},{outcome.reply or ''},{outcome.loses or ''}"
        f"{'#' if outcome.is_mated else ''},{number(outcome.next)}"
    )


def from_text(text: str, question: ExerciseQuestion) -> Looked | None:
    """Return what was found, or None where the text does not fit the question."""
    try:
        data = json.loads(text)
        verdict = verdict_of(data["verdict"])
        findings = tuple(_finding(row) for row in data["findings"])
        table = tuple(_played(row, question, len(data["table"])) for row in data["table"])
        nodes = _number(data["nodes"])
    except (KeyError, TypeError, ValueError, RecursionError):
        return None
    if verdict is None or (table and table[0].fen != chess.Board(question.start).fen()):
        return None
    return Looked(verdict=verdict, findings=findings, table=table, nodes=nodes)


def _number(value: Any) -> int:
    if type(value) is not int or not 0 <= value < 10**12:
        raise ValueError(value)
    return value


def _strings(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise ValueError(value)
    return tuple(value)


def _finding(row: Any) -> Finding:
    code, message, notes, helps, about, ply = row
    if code not in CODES:
        raise ValueError(code)
    (message,) = _strings([message])
    return Finding(
        code=code,
        message=message,
        notes=_strings(notes),
        help=_strings(helps),
        about=None if about is None else _number(about),
        ply=_number(ply),
    )


def _played(row: Any, question: ExerciseQuestion, turns: int) -> Played:
    """Return a turn; its moves are the legal ones of its position, and all of them."""
    fen, words = row
    board = chess.Board(fen)
    outcomes = tuple(_outcome(word, board, question, turns) for word in words.split(" ") if word)
    moves = {outcome.uci for outcome in outcomes}
    if len(moves) != len(outcomes) or moves != {move.uci() for move in board.legal_moves}:
        raise ValueError(fen)
    return Played(fen, outcomes)


def _outcome(word: str, board: chess.Board, question: ExerciseQuestion, turns: int) -> Outcome:
    found = _OUTCOME.fullmatch(word)
    if not found:
        raise ValueError(word)
    uci, letter, place, wrong, reply, loses, mated, following = found.groups()
    outcome = Outcome(
        uci,
        _JUDGEMENTS[letter],
        place=int(place or 0),
        wrong=int(wrong) if wrong else None,
        reply=reply or None,
        loses=int(loses or 0),
        is_mated=bool(mated),
        next=int(following) if following else None,
    )
    if outcome.place > len(question.steps) or (outcome.next or 0) >= turns:
        raise ValueError(word)
    if (outcome.wrong or 0) >= max(1, len(question.wrong)) or outcome.loses >= _MOST:
        raise ValueError(word)
    if outcome.wrong is not None and not question.wrong:
        raise ValueError(word)
    if reply:
        after = board.copy(stack=False)
        after.push_uci(uci)
        after.parse_uci(reply)  # raises ValueError for an illegal one
    return outcome
