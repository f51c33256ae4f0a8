"""Mate in one, asked fast: most positions are settled by the squares a king could flee to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import chess

from plybook.board.exchange import with_turn

__all__ = ["mate_in_one"]

#: The library finds castling by the rook's square.
_CORNERS: Final = chess.BB_CORNERS

#: Kinds whose reach from a target square tells whether a flight is covered. A pawn may promote, and
#: castling moves a rook: these are settled by playing them out.
_REACHES: Final = frozenset((chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN))


def mate_in_one(board: chess.Board, color: chess.Color) -> chess.Move | None:
    """Return a move by which `color`, if it is to move, mates at once; None when there is none.

    None too where the question makes no sense: the side to move is in check and must answer.
    The en passant right of the side to move counts only when `color` is that side.
    """
    king = (board.kings & board.occupied_co[not color]).bit_length() - 1
    if king < 0 or not board.kings & board.occupied_co[color]:
        return None
    flights: tuple[chess.Square, ...] | None = None
    asked: chess.Board | None = None
    screens = _screens(board, color, king)
    for origin, kind, goals in _checks(board, color, king, screens):
        if kind in _REACHES:
            if flights is None:
                flights = _flights(board, color, king)
            goals = _covering(board, color, king, origin, kind, goals, flights)
            if not screens >> origin & 1:
                goals = _unanswered(board, color, king, origin, goals)
        if not goals:
            continue
        asked = asked or with_turn(board, color)
        if asked is None:
            return None
        for move in asked.generate_legal_moves(1 << origin, goals | _CORNERS):
            if goals >> move.to_square & 1:
                after = asked.copy(stack=False)
                after.push(move)
                if after.is_checkmate():
                    return move
    return None


def _flights(board: chess.Board, color: chess.Color, king: chess.Square) -> tuple[int, ...]:
    """Return the squares to which the enemy king of `color` could go, taking included."""
    near = chess.BB_KING_ATTACKS[king] & ~board.occupied_co[not color]
    without = board.occupied ^ 1 << king
    return tuple(
        square
        for square in chess.scan_forward(near)
        if not board.attackers_mask(color, square, without)
    )


def _covering(
    board: chess.Board,
    color: chess.Color,
    king: chess.Square,
    origin: chess.Square,
    kind: chess.PieceType,
    goals: int,
    flights: tuple[chess.Square, ...],
) -> int:
    """Return those goals of a piece from which no flight may be left to the king.

    A goal that stays is a maybe; one that goes is certain. A flight counts as covered where the
    piece stands on it (that the king could take it is settled by playing it out), and where a line
    of another man runs through the square that the piece leaves.
    """
    occupied = board.occupied & ~(1 << origin | 1 << king)
    for square in flights:
        reach = 1 << square
        if kind == chess.KNIGHT:
            reach |= chess.BB_KNIGHT_ATTACKS[square]
        if kind in (chess.BISHOP, chess.QUEEN):
            reach |= chess.BB_DIAG_ATTACKS[square][chess.BB_DIAG_MASKS[square] & occupied]
        if kind in (chess.ROOK, chess.QUEEN):
            reach |= chess.BB_RANK_ATTACKS[square][chess.BB_RANK_MASKS[square] & occupied]
            reach |= chess.BB_FILE_ATTACKS[square][chess.BB_FILE_MASKS[square] & occupied]
        if goals & ~reach and chess.BB_RAYS[origin][square]:
            others = board.attackers_mask(color, square, occupied) & ~(1 << origin)
            if others:
                continue
        goals &= reach
        if not goals:
            break
    return goals


def _unanswered(
    board: chess.Board, color: chess.Color, king: chess.Square, origin: chess.Square, goals: int
) -> int:
    """Return those goals of a checking piece, no screen, where no man but the king is seen to take
    it or to step between. A goal that stays is a maybe: pawns may step between as well."""
    for target in chess.scan_forward(goals):
        occupied = board.occupied & ~(1 << origin) | 1 << target
        enemies = board.occupied_co[not color] & ~(board.kings | 1 << target)
        between = chess.between(king, target)
        for square in (target, *chess.scan_forward(between)):
            men = board.attackers_mask(not color, square, occupied) & enemies
            if square != target:
                men &= ~board.pawns
            if any(
                _shields(board, color, king, occupied & ~(1 << man) | 1 << square, origin, target)
                for man in chess.scan_forward(men)
            ):
                goals ^= 1 << target
                break
    return goals


def _shields(
    board: chess.Board,
    color: chess.Color,
    king: chess.Square,
    occupied: int,
    origin: chess.Square,
    target: chess.Square,
) -> bool:
    """Return whether the king is safe once a man has answered the check, with these squares
    occupied: the checker has gone from its old square, and is taken or cut off."""
    lines = board.attackers_mask(color, king, occupied) & ~(1 << origin | 1 << target)
    return not lines


def _checks(
    board: chess.Board, color: chess.Color, king: chess.Square, screens: int
) -> Iterator[tuple[chess.Square, chess.PieceType, int]]:
    """Yield from-square, kind and targets of all moves that may give check, perhaps some more."""
    own, occupied = board.occupied_co[color], board.occupied
    diagonals = chess.BB_DIAG_ATTACKS[king][chess.BB_DIAG_MASKS[king] & occupied]
    straights = (
        chess.BB_RANK_ATTACKS[king][chess.BB_RANK_MASKS[king] & occupied]
        | chess.BB_FILE_ATTACKS[king][chess.BB_FILE_MASKS[king] & occupied]
    )
    for kind, men, wanted in (
        (chess.KNIGHT, board.knights, chess.BB_KNIGHT_ATTACKS[king] & ~own),
        (chess.BISHOP, board.bishops, diagonals & ~own),
        (chess.ROOK, board.rooks, straights & ~own),
        (chess.QUEEN, board.queens, (diagonals | straights) & ~own),
    ):
        men &= own
        while men:
            origin = men.bit_length() - 1
            men ^= 1 << origin
            goals = ~own if screens >> origin & 1 else wanted
            goals &= board.attacks_mask(origin)
            if goals:
                yield origin, kind, goals
    yield from _pawn_checks(board, color, king, screens)
    yield from _king_checks(board, color, king, straights, screens)


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
) -> Iterator[tuple[chess.Square, chess.PieceType, int]]:
    """Yield pawn moves that check or promote, and every move of a pawn that is a screen."""
    wanted = chess.BB_PAWN_ATTACKS[not color][king] | chess.BB_BACKRANKS
    passant = 0
    if board.ep_square is not None and board.turn == color:
        passant = 1 << board.ep_square
    pawns = board.pawns & board.occupied_co[color]
    near = pawns & (_behind(wanted, color) | screens)
    if passant:
        near |= pawns & chess.BB_PAWN_ATTACKS[not color][passant.bit_length() - 1]
    for origin in chess.scan_forward(near):
        enemy = board.occupied_co[not color] | passant
        goals = chess.BB_PAWN_ATTACKS[color][origin] & enemy
        step = origin + (8 if color else -8)
        if not board.occupied >> step & 1:
            goals |= 1 << step
            far = step + (8 if color else -8)
            if origin >> 3 == (1 if color else 6) and not board.occupied >> far & 1:
                goals |= 1 << far
        if not screens >> origin & 1:
            goals &= wanted | passant
        if goals:
            yield origin, chess.PAWN, goals


def _behind(squares: int, color: chess.Color) -> int:
    """Return the squares from which a pawn could go or capture to one of some squares."""
    if color:
        one, two = squares >> 8, squares >> 16
    else:
        one, two = squares << 8 & chess.BB_ALL, squares << 16 & chess.BB_ALL
    aside = (one & ~chess.BB_FILE_A) >> 1 | (one & ~chess.BB_FILE_H) << 1
    return one | aside | two & (chess.BB_RANK_2 if color else chess.BB_RANK_7)


def _king_checks(
    board: chess.Board, color: chess.Color, king: chess.Square, straights: int, screens: int
) -> Iterator[tuple[chess.Square, chess.PieceType, int]]:
    """Yield king moves that uncover a check, and castlings whose rook checks."""
    rights = board.castling_rights & (chess.BB_RANK_1 if color else chess.BB_RANK_8)
    own_kings = board.kings & board.occupied_co[color]
    if not rights and not screens & own_kings:
        return
    origin = own_kings.bit_length() - 1
    goals = 0
    if screens & own_kings:
        goals = chess.BB_KING_ATTACKS[origin] & ~board.occupied_co[color]
    if rights:
        rank = 0 if color else 56
        for target, rook in ((rank + 6, rank + 5), (rank + 2, rank + 3)):
            # the king leaves the rank, so a check along it counts as well
            if straights >> rook & 1 or origin >> 3 == king >> 3:
                goals |= 1 << target
    if goals:
        yield origin, chess.KING, goals
