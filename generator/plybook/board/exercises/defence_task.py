"""The only move against a mate: the threat is there, the answers meet it, nothing else does."""

from __future__ import annotations

import chess

from plybook.board.claims.model import NodesSpentError, Reach, Verdict
from plybook.board.claims.words import say_move
from plybook.board.exchange import with_turn
from plybook.board.exercises.findings import answer_fails, cooked, label, not_settled
from plybook.board.exercises.goals import DefenceGoal
from plybook.board.exercises.model import Finding
from plybook.board.exercises.tasks import Found, Task
from plybook.text.exercise_checks import CheckDefence

__all__ = ["test_defence"]


def test_defence(task: Task, check: CheckDefence, goal: DefenceGoal) -> Found:
    """Return what is found of a task to stop a mate in so many moves."""
    found = Found(Verdict(reach=Reach.NOT_SETTLED))
    try:
        if not _is_threatened(task.start, check, goal):
            found.findings.append(_no_threat(check))
            found.verdict = Verdict(reach=Reach.CANNOT_BE_ASKED, nodes=goal.nodes)
            return found
        is_sound = _test_answers(task, check, goal, found)
        working = task.test_tries(found, goal, does=f"stops mate in {check.moves} too")
        if is_sound:
            _look_for_others(task, check, goal, found, working)
    except NodesSpentError as limit:
        found.findings.append(not_settled(f"which moves stop mate in {check.moves}", limit))
    return found


def _is_threatened(board: chess.Board, check: CheckDefence, goal: DefenceGoal) -> bool:
    """Return whether a mate follows a pass. In check there is no pass, and nothing to test."""
    if board.is_check():
        return True
    turned = with_turn(board, not board.turn)
    return turned is not None and goal.prover.find_mate(turned, check.moves) is not None


def _no_threat(check: CheckDefence) -> Finding:
    return Finding(
        code="answer-fails",
        message=f"no mate in {check.moves} is threatened here",
        notes=("if the side to move passes, it is not mated in so few moves",),
        help=("check the position, or ask for a longer mate",),
    )


def _test_answers(task: Task, check: CheckDefence, goal: DefenceGoal, found: Found) -> bool:
    for place, board, move, made in task.pupil_moves():
        mate = goal.answer_to(board, move, made)
        if mate is not None:
            step = task.accepted.steps[place - 1]
            after = board.copy(stack=False)
            after.push(move)
            found.findings.append(
                answer_fails(
                    board,
                    move,
                    step,
                    does_not=f"stop mate in {check.moves}",
                    notes=[f"`{label(after, mate)}` begins it"],
                )
            )
            found.verdict = Verdict(
                reach=Reach.FALSE, counter=(say_move(after, mate),), nodes=goal.nodes
            )
            task.failed.add(place)
    return not task.failed


def _look_for_others(
    task: Task, check: CheckDefence, goal: DefenceGoal, found: Found, working: set[chess.Move]
) -> None:
    board = task.start
    keys = task.first_moves()
    others = [
        move
        for move in board.legal_moves
        if move not in keys and move not in working and goal.holds(board, move, 0)
    ]
    if others:
        found.findings.append(
            cooked(board, others, does=f"stops mate in {check.moves} too", line=())
        )
    count = board.legal_moves.count()
    words = f"of {count} legal moves {len(keys)} stops mate in {check.moves}"
    if len(keys) > 1:
        words = f"of {count} legal moves {len(keys)} stop mate in {check.moves}"
    found.verdict = Verdict(reach=Reach.PROVED, evidence=(words,), nodes=goal.nodes)
