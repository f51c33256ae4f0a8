"""Settling exercises: from the cache, in this process, or in several, always in the order asked."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from plybook.board.claims.cache import VerdictCache
from plybook.board.claims.model import Budget
from plybook.board.claims.sharing import Tell, settle_once
from plybook.board.exercises.kept import from_text, to_text
from plybook.board.exercises.model import Choice, Solved, Turn
from plybook.board.exercises.question import (
    ExerciseQuestion,
    ExerciseRequest,
    Step,
    key_of_exercise,
    put,
)
from plybook.board.exercises.refusals import refusals_at
from plybook.board.exercises.solve import Looked, look_into
from plybook.board.exercises.squares import tried
from plybook.board.exercises.table import Outcome, Played
from plybook.board.positions import position_of, side_name
from plybook.text.exercise_checks import Check, CheckDefence, CheckMate, CheckWin

__all__ = ["settle_exercises"]


def settle_exercises(
    requests: Sequence[ExerciseRequest],
    *,
    budget: Budget,
    cache: VerdictCache | None = None,
    jobs: int = 1,
    tell: Tell | None = None,
) -> tuple[Solved, ...]:
    """Return what is found of each exercise, in order, the same whatever `cache` and `jobs` are.

    What the cache does not hold, or holds for another question, is looked into and put there;
    `tell` hears how many of those are done.
    """
    kept = cache if cache is not None else VerdictCache()
    questions = [put(request) for request in requests]

    def known(key: str, question: ExerciseQuestion) -> Looked | None:
        text = kept.text(key)
        return None if text is None else from_text(text, question)

    found = settle_once(
        look_into,
        [(key_of_exercise(question, budget=budget), question) for question in questions],
        budget,
        known=known,
        keep=lambda key, looked: kept.put_text(key, to_text(looked)),
        work=lambda question: _work(question.check),
        jobs=jobs,
        tell=tell,
    )
    return tuple(
        _solved(request, question.steps, looked)
        for request, question, looked in zip(requests, questions, found, strict=True)
    )


def _work(check: Check) -> float:
    """Return roughly how much work an exercise is, in units of 50 ms."""
    match check:
        case CheckMate():
            return 4.0 ** (check.moves - 1)
        case CheckDefence():
            return 4.0 ** (check.moves - 1)
        case CheckWin():
            return 3.0 ** (check.depth - 1)
        case _:
            return 1.0


# ---------------------------------------------------------------------- dressed for the page


def _solved(request: ExerciseRequest, steps: tuple[Step, ...], looked: Looked) -> Solved:
    return Solved(
        verdict=looked.verdict,
        findings=looked.findings,
        turns=tuple(_turn(request, steps, played) for played in looked.table),
        nodes=looked.nodes,
    )


def _turn(request: ExerciseRequest, steps: tuple[Step, ...], played: Played) -> Turn:
    board = chess.Board(played.fen)
    return Turn(
        placement=position_of(board).placement,
        mover=side_name(board.turn),
        number=board.fullmove_number,
        choices=tuple(_choice(request, steps, board, outcome) for outcome in played.outcomes),
        refusals=refusals_at(board),
    )


def _choice(
    request: ExerciseRequest, steps: tuple[Step, ...], board: chess.Board, outcome: Outcome
) -> Choice:
    move = chess.Move.from_uci(outcome.uci)
    reply = None
    if outcome.reply is not None:
        after = board.copy(stack=False)
        after.push(move)
        reply = tried(after, chess.Move.from_uci(outcome.reply))
    return Choice(
        move=tried(board, move),
        judgement=outcome.judgement,
        feedback=_feedback(request, steps, outcome),
        reply=reply,
        loses=outcome.loses,
        is_mated=outcome.is_mated,
        next=outcome.next,
    )


def _feedback(request: ExerciseRequest, steps: tuple[Step, ...], outcome: Outcome) -> str:
    """Return what the coach says of a move: of a wrong try, or in comments after an accepted move.

    Comments on the reply to it are said with it.
    """
    if outcome.wrong is not None:
        return request.feedback[outcome.wrong]
    if not outcome.place:
        return ""
    replies = [step for step in steps if step.parent == outcome.place and step.uci == outcome.reply]
    said = []
    for step in (steps[outcome.place - 1], *replies):
        ply = request.written[step.line].plies[step.ply]
        said += [comment.text for comment in (*ply.comments_before, *ply.comments)]
    return " ".join(said)
