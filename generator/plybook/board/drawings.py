"""What the coach draws, tested: an arrow or mark of a role states a fact about the position."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import chess

from plybook.board.exchange import best_capture, with_turn
from plybook.board.model import Mark, Position
from plybook.board.pins import find_pin
from plybook.diagnostics import Report
from plybook.text.model import Drawing

__all__ = ["ARROWS", "MARKS", "try_drawings"]

Test = Callable[[chess.Board, list[chess.Square]], str | None]


def try_drawings(
    position: Position, drawings: tuple[Drawing, ...], *, place: str, report: Report
) -> tuple[Mark, ...]:
    """Return the drawings that are true of a position; the others are reported.

    `place` names the position in messages: `after 4...g6`.
    """
    board = chess.Board(position.fen)
    marks = []
    for drawing in drawings:
        test = (ARROWS if drawing.is_arrow else MARKS)[drawing.role]
        squares = [chess.parse_square(name) for name in drawing.squares]
        fault = (
            None if position.is_partial and drawing.role in _NEEDS_PLAY else test(board, squares)
        )
        if fault is None:
            marks.append(Mark.of(drawing))
            continue
        kind = "arrow" if drawing.is_arrow else "mark"
        report.add(
            f"false-{kind}",
            drawing.span,
            f"{kind} {drawing.role} {' '.join(drawing.squares)}: not true {place}",
            notes=(fault,),
            help="correct the squares or the role; `arrow plan` and `mark target` claim nothing",
        )
    return tuple(marks)


_NEEDS_PLAY: Final = frozenset({"move", "threat", "hanging", "safe", "flight"})


# Each test returns None when the drawing is true, else why it is not.


def _free(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """The coach's own mark: states nothing."""
    return None


def _man(board: chess.Board, square: chess.Square) -> str:
    piece = board.piece_at(square)
    name = chess.square_name(square)
    if piece is None:
        return f"{name} is empty"
    colour = "white" if piece.color else "black"
    return f"the {colour} {chess.piece_name(piece.piece_type)} on {name}"


def _attack(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """The man on the first square attacks the second (Laws of Chess, 3.1.2 and 3.1.3)."""
    origin, target = squares
    attacker, victim = board.piece_at(origin), board.piece_at(target)
    if attacker is None:
        return _man(board, origin)
    if victim is not None and victim.color == attacker.color:
        return f"{_man(board, target)} is of the same side: use `arrow guard`"
    if target not in board.attacks(origin):
        return f"{_man(board, origin)} does not attack {chess.square_name(target)}"
    return None


def _guard(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """The man on the first square guards the second: an own man, or an empty square."""
    origin, target = squares
    guard, ward = board.piece_at(origin), board.piece_at(target)
    if guard is None:
        return _man(board, origin)
    if ward is not None and ward.color != guard.color:
        return f"{_man(board, target)} is of the other side: use `arrow attack`"
    if target not in board.attacks(origin):
        return f"{_man(board, origin)} does not guard {chess.square_name(target)}"
    return None


def _pin(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """Pinner, pinned, behind: absolute or relative."""
    pinner, pinned, behind = squares
    if find_pin(board, pinner, pinned, behind):
        return None
    for square in squares:
        if board.piece_at(square) is None:
            return _man(board, square)
    names = [chess.square_name(square) for square in squares]
    return f"{names[0]} does not pin {names[1]} to {names[2]}"


def _check(board: chess.Board, squares: list[chess.Square]) -> str | None:
    origin, target = squares
    attacker, king = board.piece_at(origin), board.piece_at(target)
    if attacker is None:
        return _man(board, origin)
    if king is None or king.piece_type != chess.KING or king.color == attacker.color:
        return f"no king to be checked: {_man(board, target)}"
    if target not in board.attacks(origin):
        return f"{_man(board, origin)} does not give check"
    return None


def _legal(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """Return None when a move between the squares is legal for the side to move."""
    origin, target = squares
    if board.piece_at(origin) is None:
        return _man(board, origin)
    if board.color_at(origin) != board.turn:
        return f"{_man(board, origin)} is not to move"
    moves = board.generate_legal_moves(
        chess.BB_SQUARES[origin]
    )  # castling asks for its rook's square
    if not any(move.to_square == target for move in moves):
        return f"{_man(board, origin)} may not go to {chess.square_name(target)}"
    return None


def _threat(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """The move is legal for the side that is not to move, if the other side passed."""
    if board.is_check():
        return "the side to move is in check, so a threat has no meaning here: use `arrow check`"
    if board.color_at(squares[0]) == board.turn:
        return f"{_man(board, squares[0])} is to move: use `arrow move`"
    turned = with_turn(board, not board.turn)
    return "a pass is not possible here" if turned is None else _legal(turned, squares)


def _loose(board: chess.Board, squares: list[chess.Square]) -> str | None:
    (square,) = squares
    piece = board.piece_at(square)
    if piece is None:
        return _man(board, square)
    guards = board.attackers(piece.color, square)
    if guards:
        names = ", ".join(chess.square_name(guard) for guard in guards)
        return f"{_man(board, square)} is guarded from {names}"
    return None


def _hanging(board: chess.Board, squares: list[chess.Square]) -> str | None:
    (square,) = squares
    if board.piece_at(square) is None:
        return _man(board, square)
    if best_capture(board, square) is None:
        return _unaskable(board, square) or (
            f"no capture wins anything: {_man(board, square)} is safe"
        )
    return None


def _safe(board: chess.Board, squares: list[chess.Square]) -> str | None:
    (square,) = squares
    if board.piece_at(square) is None:
        return _man(board, square)
    found = best_capture(board, square)
    if found:
        value, move = found
        by = chess.square_name(move.from_square)
        return f"{_man(board, square)} can be taken from {by}, which wins {value}"
    return _unaskable(board, square)


def _unaskable(board: chess.Board, square: chess.Square) -> str | None:
    """Return why nobody can say what the other side would win on a square, or None."""
    owner = board.color_at(square)
    if owner is None or with_turn(board, not owner) is not None:
        return None
    side = "White" if owner else "Black"
    return f"{side} is in check and has to move first, so this cannot be asked"


def _flight(board: chess.Board, squares: list[chess.Square]) -> str | None:
    """A king next to the square may legally go there, were its side to move."""
    (square,) = squares
    near = [king for color in chess.COLORS if (king := board.king(color)) is not None]
    near = [king for king in near if chess.square_distance(king, square) == 1]
    if not near:
        return f"no king stands next to {chess.square_name(square)}"
    reasons = []
    for king in near:
        turned = with_turn(board, board.color_at(king) or chess.BLACK)
        reason = None if turned is None else _legal(turned, [king, square])
        if turned is not None and reason is None:
            return None
        reasons.append(reason or "the other king is in check")
    return reasons[0]


ARROWS: Final[dict[str, Test]] = {
    "attack": _attack,
    "guard": _guard,
    "pin": _pin,
    "check": _check,
    "threat": _threat,
    "move": _legal,
    "plan": _free,
}
MARKS: Final[dict[str, Test]] = {
    "target": _free,
    "loose": _loose,
    "hanging": _hanging,
    "weak": _free,
    "safe": _safe,
    "flight": _flight,
}
