"""A second opinion: the moves of a finished page, played again from nothing but squares.

It shares no code with the room's other players: it knows `chess.Board`, and not who wrote what.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import chess

__all__ = ["IllegalStepError", "Step", "replay"]

_MEN: Final = {"N": chess.KNIGHT, "B": chess.BISHOP, "R": chess.ROOK, "Q": chess.QUEEN}


class Step(NamedTuple):
    """One half-move as squares, 0 for a1, 1 for b1 … 63 for h8.

    `parent` is the place it is played from: 0 the start, i the position after `steps[i - 1]`.
    `promotion` is one of `NBRQ` or empty, `rook` the square a castling rook leaves, or None.
    """

    parent: int
    origin: int
    target: int
    promotion: str = ""
    rook: int | None = None


class IllegalStepError(ValueError):
    """A step that the Laws of Chess forbid. `place` is the place it would have led to."""

    def __init__(self, place: int, move: str) -> None:
        super().__init__(f"{move} is illegal")
        self.place = place


def replay(fen: str, steps: Sequence[Step]) -> tuple[str, ...]:
    """Return the placement of every place, the start first: 64 characters, a1, b1 … h8.

    Raises IllegalStepError for the first illegal step, ValueError for a FEN that cannot be read.
    """
    # In this mode castling is the king's move to the rook's square, whatever the start position.
    board = chess.Board(fen, chess960=True)
    placements = [_placement(board)]
    moves: list[chess.Move] = []
    at = 0
    for place, step in enumerate(steps, 1):
        if not 0 <= step.parent < place:
            raise ValueError(f"place {place} comes from a place that is not before it")
        if step.parent != at:
            _go(board, steps, moves, at, step.parent)
        move = _move(step)
        if not board.is_legal(move):
            raise IllegalStepError(place, move.uci())
        before = _men(board)
        board.push(move)
        placements.append(_changed(placements[step.parent], board, before))
        moves.append(move)
        at = place
    return tuple(placements)


def _move(step: Step) -> chess.Move:
    if step.rook is not None:
        return chess.Move(step.origin, step.rook)
    return chess.Move(step.origin, step.target, promotion=_MEN.get(step.promotion))


def _go(
    board: chess.Board, steps: Sequence[Step], moves: Sequence[chess.Move], at: int, to: int
) -> None:
    """Bring the board from one place to another by way of the last place they share."""
    wanted = _path(steps, to)
    here = _path(steps, at)
    shared = 0
    while shared < min(len(wanted), len(here)) and wanted[shared] == here[shared]:
        shared += 1
    for _ in here[shared:]:
        board.pop()
    for place in wanted[shared:]:
        board.push(moves[place - 1])


def _path(steps: Sequence[Step], place: int) -> list[int]:
    path = []
    while place:
        path.append(place)
        place = steps[place - 1].parent
    path.reverse()
    return path


def _placement(board: chess.Board) -> str:
    pieces = board.piece_map()
    return "".join(pieces[square].symbol() if square in pieces else "." for square in chess.SQUARES)


def _men(board: chess.Board) -> tuple[int, ...]:
    """Return the board's sets of squares, by which two boards can be compared."""
    return (
        board.occupied_co[chess.WHITE],
        board.occupied_co[chess.BLACK],
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
    )


def _changed(placement: str, board: chess.Board, before: tuple[int, ...]) -> str:
    """Return the placement with the squares set anew on which anything has changed."""
    changed = 0
    for old, new in zip(before, _men(board), strict=True):
        changed |= old ^ new
    squares = list(placement)
    for square in chess.scan_forward(changed):
        man = board.piece_at(square)
        squares[square] = man.symbol() if man else "."
    return "".join(squares)
