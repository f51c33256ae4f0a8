"""Twins: the same question at a position that looks alike must have another answer."""

from __future__ import annotations

import chess

from plybook.board.claims.model import Budget, NodesSpentError, Reach
from plybook.board.claims.settle import settle_question
from plybook.board.exercises.findings import label, not_settled
from plybook.board.exercises.goals import Goal, goal_of
from plybook.board.exercises.model import Finding
from plybook.board.exercises.tasks import Task
from plybook.board.exercises.truth_task import is_open
from plybook.text.exercise_checks import CheckJudged, CheckTruth

__all__ = ["test_twin"]


def test_twin(task: Task, budget: Budget) -> list[Finding]:
    """Return the finding on a twin that has the same answer; none where there is no twin."""
    question = task.question
    if question.twin is None or isinstance(question.check, CheckJudged):
        return []
    if isinstance(question.check, CheckTruth):
        return _claim_at_twin(task, budget)
    twin = chess.Board(question.twin)
    goal = goal_of(question, twin, budget=budget)
    for key in task.first_moves():
        if twin.turn == task.start.turn and twin.is_legal(key):
            found = _move_at_twin(goal, twin, key)
            if found is not None:
                return [found]
    return []


def _move_at_twin(goal: Goal, twin: chess.Board, key: chess.Move) -> Finding | None:
    try:
        works = goal.holds(twin, key, 0)
    except NodesSpentError as limit:
        return not_settled(f"whether `{label(twin, key)}` fails at the twin", limit)
    if not works:
        return None
    return Finding(
        code="twin-agrees",
        message=f"`{label(twin, key)}` does the same at the twin",
        help=("choose a twin where it fails",),
    )


def _claim_at_twin(task: Task, budget: Budget) -> list[Finding]:
    """Return the finding on a claim with the same verdict at the twin.

    A claim that is true here has another one where it cannot be asked, its move being illegal.
    """
    here, there = task.question.claim, task.question.claim_at_twin
    if here is None or there is None:
        return []
    first, second = settle_question(here, budget), settle_question(there, budget)
    if is_open(here, first) or is_open(there, second) or first.reach is Reach.CANNOT_BE_ASKED:
        return []  # that is reported of the exercise itself, or there is nothing to compare
    if second.reach is Reach.CANNOT_BE_ASKED and not first.reach.is_good:
        message = "the question has no meaning at the twin"
    elif first.reach.is_good == second.reach.is_good:
        message = f"the answer is the same at the twin: {str(first.reach.is_good).lower()}"
    else:
        return []
    return [
        Finding(
            code="twin-agrees",
            message=message,
            notes=(second.text,) if second.text else (),
            help=("choose a twin with the other answer",),
        )
    ]
