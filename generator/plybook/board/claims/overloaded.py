"""A man that guards more than it can."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.model import CannotAskError, Reach, Verdict
from plybook.board.claims.turning import turned_to
from plybook.board.claims.words import listed, man_on, say
from plybook.board.exchange import best_capture
from plybook.text.claim_model import Overloaded

__all__ = ["settle_overloaded", "wards_of"]


def wards_of(board: chess.Board, guard: chess.Square) -> dict[chess.Square, int]:
    """Return the men that hang once the guard is gone and do not hang now, with the loss."""
    owner = board.color_at(guard)
    bare = board.copy(stack=False)
    bare.remove_piece_at(guard)
    wards = {}
    for square in chess.scan_forward(board.occupied_co[owner] if owner is not None else 0):
        if square == guard or board.piece_type_at(square) == chess.KING:
            continue
        lost = best_capture(bare, square)
        if lost and best_capture(board, square) is None:
            wards[square] = lost[0]
    return wards


def settle_overloaded(claim: Overloaded, asked: Asked) -> Verdict:
    """Overloaded: each of the men named hangs as soon as this one is gone."""
    board = asked.board()
    guard = chess.parse_square(claim.square)
    owner = board.color_at(guard)
    if owner is None or board.piece_type_at(guard) == chess.KING:
        raise CannotAskError(
            f"{man_on(board, guard)}: only a man that can be taken away is overloaded"
        )
    turned_to(board, not owner)
    wards = wards_of(board, guard)
    missing = [name for name in claim.wards if chess.parse_square(name) not in wards]
    found = [f"{chess.SQUARE_NAMES[square]} (else loses {loss})" for square, loss in wards.items()]
    if not missing:
        return Verdict(reach=Reach.PROVED, evidence=say("it keeps ", listed(found)))
    keeps = say("; it keeps ", listed(found)) if found else ()
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(
            f"without it {missing[0]} ",
            "would not be lost"
            if best_capture(board, chess.parse_square(missing[0])) is None
            else "is lost as it is now",
            keeps,
        ),
    )
