"""The table of an exercise: every legal move at every turn of the pupil, and what follows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board.claims.checking import mates_at_once
from plybook.board.claims.material import MATE, MaterialSearch, balance_of
from plybook.board.claims.model import NodesSpentError
from plybook.board.exercises.goals import DefenceGoal, Goal, MateGoal
from plybook.board.exercises.model import Judgement
from plybook.board.exercises.question import Accepted, ExerciseQuestion
from plybook.board.positions import position_key

__all__ = ["Outcome", "Played", "make_table"]

_TURNS: Final = 24  # of one exercise; a way that leads beyond counts as solved there


@dataclass(frozen=True, slots=True)
class Outcome:
    """What becomes of one legal move, moves as UCI.

    `place` is the accepted place a right move leads to, 0 for a move that is right by proof;
    `wrong` the index of the wrong try; `next` the index of the turn that follows.
    """

    uci: str
    judgement: Judgement
    place: int = 0
    wrong: int | None = None
    reply: str | None = None
    loses: int = 0
    is_mated: bool = False
    next: int | None = None


@dataclass(frozen=True, slots=True)
class Played:
    """A turn of the pupil: the position as FEN, and its legal moves in the order of squares."""

    fen: str
    outcomes: tuple[Outcome, ...]


def make_table(question: ExerciseQuestion, goal: Goal) -> tuple[Played, ...]:
    """Return the turns, the first one first; a turn's choices name the others by index."""
    return _Table(question, goal).turns()


@dataclass(slots=True)
class _Waiting:
    """A turn that is still to be looked at: `place` is None off the accepted lines."""

    board: chess.Board
    place: int | None
    made: int


class _Table:
    def __init__(self, question: ExerciseQuestion, goal: Goal) -> None:
        self._start = chess.Board(question.start)
        self._goal = goal
        self._accepted = Accepted(question.steps)
        self._longest = self._accepted.turns()
        self._reached = self._positions()
        self._tries = self._places_of_tries(question)
        self._waiting: list[_Waiting] = []
        self._index: dict[tuple[bytes, int | None, int], int] = {}

    def turns(self) -> tuple[Played, ...]:
        self._turn(self._start, 0, 0)
        done: list[Played] = []
        while len(done) < len(self._waiting):
            done.append(self._played(self._waiting[len(done)]))
        return tuple(done)

    def _positions(self) -> dict[bytes, int]:
        """Return the accepted places after a pupil's move, by position."""
        found: dict[bytes, int] = {}
        for place, board, move in self._accepted.walk(self._start):
            if board.turn == self._start.turn:
                board.push(move)
                found.setdefault(position_key(board), place)
        return found

    def _places_of_tries(
        self, question: ExerciseQuestion
    ) -> dict[tuple[int, str], tuple[int, str | None]]:
        """Return the wrong tries by the place and move where they leave the accepted lines.

        With each, its index and the reply the coach gives, if any.
        """
        found: dict[tuple[int, str], tuple[int, str | None]] = {}
        for index, line in enumerate(question.wrong):
            at = leaves_at(self._accepted, line)
            if at is not None:
                place, ply = at
                reply = line[ply + 1] if ply + 1 < len(line) else None
                found.setdefault((place, line[ply]), (index, reply))
        return found

    def _turn(self, board: chess.Board, place: int | None, made: int) -> int | None:
        """Return the index of a turn, put in line when it is new; None when there are too many."""
        key = (position_key(board), place, made)
        if key not in self._index:
            if len(self._waiting) >= _TURNS:
                return None
            self._index[key] = len(self._waiting)
            self._waiting.append(_Waiting(board.copy(stack=False), place, made))
        return self._index[key]

    def _played(self, turn: _Waiting) -> Played:
        board = turn.board
        search = MaterialSearch(level=balance_of(board) if board.turn else -balance_of(board))
        moves = sorted(
            board.legal_moves,
            key=lambda move: (move.from_square, move.to_square, move.promotion or 0),
        )
        outcomes = tuple(self._outcome(turn, move, search) for move in moves)
        return Played(board.fen(), outcomes)

    def _outcome(self, turn: _Waiting, move: chess.Move, search: MaterialSearch) -> Outcome:
        uci = move.uci()
        after = turn.board.copy(stack=False)
        after.push(move)
        place = None if turn.place is None else self._accepted.after(turn.place).get(uci)
        if place is None:
            place = self._transposed(turn, after)
        if place is not None:
            return self._right(turn, uci, after, place)
        tried = None if turn.place is None else self._tries.get((turn.place, uci))
        if tried is None and self._is_proved(turn, move):
            return self._right_by_proof(turn, uci, after)
        index, given = tried or (None, None)
        reply, loses, is_mated = self._reply(turn, move, after, given, search)
        return Outcome(
            uci,
            Judgement.OTHER if index is None else Judgement.WRONG,
            wrong=index,
            reply=reply,
            loses=loses,
            is_mated=is_mated,
        )

    def _transposed(self, turn: _Waiting, after: chess.Board) -> int | None:
        """Return the accepted place, not before this turn, with the position after a move."""
        place = self._reached.get(position_key(after))
        if place is None or self._accepted.depth(place) <= 2 * turn.made:
            return None
        return place

    def _is_proved(self, turn: _Waiting, move: chess.Move) -> bool:
        try:
            return self._goal.holds(turn.board, move, turn.made)
        except NodesSpentError:
            return False

    def _right(self, turn: _Waiting, uci: str, after: chess.Board, place: int) -> Outcome:
        replies = self._accepted.after(place)
        if not replies:
            return Outcome(uci, Judgement.RIGHT, place=place)
        reply, behind = next(iter(replies.items()))
        after.push_uci(reply)
        goes_on = bool(self._accepted.after(behind))
        return Outcome(
            uci,
            Judgement.RIGHT,
            place=place,
            reply=reply,
            next=self._turn(after, behind, turn.made + 1) if goes_on else None,
        )

    def _right_by_proof(self, turn: _Waiting, uci: str, after: chess.Board) -> Outcome:
        """Return the outcome of a move no line holds: played on as far as the coach's lines go."""
        made = turn.made + 1
        if made >= self._longest:
            return Outcome(uci, Judgement.RIGHT)
        try:
            reply = self._goal.best_defence(after, made)
        except NodesSpentError:
            reply = None
        if reply is None:
            return Outcome(uci, Judgement.RIGHT)
        after.push(reply)
        index = self._turn(after, None, made)
        if index is None:
            return Outcome(uci, Judgement.RIGHT)
        return Outcome(uci, Judgement.RIGHT, reply=reply.uci(), next=index)

    # ---------------------------------------------------------------- replies to other moves

    def _reply(
        self,
        turn: _Waiting,
        move: chess.Move,
        after: chess.Board,
        given: str | None,
        search: MaterialSearch,
    ) -> tuple[str | None, int, bool]:
        """Return the reply to a move that is not right, what it loses, and whether it is mated."""
        if given is not None:
            reply = chess.Move.from_uci(given)
        else:
            found = self._strongest(turn, move, after, search)
            if found is None:
                return None, 0, False
            reply = found
        end = after.copy(stack=False)
        end.push(reply)
        if end.is_checkmate():
            return reply.uci(), 0, True
        left = search.value(end, 0)
        if left <= -MATE:
            return reply.uci(), 0, False  # a mate by captures and checks: no loss to be named
        return reply.uci(), max(0, balance_of(turn.board) - left), False

    def _strongest(
        self, turn: _Waiting, move: chess.Move, after: chess.Board, search: MaterialSearch
    ) -> chess.Move | None:
        """Return the reply that mates, or wins most and also meets the aim, or only meets it."""
        mates = mates_at_once(after)
        if mates:
            return mates[0]
        best = _wins_most(after, search)
        try:
            return self._that_meets_it(turn, move, after, best)
        except NodesSpentError:
            return best

    def _that_meets_it(
        self, turn: _Waiting, move: chess.Move, after: chess.Board, best: chess.Move | None
    ) -> chess.Move | None:
        """Return the reply that wins most if it meets the aim too, or else one that meets it."""
        if best is not None and isinstance(self._goal, MateGoal):
            left = self._goal.moves - turn.made - 1
            if self._goal.avoids(after, best, left):
                return best
        elif best is not None and not isinstance(self._goal, DefenceGoal):
            return best
        return self._goal.answer_to(turn.board, move, turn.made) or best


def _wins_most(after: chess.Board, search: MaterialSearch) -> chess.Move | None:
    """Return the reply that gains most when only captures follow, None where none gains."""
    best, found = balance_of(after), None
    for reply in sorted(after.legal_moves, key=lambda reply: not after.is_capture(reply)):
        end = after.copy(stack=False)
        end.push(reply)
        value = -search.value(end, 0, -MATE, -best)
        if value > best:
            best, found = value, reply
    return found


def leaves_at(accepted: Accepted, line: tuple[str, ...]) -> tuple[int, int] | None:
    """Return the place where a line leaves the accepted ones and the index of the ply that does.

    None where it never does, or does so by the opponent's move.
    """
    place = 0
    for ply, uci in enumerate(line):
        following = accepted.after(place).get(uci)
        if following is None:
            return (place, ply) if ply % 2 == 0 else None
        place = following
    return None
