"""What the Laws allow: the only legal reply, illegal moves and why, legal moves that lose."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked, read_tried
from plybook.board.claims.model import CannotAskError, MoveSaid, Reach, Verdict
from plybook.board.claims.words import (
    listed,
    man_on,
    say,
    say_line,
    say_move,
    square_list,
    squares_of,
)
from plybook.board.exchange import best_capture
from plybook.text.claim_model import (
    IllegalGuarded,
    IllegalPinned,
    LegalButLoses,
    LongMove,
    MoveWord,
    OnlyLegalReply,
)

__all__ = [
    "settle_illegal_guarded",
    "settle_illegal_pinned",
    "settle_legal_but_loses",
    "settle_only_legal_reply",
]


def settle_only_legal_reply(claim: OnlyLegalReply, asked: Asked) -> Verdict:
    """After the move there is one legal reply, and it is this one."""
    board, (move,) = asked.advanced((claim.move,))
    reply = asked.move(claim.reply, board)
    others = [other for other in board.legal_moves if other != reply]
    if not others:
        return Verdict(reach=Reach.PROVED, evidence=("no other move is legal",))
    said = [say_move(board, other) for other in others]
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(listed(said), " is legal too" if len(said) == 1 else " are legal too"),
        counter=say_line(asked.board(), (move, others[0])),
    )


def _tried(
    asked: Asked, before: tuple[MoveWord, ...], word: MoveWord | LongMove
) -> tuple[chess.Board, chess.Move]:
    board, _ = asked.advanced(before)
    return board, read_tried(word, board)


def _it_is_legal(
    asked: Asked, before: tuple[MoveWord, ...], board: chess.Board, move: chess.Move
) -> Verdict:
    _, moves = asked.advanced(before)
    counter: tuple[MoveSaid, ...] = say_line(asked.board(), (*moves, move))
    return Verdict(
        reach=Reach.FALSE, evidence=say(say_move(board, move), " is legal"), counter=counter
    )


def settle_illegal_guarded(claim: IllegalGuarded, asked: Asked) -> Verdict:
    """The king may not go there: the man named attacks the square (article 3.9 of the Laws)."""
    board, move = _tried(asked, claim.before, claim.move)
    if board.piece_type_at(move.from_square) != chess.KING:
        raise CannotAskError(f"{claim.move} is no king move: say by which man it is pinned")
    if board.is_legal(move):
        return _it_is_legal(asked, claim.before, board, move)
    # the king does not shield the square it goes to from a line piece behind it
    occupied = board.occupied & ~chess.BB_SQUARES[move.from_square]
    guards = board.attackers_mask(not board.turn, move.to_square, occupied)
    guards &= ~chess.BB_SQUARES[move.to_square]
    target = chess.SQUARE_NAMES[move.to_square]
    is_true = claim.guard in squares_of(guards)
    return Verdict(
        reach=Reach.PROVED if is_true else Reach.FALSE,
        evidence=(f"{target} is guarded from {square_list(guards)}",),
    )


def settle_illegal_pinned(claim: IllegalPinned, asked: Asked) -> Verdict:
    """The man may not leave: the man named would then take the king.

    Decided by playing the move, so that a pin of both pawns in a capture en passant counts.
    """
    board, move = _tried(asked, claim.before, claim.move)
    if board.piece_type_at(move.from_square) == chess.KING:
        raise CannotAskError(f"{claim.move} is a king move: say by which man the square is guarded")
    if board.is_legal(move):
        return _it_is_legal(asked, claim.before, board, move)
    checkers = board.checkers_mask()
    after = board.copy(stack=False)
    after.push(move)
    king = after.king(not after.turn)
    assert king is not None  # a move is illegal only for the king's sake
    exposed = after.attackers_mask(after.turn, king)
    pinners = exposed & ~checkers
    man = man_on(board, move.from_square)
    if claim.pinner in squares_of(pinners):
        words = f"without {man} the king on {chess.SQUARE_NAMES[king]} would be taken"
        return Verdict(reach=Reach.PROVED, evidence=(f"{words} from {claim.pinner}",))
    if pinners:
        words = f"{man} is pinned by {square_list(pinners)}"
    else:
        words = f"it is illegal since the check from {square_list(exposed)} is not answered"
    return Verdict(reach=Reach.FALSE, evidence=(words,))


def settle_legal_but_loses(claim: LegalButLoses, asked: Asked) -> Verdict:
    """The move is legal, and the best capture it then allows wins exactly that much.

    What the move itself has taken is not set off; the evidence names it.
    """
    board, move = _tried(asked, claim.before, claim.move)
    _, moves = asked.advanced(claim.before)
    if not board.is_legal(move):
        king = (
            "the square is attacked"
            if board.piece_type_at(move.from_square) == chess.KING
            else "it leaves the king in check"
        )
        return Verdict(reach=Reach.FALSE, evidence=(f"{claim.move} is illegal: {king}",))
    after = board.copy(stack=False)
    after.push(move)
    worst: tuple[int, chess.Move] | None = None
    for square in chess.scan_forward(after.occupied_co[not after.turn] & ~after.kings):
        found = best_capture(after, square)
        if found and (worst is None or found[0] > worst[0]):
            worst = found
    if worst is None:
        return Verdict(
            reach=Reach.FALSE,
            evidence=("no capture after it wins anything",),
            counter=say_line(asked.board(), (*moves, move)),
        )
    loss, capture = worst
    is_true = loss == claim.worth
    return Verdict(
        reach=Reach.PROVED if is_true else Reach.FALSE,
        evidence=say(say_move(after, capture), f" then wins {loss}"),
        counter=() if is_true else say_line(asked.board(), (*moves, move, capture)),
    )
