"""An exercise from a FEN, settled: what the tests of exercises stand on."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from claims.claim_stand import claim_of
from outside.playing import play
from plybook.board import Line
from plybook.board.claims import Budget, ClaimRequest, VerdictCache
from plybook.board.exercises import Choice, ExerciseRequest, Solved, Turn, settle_exercises
from plybook.text.exercise_checks import read_check

__all__ = ["choice", "codes", "line_from", "request_of", "rights", "solve", "solve_all"]


def line_from(fen: str, movetext: str) -> Line:
    """Return a line without a fault; its comments are kept."""
    line, found = play(movetext, fen=fen)
    assert not found, found
    return line


def request_of(
    check: str,
    *answers: str,
    fen: str = chess.STARTING_FEN,
    wrong: Sequence[str] = (),
    replies: Sequence[str] = (),
    claim: str | None = None,
    answer_text: str | None = None,
    twin: str | None = None,
    lines: Sequence[str] = (),
) -> ExerciseRequest:
    """Return the request of an exercise at a position; moves are written as movetext."""
    read = read_check(check)
    assert read is not None, check
    start = line_from(fen, "")
    played = tuple(line_from(fen, answer) for answer in answers)
    after = played[0].plies[0] if played else None
    board = chess.Board(fen)
    if after:
        board.push_san(after.san)
    there = line_from(twin, "") if twin else None
    said = claim_of(claim) if claim else None
    return ExerciseRequest(
        line=start,
        place=0,
        check=read,
        answers=played,
        wrong=tuple(line_from(fen, moves) for moves in wrong),
        feedback=tuple(f"not {moves}" for moves in wrong),
        replies=tuple(line_from(board.fen(), moves) for moves in replies),
        answer_text=answer_text,
        claim=ClaimRequest(claim=said, line=start, place=0) if said else None,
        claim_text=claim or "",
        twin=(there, 0) if there else None,
        claim_at_twin=ClaimRequest(claim=said, line=there, place=0) if said and there else None,
        lines=tuple(line_from(fen, moves) for moves in lines),
    )


def solve_all(
    requests: Sequence[ExerciseRequest],
    *,
    budget: Budget | None = None,
    cache: VerdictCache | None = None,
    jobs: int = 1,
) -> tuple[Solved, ...]:
    """Return what is found of some exercises."""
    return settle_exercises(requests, budget=budget or Budget(), cache=cache, jobs=jobs)


def solve(request: ExerciseRequest, *, budget: Budget | None = None) -> Solved:
    """Return what is found of one exercise."""
    (solved,) = solve_all([request], budget=budget)
    return solved


def codes(solved: Solved) -> list[str]:
    """Return the codes of what was found, in order."""
    return [finding.code for finding in solved.findings]


def choice(turn: Turn, san: str) -> Choice:
    """Return the choice of a move, written without its check mark."""
    (found,) = [each for each in turn.choices if each.move.san.rstrip("+#") == san.rstrip("+#")]
    return found


def rights(turn: Turn) -> list[str]:
    """Return the moves that are right at a turn, in order of their names."""
    return sorted(each.move.san for each in turn.choices if each.judgement.value == "right")
