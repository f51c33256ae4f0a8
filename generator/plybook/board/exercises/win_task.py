"""Wins so much: the answers do, to the depth or by the lines given; no other move does.

The others are first tried to a small depth, where most fail or show that they win; then to the
depth of the check, as far as the budget goes.
"""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.claims.model import Budget, NodesSpentError, Reach, Verdict
from plybook.board.claims.question import Question
from plybook.board.claims.settle import settle_question
from plybook.board.claims.words import say
from plybook.board.exercises.findings import answer_fails, cooked, not_settled
from plybook.board.exercises.goals import WinGoal
from plybook.board.exercises.model import Finding
from plybook.board.exercises.tasks import Found, Task
from plybook.diagnostics import Span
from plybook.text.claim_model import MoveWord, Wins
from plybook.text.exercise_checks import CheckWin

__all__ = ["test_win"]

_FIRST_DEPTH: Final = 3  # plies that the other moves are searched at first
_OTHERS: Final = 600_000  # positions for all the other moves together
_NOWHERE: Final = Span.of_file("")


def test_win(task: Task, check: CheckWin, goal: WinGoal, budget: Budget) -> Found:
    """Return what is found of a task to win material."""
    found = Found(Verdict(reach=Reach.NOT_SETTLED))
    try:
        is_sound = _test_answers(task, check, goal, budget, found)
    except NodesSpentError as limit:
        found.findings.append(not_settled("whether the answer wins as much", limit))
        is_sound = False
    does = f"wins {_points(check)} or more, depth {check.depth}"
    goal.allow(_OTHERS)
    working = task.test_tries(found, goal, does=does)
    if is_sound:
        _look_for_cooks(task, check, goal, found, working)
    return found


def _test_answers(task: Task, check: CheckWin, goal: WinGoal, budget: Budget, found: Found) -> bool:
    """Test every accepted move; return whether all do what is asked."""
    for place, board, move, made in task.pupil_moves():
        goal.allow(budget.search_nodes)
        step = task.accepted.steps[place - 1]
        verdict = _test_answer(check, goal, board, move)
        if verdict is None:
            found.findings.append(
                answer_fails(
                    board,
                    move,
                    step,
                    does_not=f"win {_points(check)}, depth {check.depth}"
                    if not made
                    else f"keep the {_points(check)} won, depth {check.depth}",
                    notes=[_why(check, board, move, budget)] if not made else [],
                )
            )
            if not made and move == task.first_moves()[0]:
                found.verdict = Verdict(reach=Reach.FALSE, nodes=goal.nodes)
            task.failed.add(place)
        elif found.verdict.reach is Reach.NOT_SETTLED:
            found.verdict = verdict
    return not task.failed


def _test_answer(
    check: CheckWin, goal: WinGoal, board: chess.Board, move: chess.Move
) -> Verdict | None:
    """Return the verdict on a move that wins as much, by search or by the lines; None: it fails."""
    spent: NodesSpentError | None = None
    try:
        if goal.holds_to(board, move, check.depth):
            words = f"after each reply the win is {_points(check)} or more"
            return Verdict(
                reach=Reach.HOLDS, depth=check.depth, evidence=(words,), nodes=goal.nodes
            )
    except NodesSpentError as limit:
        spent = limit
    cover = goal.holds_by_lines(board, move)
    if cover is not None and not cover.gaps:
        words = f"{cover.replies} replies answered, {cover.searched} of them by search"
        depth = max(cover.depth + 1, 1)
        return Verdict(reach=Reach.HOLDS, depth=depth, evidence=(words,), nodes=goal.nodes)
    if spent is not None:
        raise spent
    return None


def _points(check: CheckWin) -> str:
    return f"{check.worth} point{'' if check.worth == 1 else 's'}"


def _why(check: CheckWin, board: chess.Board, move: chess.Move, budget: Budget) -> str:
    """Return the words of the claim prover on a move that does not win as much."""
    word = MoveWord(san=board.san(move), number=None, mover=None, span=_NOWHERE)
    claim = Wins(move=word, worth=check.worth, depth=check.depth, span=_NOWHERE)
    return settle_question(Question(claim=claim, start=board.fen(), played=()), budget).text


def _look_for_cooks(
    task: Task, check: CheckWin, goal: WinGoal, found: Found, working: set[chess.Move]
) -> None:
    board = task.start
    keys = task.first_moves()
    others = [move for move in board.legal_moves if move not in keys and move not in working]
    goal.allow(_OTHERS)
    reached = 0
    cooks: list[chess.Move] = []
    try:
        for depth in sorted({min(_FIRST_DEPTH, check.depth), check.depth}):
            cooks = [move for move in others if goal.holds_to(board, move, depth)]
            reached = depth
            if cooks and depth < check.depth:
                cooks = [move for move in cooks if goal.holds_to(board, move, check.depth)]
            if cooks:
                break
    except NodesSpentError as limit:
        found.findings.append(_open(check, reached, limit))
    if cooks and reached:
        found.findings.append(
            cooked(board, cooks, does=f"wins {_points(check)} too, depth {check.depth}", line=())
        )
        return
    if reached and not working:
        count = len(others)
        words = f"no second solution among {count} other moves to depth {reached}"
        found.verdict = Verdict(
            reach=found.verdict.reach,
            depth=found.verdict.depth,
            evidence=say(found.verdict.evidence, "; ", words),
            nodes=goal.nodes,
        )


def _open(check: CheckWin, reached: int, limit: NodesSpentError) -> Finding:
    what = f"a second solution beyond depth {reached}" if reached else "a second solution"
    finding = not_settled(what, limit)
    if reached:
        words = f"no second solution to depth {reached}; depth {check.depth} is not settled"
        return Finding(
            code=finding.code,
            message=finding.message,
            notes=(words, *finding.notes),
            help=finding.help,
        )
    return finding
