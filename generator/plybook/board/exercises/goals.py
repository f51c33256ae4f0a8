"""What a pupil's move must do, by the kind of check: tested move by move.

A goal keeps what it has found, so that soundness and table do not search twice. Boards that are
handed in are given back unchanged.
"""

from __future__ import annotations

from typing import Final, Protocol

import chess

from plybook.board.claims.coverage import Cover
from plybook.board.claims.material import MaterialSearch, balance_of
from plybook.board.claims.mates import STALEMATE, MateProver
from plybook.board.claims.mating import mate_limit, mating_line, reply_net
from plybook.board.claims.model import Budget
from plybook.board.claims.question import Book
from plybook.board.claims.winning import search_for
from plybook.board.exercises.question import ExerciseQuestion
from plybook.board.positions import position_key
from plybook.text.exercise_checks import (
    CheckDefence,
    CheckJudged,
    CheckMate,
    CheckTruth,
    CheckWin,
)

__all__ = ["DefenceGoal", "Goal", "MateGoal", "NoGoal", "WinGoal", "goal_of"]


class Goal(Protocol):
    """What a move must do. `made` counts the pupil's moves before this one."""

    @property
    def nodes(self) -> int:
        """Positions looked at so far."""

    def holds(self, board: chess.Board, move: chess.Move, made: int) -> bool:
        """Return whether a legal move does it. Raises NodesSpentError."""

    def answer_to(self, board: chess.Board, move: chess.Move, made: int) -> chess.Move | None:
        """Return the reply that shows why a move does not do it, None where none is telling."""

    def best_defence(self, after: chess.Board, made: int) -> chess.Move | None:
        """Return the reply to a move that does it and is not in the coach's lines, if play goes on.

        `made` counts the pupil's moves, that one included.
        """


class NoGoal:
    """Nothing that can be tested: only what the coach accepts is right."""

    nodes: Final = 0

    def holds(self, board: chess.Board, move: chess.Move, made: int) -> bool:
        """Return False."""
        return False

    def answer_to(self, board: chess.Board, move: chess.Move, made: int) -> chess.Move | None:
        """Return None."""
        return None

    def best_defence(self, after: chess.Board, made: int) -> chess.Move | None:
        """Return None."""
        return None


class _AboutMate:
    """What a goal needs that asks the prover about a mate in `moves` moves."""

    def __init__(self, moves: int, *, budget: Budget) -> None:
        self.moves = moves
        self.prover = MateProver(node_limit=mate_limit(budget, moves))

    @property
    def nodes(self) -> int:
        """Positions looked at so far."""
        return self.prover.nodes


class MateGoal(_AboutMate):
    """The pupil mates in `moves` moves from the exercise's position at most."""

    def holds(self, board: chess.Board, move: chess.Move, made: int) -> bool:
        """Return whether the move mates in what is left of the moves."""
        left = self.moves - made - 1
        return left >= 0 and self.prover.find_refutation(_after(board, move), left) is None

    def answer_to(self, board: chess.Board, move: chess.Move, made: int) -> chess.Move | None:
        """Return the reply that avoids the mate and loses least; None for a stalemate."""
        left = self.moves - made - 1
        after = _after(board, move)
        if left < 1:
            return None  # it was to be mate at once: any reply avoids that
        first = self.prover.find_refutation(after, left)
        if first is None or first == STALEMATE:
            return None
        replies = sorted(after.legal_moves, key=lambda reply: -reply_net(after, reply))
        for reply in replies:
            if self.avoids(after, reply, left):
                return reply
        return first

    def avoids(self, after: chess.Board, reply: chess.Move, left: int) -> bool:
        """Return whether no mate in `left` moves follows a reply."""
        return self.prover.find_mate(_after(after, reply), left) is None

    def best_defence(self, after: chess.Board, made: int) -> chess.Move | None:
        """Return the reply that holds out longest."""
        left = self.moves - made
        if left < 1 or not any(after.generate_legal_moves()):
            return None
        for fewer in range(left - 1, -1, -1):
            for reply in after.legal_moves:
                if fewer == 0 or self.avoids(after, reply, fewer):
                    return reply
        return None

    def line(self, board: chess.Board, move: chess.Move) -> list[chess.Move]:
        """Return the line of a move that mates."""
        return mating_line(board, move, self.moves, self.prover)


class WinGoal:
    """The pupil's material reaches what it was, and `worth` more, within the depth."""

    def __init__(
        self, start: chess.Board, *, worth: int, depth: int, book: Book, budget: Budget
    ) -> None:
        self.depth = depth
        self._start = start.copy(stack=False)
        self._target = balance_of(start) + worth
        self._book = dict(book)
        self._budget = budget
        self._known: dict[tuple[bytes, str, int], bool] = {}
        self._spent = 0
        self._search = self._new_search(budget.search_nodes)

    @property
    def nodes(self) -> int:
        """Positions looked at so far."""
        return self._spent + self._search.nodes

    def allow(self, nodes: int) -> None:
        """Allow so many positions from here on."""
        self._spent += self._search.nodes
        self._search = self._new_search(nodes)

    def _new_search(self, nodes: int) -> MaterialSearch:
        return search_for(self._start, node_limit=nodes)

    def holds(self, board: chess.Board, move: chess.Move, made: int) -> bool:
        """Return whether the move wins as much to the depth of the check."""
        return self.holds_to(board, move, self.depth)

    def holds_to(self, board: chess.Board, move: chess.Move, depth: int) -> bool:
        """Return whether after every reply the target is reached within `depth` plies."""
        key = (position_key(board), move.uci(), depth)
        if key not in self._known:
            after = _after(board, move)
            value = self._search.value(after, depth, -self._target, 1 - self._target)
            self._known[key] = value <= -self._target
        return self._known[key]

    def holds_by_lines(self, board: chess.Board, move: chess.Move) -> Cover | None:
        """Return the proof by the lines given, whole or with its gaps; None where none plays it."""
        if move.uci() not in self._book.get(position_key(board), ()):
            return None
        cover = Cover(
            book=self._book,
            target=self._target,
            depth_limit=max(self.depth - 1, self._budget.lines_depth),
            search=self._new_search(self._budget.search_nodes),
            prover=MateProver(node_limit=self._budget.mate_nodes),
        )
        try:
            cover.defend(_after(board, move), (move,))
        finally:
            self._spent += cover.search.nodes + cover.prover.nodes
        return cover

    def answer_to(self, board: chess.Board, move: chess.Move, made: int) -> chess.Move | None:
        """Return None: a reply that wins nothing back is not worth showing."""
        return None

    def best_defence(self, after: chess.Board, made: int) -> chess.Move | None:
        """Return None: another way to win ends the task."""
        return None


class DefenceGoal(_AboutMate):
    """After the pupil's move the other side does not mate in `moves`."""

    def holds(self, board: chess.Board, move: chess.Move, made: int) -> bool:
        """Return whether no mate follows the move. Mate and stalemate meet every threat."""
        return self.answer_to(board, move, made) is None

    def answer_to(self, board: chess.Board, move: chess.Move, made: int) -> chess.Move | None:
        """Return the move that begins the mate: the mate at once where there is one."""
        after = _after(board, move)
        if not any(after.generate_legal_moves()):
            return None
        for moves in range(1, self.moves + 1):
            found = self.prover.find_mate(after, moves)
            if found is not None:
                return found
        return None

    def best_defence(self, after: chess.Board, made: int) -> chess.Move | None:
        """Return None: the threat is met."""
        return None


def goal_of(question: ExerciseQuestion, start: chess.Board, *, budget: Budget) -> Goal:
    """Return the goal that a check sets at a position: the exercise's, or its twin's."""
    check = question.check
    match check:
        case CheckMate():
            return MateGoal(check.moves, budget=budget)
        case CheckWin():
            return WinGoal(
                start, worth=check.worth, depth=check.depth, book=question.book, budget=budget
            )
        case CheckDefence():
            return DefenceGoal(check.moves, budget=budget)
        case CheckTruth() | CheckJudged():
            return NoGoal()


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after
