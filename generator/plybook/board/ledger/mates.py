"""Mate in one, asked fast: most positions are settled by the squares a king could flee to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import chess

from plybook.board.exchange import with_turn

__all__ = ["mate_in_one"]

#: The library finds castling by the rook's square.
_CORNERS: Final = chess.BB_CORNERS


def mate_in_one(board: chess.Board, color: chess.Color) -> chess.Move | None:
    """Return a move by which `color`, if it is to move, mates at once; None when there is none.

    None too where the question makes no sense: the side to move is in check and must answer.
    The en passant right of the side to move counts only when `color` is that side.
    """
    enemy = board.occupied_co[not color]
    if not board.kings & enemy or not board.kings & board.occupied_co[color]:
        return None
    flights = _flights(board, color)
    asked: chess.Board | None = None
    for origin, target in _checks(board, color):
        if not _covers(board, color, origin, target, flights):
            continue
        asked = asked or with_turn(board, color)
        if asked is None:
            return None
        for move in asked.generate_legal_moves(1 << origin, 1 << target | _CORNERS):
            if move.to_square != target:
                continue
            after = asked.copy(stack=False)
            after.push(move)
            if after.is_checkmate():
                return move
    return None


def _flights(board: chess.Board, color: chess.Color) -> tuple[chess.Square, ...]:
    """Return the squares to which the enemy king of `color` could go, taking included."""
    king = board.king(not color)
    assert king is not None
    near = chess.BB_KING_ATTACKS[king] & ~board.occupied_co[not color]
    without = board.occupied ^ 1 << king
    return tuple(
        square
        for square in chess.scan_forward(near)
        if not board.attackers_mask(color, square, without)
    )


def _covers(
    board: chess.Board,
    color: chess.Color,
    origin: chess.Square,
    target: chess.Square,
    flights: tuple[chess.Square, ...],
) -> bool:
    """Return whether a move may leave the king no flight: False is certain, True a maybe."""
    if not flights:
        return True
    king = board.king(not color)
    occupied = (board.occupied & ~(1 << origin) | 1 << target) & ~(1 << (king or 0))
    for square in flights:
        if square == target:
            continue  # taking the checker: settled by playing it out
        others = board.attackers_mask(color, square, occupied) & ~(1 << origin)
        if not others and not _may_reach(board, origin, target, square, occupied):
            return False
    return True


def _may_reach(
    board: chess.Board,
    origin: chess.Square,
    target: chess.Square,
    square: chess.Square,
    occupied: int,
) -> bool:
    kind = board.piece_type_at(origin)
    if kind == chess.PAWN:
        return True  # it may promote: settled by playing it out
    if kind == chess.KNIGHT:
        return bool(chess.BB_KNIGHT_ATTACKS[target] >> square & 1)
    if kind == chess.KING:
        return True  # castling moves a rook as well
    reach = 0
    if kind in (chess.BISHOP, chess.QUEEN):
        reach |= chess.BB_DIAG_ATTACKS[target][chess.BB_DIAG_MASKS[target] & occupied]
    if kind in (chess.ROOK, chess.QUEEN):
        reach |= chess.BB_RANK_ATTACKS[target][chess.BB_RANK_MASKS[target] & occupied]
        reach |= chess.BB_FILE_ATTACKS[target][chess.BB_FILE_MASKS[target] & occupied]
    return bool(reach >> square & 1)


def _checks(board: chess.Board, color: chess.Color) -> Iterator[tuple[chess.Square, chess.Square]]:
    """Yield from-square and target of every move that may give check, perhaps some more."""
    king = board.king(not color)
    assert king is not None
    own, occupied = board.occupied_co[color], board.occupied
    diagonals = chess.BB_DIAG_ATTACKS[king][chess.BB_DIAG_MASKS[king] & occupied]
    straights = (
        chess.BB_RANK_ATTACKS[king][chess.BB_RANK_MASKS[king] & occupied]
        | chess.BB_FILE_ATTACKS[king][chess.BB_FILE_MASKS[king] & occupied]
    )
    wanted = {
        chess.KNIGHT: chess.BB_KNIGHT_ATTACKS[king],
        chess.BISHOP: diagonals,
        chess.ROOK: straights,
        chess.QUEEN: diagonals | straights,
    }
    screens = _screens(board, color, king)
    for origin in chess.scan_forward(own & ~board.pawns & ~board.kings):
        goals = board.attacks_mask(origin) & ~own
        if not screens >> origin & 1:
            kind = board.piece_type_at(origin)
            goals &= wanted[kind] if kind else 0
        yield from ((origin, target) for target in chess.scan_forward(goals))
    yield from _pawn_checks(board, color, king, screens)
    yield from _king_checks(board, color, straights, screens)


def _screens(board: chess.Board, color: chess.Color, king: chess.Square) -> int:
    """Return the own men that alone stand between an own line piece and the enemy king."""
    found = 0
    snipers = board.occupied_co[color] & (
        chess.BB_DIAG_ATTACKS[king][0] & (board.bishops | board.queens)
        | (chess.BB_RANK_ATTACKS[king][0] | chess.BB_FILE_ATTACKS[king][0])
        & (board.rooks | board.queens)
    )
    for sniper in chess.scan_forward(snipers):
        between = chess.between(sniper, king) & board.occupied
        if between and not between & (between - 1):
            found |= between & board.occupied_co[color]
    return found


def _pawn_checks(
    board: chess.Board, color: chess.Color, king: chess.Square, screens: int
) -> Iterator[tuple[chess.Square, chess.Square]]:
    wanted = chess.BB_PAWN_ATTACKS[not color][king] | chess.BB_BACKRANKS
    forward = 8 if color else -8
    enemy, free = board.occupied_co[not color], ~board.occupied
    passant = board.ep_square if board.turn == color else None
    if passant is not None:
        enemy |= 1 << passant
    first = chess.BB_RANK_2 if color else chess.BB_RANK_7
    for origin in chess.scan_forward(board.occupied_co[color] & board.pawns):
        goals = chess.BB_PAWN_ATTACKS[color][origin] & enemy
        step = origin + forward
        if 0 <= step < 64 and free >> step & 1:
            goals |= 1 << step
            if first >> origin & 1 and free >> (step + forward) & 1:
                goals |= 1 << step + forward
        if not screens >> origin & 1:
            goals &= wanted | (1 << passant if passant is not None else 0)
        yield from ((origin, target) for target in chess.scan_forward(goals))


def _king_checks(
    board: chess.Board, color: chess.Color, straights: int, screens: int
) -> Iterator[tuple[chess.Square, chess.Square]]:
    """Yield king moves that uncover a check, and castlings whose rook checks."""
    origin = board.king(color)
    assert origin is not None
    if screens >> origin & 1:
        goals = chess.BB_KING_ATTACKS[origin] & ~board.occupied_co[color]
        yield from ((origin, target) for target in chess.scan_forward(goals))
    if board.castling_rights & (chess.BB_RANK_1 if color else chess.BB_RANK_8):
        rank = 0 if color else 56
        for target, rook in ((rank + 6, rank + 5), (rank + 2, rank + 3)):
            # the king leaves the rank, so a check along it counts as well
            if straights >> rook & 1 or origin >> 3 == (board.king(not color) or 0) >> 3:
                yield origin, target
