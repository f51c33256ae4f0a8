"""What is tested the same way whatever the check: accepted moves, wrong tries, second solutions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import chess

from plybook.board.claims.model import NodesSpentError, Verdict
from plybook.board.exercises.findings import label, line_of, not_settled, wrong_try_works
from plybook.board.exercises.goals import Goal
from plybook.board.exercises.model import Finding
from plybook.board.exercises.question import Accepted, ExerciseQuestion
from plybook.board.exercises.table import leaves_at

__all__ = ["Found", "Task", "Try"]


@dataclass(slots=True)
class Found:
    """What has been found so far of one exercise."""

    verdict: Verdict
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Try:
    """A wrong try at the point where it leaves the accepted lines."""

    index: int
    ply: int
    board: chess.Board
    move: chess.Move

    @property
    def made(self) -> int:
        """How many moves the pupil has made before it."""
        return self.ply // 2


class Task:
    """A question opened on the board."""

    def __init__(self, question: ExerciseQuestion) -> None:
        self.question = question
        self.start = chess.Board(question.start)
        self.accepted = Accepted(question.steps)
        self.failed: set[int] = set()  # places after moves that fail: what follows stays silent

    def first_moves(self) -> list[chess.Move]:
        """Return the accepted first moves."""
        return [chess.Move.from_uci(uci) for uci in self.accepted.after(0)]

    def pupil_moves(self) -> Iterator[tuple[int, chess.Board, chess.Move, int]]:
        """Yield the pupil's accepted moves: place, board before, move, moves made before.

        None is yielded that follows a move put among `failed` in the meantime.
        """
        for place, board, move in self.accepted.walk(self.start):
            if self.accepted.steps[place - 1].parent in self.failed:
                self.failed.add(place)
            elif board.turn == self.start.turn:
                yield place, board, move, self.accepted.depth(place) // 2

    def tries(self, found: Found) -> Iterator[Try]:
        """Yield the wrong tries; one that is given as an answer too is a finding."""
        for index, line in enumerate(self.question.wrong):
            at = leaves_at(self.accepted, line)
            board = self.start.copy(stack=False)
            if at is not None:
                for uci in line[: at[1]]:
                    board.push_uci(uci)
                yield Try(index, at[1], board, chess.Move.from_uci(line[at[1]]))
            elif line:
                move = chess.Move.from_uci(line[0])
                found.findings.append(
                    wrong_try_works(board, move, index, ply=0, does="is given as an answer")
                )

    def test_tries(
        self,
        found: Found,
        goal: Goal,
        *,
        does: str,
        line: Callable[[Try], list[chess.Move]] | None = None,
    ) -> set[chess.Move]:
        """Report the wrong tries that do what the check asks; return those at the first turn."""
        working = set()
        for attempt in self.tries(found):
            try:
                works = goal.holds(attempt.board, attempt.move, attempt.made)
                words = line_of(attempt.board, line(attempt)) if works and line else ()
            except NodesSpentError as limit:
                said = label(attempt.board, attempt.move)
                found.findings.append(not_settled(f"whether `{said}` is wrong", limit))
                continue
            if works:
                found.findings.append(
                    wrong_try_works(
                        attempt.board,
                        attempt.move,
                        attempt.index,
                        ply=attempt.ply,
                        does=does,
                        line=words,
                    )
                )
                if not attempt.ply:
                    working.add(attempt.move)
        return working
