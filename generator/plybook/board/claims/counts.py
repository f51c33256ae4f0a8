"""How often a man is attacked and guarded, and whether it is loose, hanging or safe."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked, color_of
from plybook.board.claims.model import CannotAskError, Reach, Verdict
from plybook.board.claims.turning import turned_to
from plybook.board.claims.words import (
    colour,
    man_on,
    say,
    say_move,
    square_list,
    squares_of,
    times,
)
from plybook.board.exchange import best_capture, exchange_value
from plybook.text.claim_model import Attacked, Hanging, Loose, Safe

__all__ = [
    "behind",
    "settle_attacked",
    "settle_hanging",
    "settle_loose",
    "settle_safe",
]


def behind(board: chess.Board, color: chess.Color, square: chess.Square) -> chess.Bitboard:
    """Return the men of a side that attack a square once the men before them are gone.

    Men of the other side are not looked through: that is no attack by the Laws of Chess.
    """
    front = board.attackers_mask(color, square)
    seen, occupied, layer = front, board.occupied, front
    while layer:
        occupied &= ~layer
        layer = board.attackers_mask(color, square, occupied) & ~seen
        seen |= layer
    return seen & ~front


def settle_attacked(claim: Attacked, asked: Asked) -> Verdict:
    """Count by articles 3.1.2 and 3.1.3 of the Laws of Chess: a pinned man attacks too."""
    board = asked.board()
    square = chess.parse_square(claim.square)
    side = color_of(claim.side)
    if board.color_at(square) == side:
        raise CannotAskError(
            f"{man_on(board, square)} is {colour(side)}'s own: "
            f"say how often {colour(not side)} attacks it"
        )
    attacks = board.attackers_mask(side, square)
    guards = board.attackers_mask(not side, square)
    is_true = (attacks.bit_count(), guards.bit_count()) == (claim.attacks, claim.guards)
    return Verdict(
        reach=Reach.PROVED if is_true else Reach.FALSE,
        evidence=(
            f"attacked {_counted(board, side, square)}, "
            f"guarded {_counted(board, not side, square)}",
        ),
    )


def _counted(board: chess.Board, color: chess.Color, square: chess.Square) -> str:
    front = board.attackers_mask(color, square)
    if not front:
        return times(0, "time")
    more = behind(board, color, square)
    tail = f" ({more.bit_count()} more behind: {square_list(more)})" if more else ""
    return f"{times(front.bit_count(), 'time')} from {square_list(front)}{tail}"


def _man(board: chess.Board, name: str) -> tuple[chess.Square, chess.Color]:
    """Return the square of a man that can be taken, and its owner."""
    square = chess.parse_square(name)
    owner = board.color_at(square)
    if owner is None:
        raise CannotAskError(f"no man stands on {name}")
    if board.piece_type_at(square) == chess.KING:
        raise CannotAskError(f"the king stands on {name}, and kings are not taken")
    return square, owner


def settle_loose(claim: Loose, asked: Asked) -> Verdict:
    """Loose: no man of its own side attacks its square."""
    board = asked.board()
    square, owner = _man(board, claim.square)
    guards = board.attackers_mask(owner, square)
    if guards:
        return Verdict(
            reach=Reach.FALSE,
            evidence=(f"{man_on(board, square)} is guarded from {square_list(guards)}",),
        )
    return Verdict(reach=Reach.PROVED, evidence=(f"nothing guards {man_on(board, square)}",))


def settle_hanging(claim: Hanging, asked: Asked) -> Verdict:
    """Hanging: the other side, were it to move, has a capture of it that wins something."""
    board = asked.board()
    square, owner = _man(board, claim.square)
    turned = turned_to(board, not owner)
    found = best_capture(turned, square)
    if found:
        value, move = found
        return Verdict(reach=Reach.PROVED, evidence=say(say_move(turned, move), f" wins {value}"))
    return Verdict(reach=Reach.FALSE, evidence=(_why_safe(turned, square),))


def settle_safe(claim: Safe, asked: Asked) -> Verdict:
    """Safe: a man that is not hanging."""
    board = asked.board()
    square, owner = _man(board, claim.square)
    turned = turned_to(board, not owner)
    found = best_capture(turned, square)
    if found:
        value, move = found
        said = say_move(turned, move)
        return Verdict(reach=Reach.FALSE, evidence=say(said, f" wins {value}"), counter=(said,))
    return Verdict(reach=Reach.PROVED, evidence=(_why_safe(turned, square),))


def _why_safe(turned: chess.Board, square: chess.Square) -> str:
    """Return why no capture wins anything; the side that could capture is to move."""
    moves = list(turned.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[square]))
    if not moves:
        attackers = squares_of(turned.attackers_mask(turned.turn, square))
        if attackers:
            return f"the man on {attackers[0]} attacks it but may not take it"
        return f"no man of {colour(turned.turn)} attacks it"
    value, san = max(
        ((exchange_value(turned, move), turned.san(move)) for move in moves),
        key=lambda found: found[0],
    )
    result = "only trades" if value == 0 else f"loses {-value}"
    return f"{san} {result}"
