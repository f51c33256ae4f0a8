"""What a move uncovers: attacks by the man behind, and double check."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.model import Reach, Verdict
from plybook.board.claims.words import man_on, square_list
from plybook.text.claim_model import GivesDoubleCheck, Uncovers

__all__ = ["settle_double_check", "settle_uncovers", "uncovered"]


def settle_double_check(claim: GivesDoubleCheck, asked: Asked) -> Verdict:
    """Double check: two men give check after the move."""
    board, _ = asked.advanced((claim.move,))
    checkers = board.checkers_mask()
    count = checkers.bit_count()
    if count == 2:
        words = f"check from {square_list(checkers)}"
    else:
        words = f"check from {square_list(checkers)} only" if count else "it gives no check"
    return Verdict(reach=Reach.PROVED if count == 2 else Reach.FALSE, evidence=(words,))


def uncovered(board: chess.Board, move: chess.Move) -> tuple[tuple[int, int], ...]:
    """Return what a move uncovers: pairs of a line piece that stood still and its new target.

    The target is an enemy man that the piece attacks after the move and not before.
    """
    after = board.copy(stack=False)
    after.push(move)
    sliders = (board.bishops | board.rooks | board.queens) & board.occupied_co[board.turn]
    found = []
    for slider in chess.scan_forward(sliders & ~chess.BB_SQUARES[move.from_square]):
        gained = after.attacks_mask(slider) & ~board.attacks_mask(slider)
        for target in chess.scan_forward(gained & after.occupied_co[not board.turn]):
            found.append((slider, target))
    return tuple(found)


def settle_uncovers(claim: Uncovers, asked: Asked) -> Verdict:
    """A discovered attack: the man named did not move and attacks the target only after."""
    board = asked.board()
    move = asked.move(claim.move)
    pair = (chess.parse_square(claim.slider), chess.parse_square(claim.target))
    found = uncovered(board, move)
    if pair in found:
        words = f"{man_on(board, pair[0])} now attacks {man_on(board, pair[1])}"
        return Verdict(reach=Reach.PROVED, evidence=(words,))
    if found:
        pairs = [f"{chess.SQUARE_NAMES[a]} on {chess.SQUARE_NAMES[b]}" for a, b in found]
        words = f"it uncovers {', '.join(pairs)}"
    else:
        words = "it uncovers nothing"
    return Verdict(reach=Reach.FALSE, evidence=(words,))
