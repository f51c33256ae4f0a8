"""The position with the other side to move: what a threat is asked of."""

from __future__ import annotations

import chess

from plybook.board.claims.model import CannotAskError
from plybook.board.claims.words import colour
from plybook.board.exchange import with_turn

__all__ = ["turned_to"]


def turned_to(board: chess.Board, color: chess.Color) -> chess.Board:
    """Return the position with `color` to move, numbered as after a pass.

    Raises CannotAskError where the side that would pass stands in check.
    """
    turned = with_turn(board, color)
    if turned is None:
        raise CannotAskError(
            f"{colour(not color)} is in check, so what {colour(color)} could do"
            " if it were to move has no meaning here"
        )
    if turned is board:
        return board.copy(stack=False)
    if color:
        turned.fullmove_number += 1
    return turned
