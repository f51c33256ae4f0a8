"""Pins and skewers: two men of one side on a line before a bishop, rook or queen."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.model import Reach, Verdict
from plybook.board.claims.words import man_on
from plybook.board.exchange import VALUES, exchange_value, with_turn
from plybook.board.pins import Pin, find_pin
from plybook.text.claim_model import Pinned, Skewered

__all__ = ["find_skewer", "pins_of", "settle_pinned", "settle_skewered"]

_SLIDERS = (chess.BISHOP, chess.ROOK, chess.QUEEN)


def pins_of(
    board: chess.Board, pinned: chess.Square
) -> tuple[tuple[chess.Square, chess.Square, Pin], ...]:
    """Return the pins on one man: pinner, man behind, and the pin, in the order of squares."""
    owner = board.color_at(pinned)
    if owner is None:
        return ()
    found = []
    for pinner in board.attackers(not owner, pinned):
        for behind in _next_on_line(board, pinner, pinned):
            pin = find_pin(board, pinner, pinned, behind)
            if pin:
                found.append((pinner, behind, pin))
    return tuple(found)


def _next_on_line(
    board: chess.Board, slider: chess.Square, front: chess.Square
) -> tuple[chess.Square, ...]:
    """Return the first man behind `front` as the slider looks at it, if there is one."""
    if board.piece_type_at(slider) not in _SLIDERS:
        return ()
    line = chess.ray(slider, front) & board.occupied
    return tuple(
        square
        for square in chess.scan_forward(line)
        if chess.between(slider, square) & board.occupied == chess.BB_SQUARES[front]
    )


def settle_pinned(claim: Pinned, asked: Asked) -> Verdict:
    """Absolute: behind stands the king. Relative: behind stands a man that is then lost."""
    board = asked.board()
    pinner, pinned, behind = map(chess.parse_square, (claim.pinner, claim.pinned, claim.behind))
    kind = board.piece_type_at(pinned)
    if kind is None or chess.piece_name(kind) != claim.man:
        return _false(f"{man_on(board, pinned)}, not the {claim.man}")
    pin = find_pin(board, pinner, pinned, behind)
    if pin is None:
        others = [
            f"pinned by {chess.SQUARE_NAMES[other]} to {chess.SQUARE_NAMES[prize]}"
            for other, prize, _ in pins_of(board, pinned)
        ]
        where = f"{man_on(board, pinned)} is {' and '.join(others) if others else 'not pinned'}"
        return _false(f"{where}: {_why_no_pin(board, pinner, pinned, behind)}")
    if pin.is_absolute != (claim.kind == "absolute"):
        actual = "absolute" if pin.is_absolute else "relative"
        return _false(f"the pin is {actual}: behind stands {man_on(board, behind)}")
    shielded = f"{man_on(board, pinned)} shields {man_on(board, behind)}"
    worth = "" if pin.is_absolute else f", where {man_on(board, pinner)} would win {pin.worth}"
    return Verdict(reach=Reach.PROVED, evidence=(shielded + worth,))


def _why_no_pin(
    board: chess.Board, pinner: chess.Square, pinned: chess.Square, behind: chess.Square
) -> str:
    slider, shield, prize = (board.piece_at(square) for square in (pinner, pinned, behind))
    if slider is None or slider.piece_type not in _SLIDERS:
        return f"{man_on(board, pinner)} cannot pin"
    if shield is None or shield.color == slider.color:
        return f"{man_on(board, pinned)} is of the same side as the pinner"
    if behind not in _next_on_line(board, pinner, pinned):
        return f"{chess.SQUARE_NAMES[behind]} is not the next man behind it"
    if prize is None or prize.color == slider.color:
        return f"{man_on(board, behind)} is of the pinner's side"
    if VALUES[prize.piece_type] <= VALUES[shield.piece_type]:
        return f"{man_on(board, behind)} is worth no more than the man before it"
    return f"taking {man_on(board, behind)} would win nothing"


def find_skewer(
    board: chess.Board, slider: chess.Square, front: chess.Square, behind: chess.Square
) -> int | None:
    """Return what a skewer wins behind the man in front, or None where there is no skewer.

    The man in front is the king, or worth more than the one behind and lost if it stays; with it
    gone the slider takes the one behind with profit. Equal values are neither pin nor skewer.
    """
    attacker, shield, prize = (board.piece_at(square) for square in (slider, front, behind))
    if attacker is None or shield is None or prize is None:
        return None
    if shield.color == attacker.color or prize.color == attacker.color:
        return None
    if front not in board.attacks(slider) or behind not in _next_on_line(board, slider, front):
        return None
    is_king = shield.piece_type == chess.KING
    if not is_king:
        turned = with_turn(board, attacker.color)
        capture = chess.Move(slider, front)
        if VALUES[shield.piece_type] <= VALUES[prize.piece_type] or turned is None:
            return None
        if not turned.is_legal(capture) or exchange_value(turned, capture) <= 0:
            return None
    bare = board.copy(stack=False)
    bare.remove_piece_at(front)
    turned = with_turn(bare, attacker.color)
    capture = chess.Move(slider, behind)
    if turned is None or not turned.is_legal(capture):
        return None
    worth = exchange_value(turned, capture)
    return worth if worth > 0 else None


def settle_skewered(claim: Skewered, asked: Asked) -> Verdict:
    """A skewer as `find_skewer` defines it."""
    board = asked.board()
    front, slider, behind = map(chess.parse_square, (claim.front, claim.slider, claim.behind))
    kind = board.piece_type_at(front)
    if kind is None or chess.piece_name(kind) != claim.man:
        return _false(f"{man_on(board, front)}, not the {claim.man}")
    worth = find_skewer(board, slider, front, behind)
    if worth is None:
        pin = find_pin(board, slider, front, behind)
        reason = "it is a pin: the man behind is worth more" if pin else "nothing is won behind it"
        return _false(f"{man_on(board, front)} is not skewered by {claim.slider}: {reason}")
    return Verdict(
        reach=Reach.PROVED,
        evidence=(f"when {man_on(board, front)} moves, {man_on(board, behind)} falls: {worth}",),
    )


def _false(words: str) -> Verdict:
    return Verdict(reach=Reach.FALSE, evidence=(words,))
