"""Exercises: sound or not, and the table by which a page knows every move that may be tried."""

from plybook.board.exercises.hints import gives_away
from plybook.board.exercises.model import (
    Choice,
    Finding,
    Judgement,
    Refusal,
    RefusalKind,
    Solved,
    Tried,
    Turn,
)
from plybook.board.exercises.question import ExerciseRequest
from plybook.board.exercises.settle import settle_exercises

__all__ = [
    "Choice",
    "ExerciseRequest",
    "Finding",
    "Judgement",
    "Refusal",
    "RefusalKind",
    "Solved",
    "Tried",
    "Turn",
    "gives_away",
    "settle_exercises",
]
