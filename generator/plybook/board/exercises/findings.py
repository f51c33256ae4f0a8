"""The faults of an exercise, in words: one cause, one finding."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from plybook.board.claims.model import Evidence, NodesSpentError
from plybook.board.claims.words import listed, say_line, say_move, spaced
from plybook.board.exercises.model import Finding
from plybook.board.exercises.question import Step

__all__ = [
    "answer_fails",
    "cooked",
    "label",
    "not_settled",
    "text_of",
    "wrong_try_works",
]


def text_of(evidence: Evidence) -> str:
    """Return evidence as one line of text."""
    return "".join(map(str, evidence))


def label(board: chess.Board, move: chess.Move) -> str:
    """Return a legal move with its number: `4...d5`."""
    return say_move(board, move).label


def answer_fails(
    board: chess.Board, move: chess.Move, step: Step, *, does_not: str, notes: Sequence[str] = ()
) -> Finding:
    """Return the finding on an accepted move that does not do what the check says."""
    return Finding(
        code="answer-fails",
        message=f"`{label(board, move)}` does not {does_not}",
        notes=tuple(note for note in notes if note),
        help=("correct the answer, or the check",),
        about=step.line,
        ply=step.ply,
    )


def cooked(
    board: chess.Board, moves: Sequence[chess.Move], *, does: str, line: Evidence
) -> Finding:
    """Return the finding on a second solution: moves that do it and are not among the answers."""
    others = [say_move(board, move) for move in moves]
    count = len(moves)
    notes = [f"the line: {text_of(line)}"] if line else []
    if count > 1:
        notes.insert(0, f"all of them: {text_of(listed(others))}")
    return Finding(
        code="exercise-cooked",
        message=f"a second solution: `{others[0].label}` {does}",
        notes=tuple(notes),
        help=("add it as an `answer`, or change the position or the check",),
    )


def wrong_try_works(
    board: chess.Board, move: chess.Move, index: int, *, ply: int, does: str, line: Evidence = ()
) -> Finding:
    """Return the finding on a wrong try that does what the check asks."""
    return Finding(
        code="wrong-try-works",
        message=f"`{label(board, move)}` is not wrong: it {does}",
        notes=(f"the line: {text_of(line)}",) if line else (),
        help=("add it as an `answer`, or take it out",),
        about=index,
        ply=ply,
    )


def not_settled(what: str, limit: NodesSpentError) -> Finding:
    """Return the finding on a question that the budget left open."""
    return Finding(
        code="exercise-not-settled",
        message=f"not settled: {what}",
        notes=(f"looked at {limit.nodes:,} positions",),
        help=("lower the depth, add the line that shows it, or write `none because …`",),
    )


def line_of(board: chess.Board, moves: Sequence[chess.Move]) -> Evidence:
    """Return a line in words."""
    return spaced(say_line(board, moves))
