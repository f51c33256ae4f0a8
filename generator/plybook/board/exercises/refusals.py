"""Why a man that could go somewhere by its way of moving may not: always for its king's sake."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import chess

from plybook.board.exercises.model import Refusal, RefusalKind

__all__ = ["refusals_at"]


def refusals_at(board: chess.Board) -> Mapping[tuple[str, str], Refusal]:
    """Return the refusals of the side to move, by the squares the man would go from and to.

    The key (from, "") speaks of every move of a man that has none, where one reason covers all.
    """
    found: dict[tuple[str, str], Refusal] = {}
    if board.king(board.turn) is None:
        return found
    legal = set(board.legal_moves)
    free = {move.from_square for move in legal}
    by_man: dict[chess.Square, dict[chess.Square, Refusal]] = {}
    for move in board.generate_pseudo_legal_moves():
        if move not in legal:
            refusal = _refusal(board, move)
            by_man.setdefault(move.from_square, {}).setdefault(move.to_square, refusal)
    for move, refusal in _castlings(board):
        by_man.setdefault(move.from_square, {}).setdefault(move.to_square, refusal)
    for origin, refused in sorted(by_man.items()):
        name = chess.SQUARE_NAMES[origin]
        reasons = set(refused.values())
        if origin not in free and len(reasons) == 1:
            found[name, ""] = reasons.pop()
        else:
            for target, refusal in sorted(refused.items()):
                found[name, chess.SQUARE_NAMES[target]] = refusal
    return found


def _refusal(board: chess.Board, move: chess.Move) -> Refusal:
    """Return why a move that a man could make is illegal.

    Decided by playing it, so that the pin of both pawns in a capture en passant counts.
    """
    after = board.copy(stack=False)
    after.push(move)
    king = after.king(not after.turn)
    assert king is not None  # a move is illegal only for the king's sake
    exposed = after.attackers_mask(after.turn, king)
    if board.piece_type_at(move.from_square) == chess.KING:
        return _told(after, RefusalKind.INTO_CHECK, "k", exposed)
    man = chess.piece_symbol(board.piece_type_at(move.from_square) or chess.PAWN)
    pinners = exposed & ~board.checkers_mask()
    if pinners:
        return _told(after, RefusalKind.PINNED, man, pinners)
    return _told(after, RefusalKind.IN_CHECK, man, exposed)


def _told(board: chess.Board, kind: RefusalKind, man: str, attackers: int) -> Refusal:
    square = chess.lsb(attackers)
    by = chess.piece_symbol(board.piece_type_at(square) or chess.PAWN)
    return Refusal(kind=kind, man=man, by=by, on=chess.SQUARE_NAMES[square])


def _castlings(board: chess.Board) -> Iterator[tuple[chess.Move, Refusal]]:
    """Yield the castlings whose way is free and whose right is there, but not now.

    Articles 3.8.2.2.1 of the Laws of Chess: not out of check, nor through an attacked square.
    """
    king = board.king(board.turn)
    rank = chess.BB_RANK_1 if board.turn else chess.BB_RANK_8
    if king is None or not board.has_castling_rights(board.turn):
        return
    for rook in chess.scan_forward(board.clean_castling_rights() & rank):
        between = chess.between(king, rook)
        if between & board.occupied:
            continue
        step = 1 if rook > king else -1
        move = chess.Move(king, king + 2 * step)
        if board.is_legal(move):
            continue
        if board.is_check():
            yield move, _told(board, RefusalKind.CASTLING_OUT, "k", board.checkers_mask())
            continue
        passed = board.attackers_mask(not board.turn, king + step)
        if passed:
            told = _told(board, RefusalKind.CASTLING_THROUGH, "k", passed)
            yield (
                move,
                Refusal(
                    kind=told.kind,
                    man="k",
                    by=told.by,
                    on=told.on,
                    through=chess.SQUARE_NAMES[king + step],
                ),
            )
        else:  # the square it aims at is all that is left
            aimed = board.attackers_mask(not board.turn, king + 2 * step)
            yield move, _told(board, RefusalKind.INTO_CHECK, "k", aimed)
