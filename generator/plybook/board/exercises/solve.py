"""One exercise, looked into: the verdict on its answer, its faults, its table."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from plybook.board.claims.model import Budget, Reach, Verdict
from plybook.board.exercises.defence_task import test_defence
from plybook.board.exercises.goals import (
    DefenceGoal,
    Goal,
    MateGoal,
    WinGoal,
    goal_of,
)
from plybook.board.exercises.mate_task import test_mate
from plybook.board.exercises.model import Finding
from plybook.board.exercises.question import ExerciseQuestion
from plybook.board.exercises.table import Played, make_table
from plybook.board.exercises.tasks import Found, Task
from plybook.board.exercises.truth_task import test_truth
from plybook.board.exercises.twins import test_twin
from plybook.board.exercises.win_task import test_win
from plybook.text.exercise_checks import (
    CheckDefence,
    CheckJudged,
    CheckMate,
    CheckTruth,
    CheckWin,
)

__all__ = ["Looked", "look_into"]

_TABLE: Final = 300_000  # positions looked at for ways to win beside the coach's

_NO_MOVES: Final = Finding(
    code="answer-fails",
    message="the check asks for moves, and the answer has none",
    help=("write the answer as moves: `answer: 6. Nxe5`",),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What has been found of an exercise, with moves as UCI: what is kept from run to run."""

    verdict: Verdict
    findings: tuple[Finding, ...]
    table: tuple[Played, ...]
    nodes: int


def look_into(question: ExerciseQuestion, budget: Budget) -> Looked:
    """Return what there is to find. It depends on the question and the budget alone."""
    task = Task(question)
    goal = goal_of(question, task.start, budget=budget)
    found = _found(task, goal, budget)
    findings = (*found.findings, *test_twin(task, budget))
    table: tuple[Played, ...] = ()
    if question.steps and not isinstance(question.check, CheckTruth):
        if isinstance(goal, WinGoal):
            goal.allow(_TABLE)
        table = make_table(question, goal)
    nodes = goal.nodes or found.verdict.nodes
    return Looked(
        verdict=replace(found.verdict, nodes=nodes), findings=findings, table=table, nodes=nodes
    )


def _found(task: Task, goal: Goal, budget: Budget) -> Found:
    check = task.question.check
    if not task.question.steps and not isinstance(check, CheckTruth | CheckJudged):
        return Found(Verdict(reach=Reach.CANNOT_BE_ASKED), [_NO_MOVES])
    match check:
        case CheckTruth():
            return test_truth(task, check, budget)
        case CheckJudged():
            found = Found(Verdict(reach=Reach.COACHS_WORD, evidence=(check.reason,)))
            list(task.tries(found))
            return found
        case CheckMate() if isinstance(goal, MateGoal):
            return test_mate(task, check, goal)
        case CheckWin() if isinstance(goal, WinGoal):
            return test_win(task, check, goal, budget)
        case CheckDefence() if isinstance(goal, DefenceGoal):
            return test_defence(task, check, goal)
    raise TypeError(f"no test for {check}")
