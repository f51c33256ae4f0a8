"""Mate in n: the answer mates, not sooner; no other move does; where more than one way goes on.

Terms of problem chess: a cook is another first move that solves too; a dual, more than one way to
go on at a later move; a short solution is quicker than asked for.
"""

from __future__ import annotations

from functools import partial
from typing import Final

import chess

from plybook.board.claims.mating import judge_mate
from plybook.board.claims.model import NodesSpentError, Reach, Verdict
from plybook.board.claims.words import listed, say, say_line, say_move, spaced
from plybook.board.exercises.findings import (
    answer_fails,
    cooked,
    label,
    line_of,
    not_settled,
    text_of,
)
from plybook.board.exercises.goals import MateGoal
from plybook.board.exercises.model import Finding
from plybook.board.exercises.tasks import Found, Task, Try
from plybook.text.exercise_checks import CheckMate

__all__ = ["test_mate"]

_NAMED: Final = 4  # duals that a finding names


def test_mate(task: Task, check: CheckMate, goal: MateGoal) -> Found:
    """Return what is found of a mate in so many moves."""
    does = f"mates in {check.moves}"
    try:
        found = Found(judge_mate(task.start, task.first_moves()[0], check.moves, goal.prover))
        _test_answers(task, check, goal, found)
    except NodesSpentError as limit:
        finding = not_settled(f"whether the answer {does}", limit)
        return Found(Verdict(reach=Reach.NOT_SETTLED, nodes=goal.nodes), [finding])
    working = task.test_tries(found, goal, does=does, line=partial(_line_of_try, goal))
    if any(finding.code in ("answer-fails", "exercise-short") for finding in found.findings):
        return found
    try:
        if _is_short(task, check, goal, found):
            return found
        if check.is_only:
            _look_for_cooks(task, check, goal, found, working)
    except NodesSpentError as limit:
        found.findings.append(not_settled(f"whether another move {does}", limit))
        return found
    if check.is_only and not any(one.code == "exercise-cooked" for one in found.findings):
        _look_for_duals(task, check, goal, found)
    return found


def _line_of_try(goal: MateGoal, attempt: Try) -> list[chess.Move]:
    """Return the mate of a wrong try; of a later one, its first move."""
    return [attempt.move] if attempt.ply else goal.line(attempt.board, attempt.move)


def _test_answers(task: Task, check: CheckMate, goal: MateGoal, found: Found) -> None:
    for place, board, move, made in task.pupil_moves():
        step = task.accepted.steps[place - 1]
        left = check.moves - made
        if made == 0:
            verdict = judge_mate(board, move, left, goal.prover)
            if verdict.reach is Reach.PROVED:
                continue
            is_quick = goal.holds(board, move, made)
            notes = [verdict.text]
        else:
            if goal.holds(board, move, made):
                continue
            is_quick, notes = False, []
        task.failed.add(place)
        if is_quick:
            found.findings.append(
                Finding(
                    code="exercise-short",
                    message=f"`{label(board, move)}` mates in fewer than {left} moves",
                    notes=tuple(notes),
                    help=("ask for the quicker mate",),
                    about=step.line,
                    ply=step.ply,
                )
            )
        else:
            does_not = f"mate in {left}" if left > 0 else f"mate by move {check.moves}"
            found.findings.append(answer_fails(board, move, step, does_not=does_not, notes=notes))


def _is_short(task: Task, check: CheckMate, goal: MateGoal, found: Found) -> bool:
    """Report a mate that is quicker than asked for."""
    board = task.start.copy(stack=False)
    quick = goal.prover.find_mate(board, check.moves - 1)
    if quick is None:
        return False
    found.findings.append(
        Finding(
            code="exercise-short",
            message=f"there is a quicker mate: `{label(board, quick)}`",
            help=("ask for the quicker mate, or change the position",),
        )
    )
    return True


def _look_for_cooks(
    task: Task, check: CheckMate, goal: MateGoal, found: Found, working: set[chess.Move]
) -> None:
    """Report other first moves that mate; the same promotion to queen and rook is only noted."""
    board = task.start
    keys = task.first_moves()
    others = [move for move in board.legal_moves if move not in keys and move not in working]
    mating = [move for move in others if goal.holds(board, move, 0)]
    cooks = [move for move in mating if not any(_is_twin_promotion(move, key) for key in keys)]
    if cooks:
        line = line_of(board, goal.line(board, cooks[0]))
        found.findings.append(cooked(board, cooks, does=f"mates in {check.moves} too", line=line))
    elif not working and found.verdict.reach is Reach.PROVED:
        count = len(others) - len(mating)
        words = f"; none of the {count} other moves mates" if count else "; it is the only move"
        noted = say("; so does ", listed([say_move(board, move) for move in mating]))
        found.verdict = Verdict(
            reach=Reach.PROVED,
            evidence=say(found.verdict.evidence, noted if mating else "", words),
            nodes=goal.nodes,
        )


def _is_twin_promotion(move: chess.Move, key: chess.Move) -> bool:
    """Return whether two moves differ in promoting to queen or rook alone."""
    return (move.from_square, move.to_square) == (key.from_square, key.to_square) and {
        move.promotion,
        key.promotion,
    } == {chess.QUEEN, chess.ROOK}


# ---------------------------------------------------------------------- duals


def _look_for_duals(task: Task, check: CheckMate, goal: MateGoal, found: Found) -> None:
    """Report more than one way to go on: a warning before the last move, a note at the mate."""
    before_last: list[str] = []
    at_mate: list[str] = []
    try:
        for key in task.first_moves():
            _duals(task.start, [key], check.moves - 1, goal, before_last, at_mate)
    except NodesSpentError as limit:
        found.findings.append(not_settled("whether there are duals", limit))
    if before_last:
        found.findings.append(
            Finding(
                code="exercise-dual",
                message="more than one move goes on to the mate",
                notes=tuple(before_last[:_NAMED]) + _more(before_last),
                help=("a pupil may play either; change the position if only one should do",),
            )
        )
    if at_mate:
        verdict = found.verdict
        words = f"; duals at the mate: {'; '.join(at_mate[:_NAMED])}"
        extra = len(at_mate) - _NAMED
        found.verdict = Verdict(
            reach=verdict.reach,
            evidence=say(verdict.evidence, words, f" and {extra} more" if extra > 0 else ""),
            nodes=goal.nodes,
        )


def _more(items: list[str]) -> tuple[str, ...]:
    return (f"and {len(items) - _NAMED} more",) if len(items) > _NAMED else ()


def _duals(
    start: chess.Board,
    line: list[chess.Move],
    left: int,
    goal: MateGoal,
    before_last: list[str],
    at_mate: list[str],
) -> None:
    """Collect the positions after a line in which more than one move mates in what is left.

    A reply that lets the mate come sooner is left out: the defence is weak, not the exercise.
    Promotions to queen and rook on one square count as a dual at the mate.
    """
    if left < 1:
        return
    board = start.copy(stack=False)
    for move in line:
        board.push(move)
    for reply in list(board.legal_moves):
        after = board.copy(stack=False)
        after.push(reply)
        if goal.prover.find_mate(after, left - 1) is not None:
            continue
        moves = [move for move in after.legal_moves if goal.holds(after, move, goal.moves - left)]
        if len(moves) > 1:
            said = say_line(start, (*line, reply))
            words = text_of(
                say("after ", spaced(said), ": ", listed([say_move(after, move) for move in moves]))
            )
            squares = {(move.from_square, move.to_square) for move in moves}
            (before_last if left > 1 and len(squares) > 1 else at_mate).append(words)
        for move in moves:
            _duals(start, [*line, reply, move], left - 1, goal, before_last, at_mate)
