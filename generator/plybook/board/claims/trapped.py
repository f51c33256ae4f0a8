"""A man that is lost whatever its side does."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.material import MaterialSearch, balance_of
from plybook.board.claims.model import CannotAskError, Reach, Verdict
from plybook.board.claims.turning import turned_to
from plybook.board.claims.words import also, colour, man_on, net_words, say, say_move
from plybook.board.exchange import best_capture, gain_of
from plybook.text.claim_model import Trapped

__all__ = ["safe_squares", "settle_trapped"]

_DEPTH: Final = 3  # plies searched after a reply that captures alone do not settle


def settle_trapped(claim: Trapped, asked: Asked) -> Verdict:
    """The man is attacked with profit, and every legal reply loses at least that much.

    A reply loses it when the other side gains it by captures alone, or within three plies.
    """
    board = asked.board()
    square = chess.parse_square(claim.square)
    owner = board.color_at(square)
    if owner is None or board.piece_type_at(square) == chess.KING:
        raise CannotAskError(f"{man_on(board, square)}: no man that can be trapped")
    if owner != board.turn:
        raise CannotAskError(
            f"{colour(not owner)} is to move: ask after the move that traps {man_on(board, square)}"
        )
    if not any(board.generate_legal_moves()):
        raise CannotAskError("the game is over here")
    if best_capture(turned_to(board, not owner), square) is None:
        return Verdict(
            reach=Reach.FALSE, evidence=(f"no capture of {man_on(board, square)} profits",)
        )
    search = MaterialSearch(
        level=balance_of(board) if board.turn else -balance_of(board),
        node_limit=asked.budget.search_nodes,
    )
    saved, depth = _saving_replies(board, claim.worth, search)
    if saved:
        replies = [say(say_move(board, reply), net_words(net)) for reply, net in saved]
        return Verdict(
            reach=Reach.FALSE,
            evidence=say(replies[0], " saves it", also(replies[1:])),
            counter=(say_move(board, saved[0][0]),),
            cost=max(0, -saved[0][1]),
            nodes=search.nodes,
        )
    count = board.legal_moves.count()
    safe = safe_squares(board, square)
    room = "" if safe else "no safe square; "
    return Verdict(
        reach=Reach.HOLDS,
        depth=depth,
        evidence=(f"{room}each of {count} replies loses {claim.worth} or more",),
        nodes=search.nodes,
    )


def _saving_replies(
    board: chess.Board, worth: int, search: MaterialSearch
) -> tuple[list[tuple[chess.Move, int]], int]:
    """Return the replies that lose less than `worth`, dearest last, and the depth that took."""
    before = balance_of(board)
    target = worth - before  # what the other side, to move, must reach
    saved, depth = [], 1
    for reply in board.legal_moves:
        after = board.copy(stack=False)
        after.push(reply)
        for plies in range(_DEPTH + 1):
            value = search.value(after, plies, target - 1, target)
            if value >= target:
                depth = max(depth, 1 + plies)
                break
        else:
            net = -search.value(after, _DEPTH) - before
            saved.append((reply, net))
    return sorted(saved, key=lambda found: -found[1]), depth


def safe_squares(board: chess.Board, square: chess.Square) -> tuple[chess.Move, ...]:
    """Return the moves of a man to where no capture of it profits, what it took set off."""
    safe = []
    for move in board.generate_legal_moves(chess.BB_SQUARES[square]):
        after = board.copy(stack=False)
        after.push(move)
        loss = best_capture(after, move.to_square)
        if loss is None or loss[0] <= gain_of(board, move):
            safe.append(move)
    return tuple(safe)
