"""An exercise as it is put to the board, and as plain text: what a worker gets, what is kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Final, NamedTuple

import chess

from plybook.board.claims.model import Budget, ClaimRequest
from plybook.board.claims.question import Book, Question, book_of, key_of, question_of, uci_of
from plybook.board.claims.table import DEFINITIONS
from plybook.board.model import Line
from plybook.board.positions import open_place
from plybook.text.claim_model import MoveWord
from plybook.text.exercise_checks import Check, CheckWin

__all__ = ["Accepted", "ExerciseQuestion", "ExerciseRequest", "Step", "key_of_exercise", "put"]

#: Raised by hand whenever a verdict, a finding or a table can come out otherwise.
_VERSION: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseRequest:
    """An exercise with its lines played from its position, and what the coach says of them.

    `answers` and `wrong` begin at the position, `replies` after the first move of the first
    answer. `lines` are the lines of the lesson: a win may be proved by them. `claim` is what a
    true-or-false task asks, `claim_at_twin` the same of the twin.
    """

    line: Line
    place: int
    check: Check
    answers: tuple[Line, ...]
    wrong: tuple[Line, ...] = ()
    feedback: tuple[str, ...] = ()  # of each wrong try
    replies: tuple[Line, ...] = ()
    answer_text: str | None = None
    claim: ClaimRequest | None = None
    claim_text: str = ""
    twin: tuple[Line, int] | None = None
    claim_at_twin: ClaimRequest | None = None
    lines: tuple[Line, ...] = ()

    @property
    def written(self) -> tuple[Line, ...]:
        """The lines in which accepted moves are written: `Step.line` is an index of them."""
        return (*self.answers, *self.replies)


class Step(NamedTuple):
    """A half-move of the accepted lines. `parent` is the place it is played from, 0 the start.

    The place after it is its index plus one. `line` and `ply` say where it is written first.
    """

    parent: int
    uci: str
    line: int
    ply: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseQuestion:
    """All that the soundness and the table of an exercise depend on, without `chess` objects."""

    start: str  # FEN
    check: Check
    steps: tuple[Step, ...]  # the accepted lines, merged into one tree
    wrong: tuple[tuple[str, ...], ...] = ()  # the moves (UCI) of each wrong try
    answer_text: str | None = None
    claim: Question | None = None
    claim_text: str = ""
    twin: str | None = None  # FEN
    claim_at_twin: Question | None = None
    book: Book = ()


class Accepted:
    """The tree of accepted lines, opened: which moves follow which place."""

    def __init__(self, steps: Sequence[Step]) -> None:
        self.steps = steps
        self._after: dict[int, dict[str, int]] = {}
        for place, step in enumerate(steps, 1):
            self._after.setdefault(step.parent, {})[step.uci] = place

    def after(self, place: int) -> dict[str, int]:
        """Return the moves from a place, in the order they are written, and where they lead."""
        return self._after.get(place, {})

    def walk(self, start: chess.Board) -> Iterable[tuple[int, chess.Board, chess.Move]]:
        """Yield each place with the board before its move, and the move. Boards are copies."""
        boards = {0: start.copy(stack=False)}
        for place, step in enumerate(self.steps, 1):
            before = boards[step.parent]
            move = chess.Move.from_uci(step.uci)
            yield place, before.copy(stack=False), move
            after = before.copy(stack=False)
            after.push(move)
            boards[place] = after

    def depth(self, place: int) -> int:
        """Return how many half-moves lead to a place."""
        count = 0
        while place:
            place = self.steps[place - 1].parent
            count += 1
        return count

    def turns(self) -> int:
        """Return how many moves the pupil makes in the longest accepted line."""
        depths = [0]
        for step in self.steps:
            depths.append(depths[step.parent] + 1)
        return (max(depths) + 1) // 2


def put(request: ExerciseRequest) -> ExerciseQuestion:
    """Return the question of a request."""
    start = open_place(request.line, request.place)
    book: Book = ()
    if isinstance(request.check, CheckWin):
        book = book_of((*request.answers, *request.lines), start.key)
    twin = request.twin
    return ExerciseQuestion(
        start=start.fen,
        check=request.check,
        steps=_merged(request),
        wrong=tuple(_main(line) for line in request.wrong),
        answer_text=request.answer_text,
        claim=question_of(request.claim) if request.claim else None,
        claim_text=request.claim_text,
        twin=open_place(*twin).fen if twin else None,
        claim_at_twin=_at_twin(request.claim_at_twin) if request.claim_at_twin else None,
        book=book,
    )


def _at_twin(claim: ClaimRequest) -> Question:
    """Return the same question at the twin, where moves may have other numbers."""
    changes: dict[str, Any] = {}
    for field in fields(claim.claim):
        value = getattr(claim.claim, field.name)
        if isinstance(value, MoveWord):
            changes[field.name] = _unnumbered(value)
        elif isinstance(value, tuple):
            changes[field.name] = tuple(map(_unnumbered, value))
    return question_of(replace(claim, claim=replace(claim.claim, **changes)))


def _unnumbered(word: Any) -> Any:
    return replace(word, number=None, mover=None) if isinstance(word, MoveWord) else word


def _main(line: Line) -> tuple[str, ...]:
    return tuple(uci_of(ply) for ply in line.main())


def _merged(request: ExerciseRequest) -> tuple[Step, ...]:
    """Return the accepted lines as one tree: the answers, then the replies to the first of them."""
    steps: list[Step] = []
    known: dict[tuple[int, str], int] = {}

    def graft(line: Line, *, index: int, onto: int) -> None:
        places = {0: onto}
        for at, ply in enumerate(line.plies):
            key = (places[ply.parent], uci_of(ply))
            if key not in known:
                steps.append(Step(key[0], key[1], index, at))
                known[key] = len(steps)
            places[ply.index] = known[key]

    for index, line in enumerate(request.written):
        graft(line, index=index, onto=0 if index < len(request.answers) else 1)
    return tuple(steps)


def key_of_exercise(question: ExerciseQuestion, *, budget: Budget) -> str:
    """Return the cache key: everything the outcome depends on, as one digest.

    The versions of the claims' definitions stand in it, and the library's version for its rules.
    """
    claims = [
        key_of(claim, budget=budget, version=DEFINITIONS[type(claim.claim)].version)
        for claim in (question.claim, question.claim_at_twin)
        if claim is not None
    ]
    searched = [f"{kind.__name__} {row.version}" for kind, row in DEFINITIONS.items()]
    parts = [
        question.start,
        repr(question.check),
        question.steps,
        question.wrong,
        question.answer_text,
        question.claim_text,
        question.twin,
        claims,
        [[key.hex(), *moves] for key, moves in question.book],
        [budget.mate_nodes, budget.search_nodes, budget.lines_depth],
        searched,
        _VERSION,
        chess.__version__,
    ]
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()
