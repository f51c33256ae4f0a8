"""Moves that give check, found without trying the others."""

from __future__ import annotations

import chess

__all__ = ["checking_moves", "mates_at_once"]

_LAST_RANKS = chess.BB_RANK_1 | chess.BB_RANK_8
_NEXT_TO_LAST = (chess.BB_RANK_2, chess.BB_RANK_7)  # by colour: Black's pawns, White's pawns


def mates_at_once(board: chess.Board) -> list[chess.Move]:
    """Return every legal move that mates, in the order of the move generator."""
    return [move for move in checking_moves(board) if _is_mate(board, move)]


def _is_mate(board: chess.Board, move: chess.Move) -> bool:
    """Return whether a move that gives check leaves no legal reply."""
    board.push(move)
    has_reply = any(board.generate_legal_moves())
    board.pop()
    return not has_reply


def checking_moves(board: chess.Board) -> list[chess.Move]:
    """Return the legal moves of the side to move that give check.

    A man checks from a square from which it attacks the king, or by leaving a line on which a man
    of its own side then attacks the king. Promotions, castling and en passant change more than
    two squares and are tried on the board.
    """
    king = board.king(not board.turn)
    if king is None:
        return []
    own = board.occupied_co[board.turn]
    occupied = board.occupied
    diagonal = chess.BB_DIAG_ATTACKS[king][chess.BB_DIAG_MASKS[king] & occupied]
    straight = (
        chess.BB_RANK_ATTACKS[king][chess.BB_RANK_MASKS[king] & occupied]
        | chess.BB_FILE_ATTACKS[king][chess.BB_FILE_MASKS[king] & occupied]
    )
    pawn = chess.BB_PAWN_ATTACKS[not board.turn][king]
    knight = chess.BB_KNIGHT_ATTACKS[king]
    # by piece type: the squares from which a man of it attacks the king
    from_where = (0, pawn, knight, diagonal, straight, diagonal | straight, 0)
    uncoverers = _uncoverers(board, king, diagonal, straight)
    pawns = board.pawns & own
    promoting = pawns & _NEXT_TO_LAST[board.turn]

    targets = 0
    if pawns:
        targets |= pawn
    if board.knights & own:
        targets |= knight
    if (board.bishops | board.queens) & own:
        targets |= diagonal
    if (board.rooks | board.queens) & own:
        targets |= straight
    men = own & ~uncoverers & ~board.kings & ~promoting
    found = []
    if targets & ~own:
        for move in board.generate_legal_moves(men, targets & ~own):
            kind = board.piece_type_at(move.from_square) or 0
            if from_where[kind] >> move.to_square & 1:
                found.append(move)
    if uncoverers:
        found += _uncovering(board, king, uncoverers & ~promoting, from_where)
    return found + _tried(board, promoting)


def _uncoverers(
    board: chess.Board, king: chess.Square, diagonal: chess.Bitboard, straight: chess.Bitboard
) -> chess.Bitboard:
    """Return the own men that stand alone between an own line piece and the enemy king."""
    own = board.occupied_co[board.turn]
    found = 0
    sliders = (board.bishops | board.queens) & own
    if sliders & ~diagonal and diagonal & own:
        occupied = board.occupied & ~(diagonal & own)
        behind = chess.BB_DIAG_ATTACKS[king][chess.BB_DIAG_MASKS[king] & occupied]
        for slider in chess.scan_forward(behind & sliders & ~diagonal):
            found |= chess.between(king, slider) & own
    sliders = (board.rooks | board.queens) & own
    if sliders & ~straight and straight & own:
        occupied = board.occupied & ~(straight & own)
        behind = (
            chess.BB_RANK_ATTACKS[king][chess.BB_RANK_MASKS[king] & occupied]
            | chess.BB_FILE_ATTACKS[king][chess.BB_FILE_MASKS[king] & occupied]
        )
        for slider in chess.scan_forward(behind & sliders & ~straight):
            found |= chess.between(king, slider) & own
    return found


def _uncovering(
    board: chess.Board, king: chess.Square, men: chess.Bitboard, from_where: tuple[int, ...]
) -> list[chess.Move]:
    """Return the checks by men that uncover a line: moves off the line, or direct checks."""
    found = []
    for move in board.generate_legal_moves(men):
        if board.is_castling(move) or board.is_en_passant(move):
            continue  # tried on the board by `_tried`
        leaves = not chess.ray(king, move.from_square) >> move.to_square & 1
        kind = board.piece_type_at(move.from_square) or 0
        if leaves or from_where[kind] >> move.to_square & 1:
            found.append(move)
    return found


def _tried(board: chess.Board, promoting: chess.Bitboard) -> list[chess.Move]:
    """Return the promotions, captures en passant and castlings that give check."""
    own = board.occupied_co[board.turn]
    candidates: list[chess.Move] = []
    if promoting:
        candidates += board.generate_legal_moves(promoting, _LAST_RANKS)
    if board.ep_square is not None:
        candidates += board.generate_legal_ep()
    if board.castling_rights & own:
        candidates += board.generate_castling_moves()
    return [move for move in candidates if board.gives_check(move)]
