"""Bounded search on material: what can be won by force within some plies.

Values are in pawns from the view of the side to move. After the last ply only captures, promotions
and answers to checks are played on, and either side may stop where that is better for it: a fork
or a trap that needs a quiet move beyond the depth is not seen, nor stalemate there.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import chess

from plybook.board.claims.model import NodesSpentError
from plybook.board.exchange import VALUES, gain_of

__all__ = ["MATE", "MaterialSearch", "balance_of"]

#: The value of mate. No material comes near it.
MATE: Final = 1000

_Key = tuple[int, int, int, int, int, int, int, bool, int, int | None, int]


def balance_of(board: chess.Board) -> int:
    """Return the material of the side to move less that of the other, in pawns."""
    own = board.occupied_co[board.turn]
    other = board.occupied_co[not board.turn]
    return sum(
        VALUES[kind] * ((men & own).bit_count() - (men & other).bit_count())
        for kind, men in (
            (chess.PAWN, board.pawns),
            (chess.KNIGHT, board.knights),
            (chess.BISHOP, board.bishops),
            (chess.ROOK, board.rooks),
            (chess.QUEEN, board.queens),
        )
    )


class MaterialSearch:
    """Alpha-beta on material. One search keeps what it has found for one claim.

    `level` is the balance of White that counts as nothing won, the value of stalemate. `nodes`
    counts positions looked at; beyond `node_limit` it raises NodesSpentError.
    """

    def __init__(self, *, level: int, node_limit: int | None = None) -> None:
        self.nodes = 0
        self._limit = node_limit
        self._level = level
        self._known: dict[_Key, tuple[int, int]] = {}  # bounds of the value
        self._killers: dict[int, chess.Move] = {}

    def value(self, board: chess.Board, depth: int, alpha: int = -MATE, beta: int = MATE) -> int:
        """Return the value of a position searched `depth` plies, exact between alpha and beta.

        A value at or below alpha is an upper bound, one at or above beta a lower bound.
        """
        return self._search(board, depth, balance_of(board), alpha, beta)

    def best_line(self, board: chess.Board, depth: int) -> list[chess.Move]:
        """Return the moves that lead to the value of a position, both sides playing their best."""
        trial = board.copy(stack=False)
        value = self.value(trial, depth)
        line: list[chess.Move] = []
        while len(line) < _LINE:
            move = self._move_worth(trial, depth, value)
            if move is None:
                break
            line.append(move)
            trial.push(move)
            depth, value = max(0, depth - 1), -value
        return line

    def _move_worth(self, board: chess.Board, depth: int, value: int) -> chess.Move | None:
        """Return a move that reaches `value`; None where stopping does, or the game is over."""
        balance = balance_of(board)
        if not depth and not board.is_check():
            if balance >= value:
                return None
            moves = _forcing(board)
        else:
            moves = _ordered(board, board.generate_legal_moves())
        for move in moves:
            gain = gain_of(board, move)
            board.push(move)
            reached = -self._search(board, max(0, depth - 1), -balance - gain, -value, 1 - value)
            board.pop()
            if reached >= value:
                return move
        return None

    def _search(self, board: chess.Board, depth: int, balance: int, alpha: int, beta: int) -> int:
        if depth <= 0:
            return self._resolve(board, balance, alpha, beta)
        self._count()
        key = _key(board, depth)
        low, high = self._known.get(key, (-MATE, MATE))
        if low >= beta or low == high:
            return low
        if high <= alpha:
            return high
        best = -MATE - 1
        reached = alpha
        killer = self._killers.get(depth)
        for move in self._moves(board, killer):
            gain = gain_of(board, move)
            board.push(move)
            value = -self._search(board, depth - 1, -balance - gain, -beta, -reached)
            board.pop()
            if value > best:
                best = value
                if value > reached:
                    reached = value
                    if value >= beta:
                        self._killers[depth] = move
                        break
        if best < -MATE:
            return -MATE if board.is_check() else self._level_for(board.turn)
        self._known[key] = (
            (best, high) if best >= beta else (low, best) if best <= alpha else (best, best)
        )
        return best

    def _moves(self, board: chess.Board, killer: chess.Move | None) -> list[chess.Move]:
        moves = _ordered(board, board.generate_legal_moves())
        if killer in moves and not board.is_capture(killer):
            moves.remove(killer)
            captures = sum(board.is_capture(move) for move in moves)
            moves.insert(captures, killer)
        return moves

    def _resolve(self, board: chess.Board, balance: int, alpha: int, beta: int) -> int:
        """Return the value of a position when only captures, promotions and evasions follow."""
        self._count()
        if board.is_check():
            moves = _ordered(board, board.generate_legal_moves())
            if not moves:
                return -MATE
            best = -MATE
        else:
            best = balance
            if best >= beta:
                return best
            moves = _forcing(board)
        reached = max(alpha, best)
        for move in moves:
            gain = gain_of(board, move)
            board.push(move)
            value = -self._resolve(board, -balance - gain, -beta, -reached)
            board.pop()
            if value > best:
                best = value
                if value > reached:
                    reached = value
                    if value >= beta:
                        break
        return best

    def _level_for(self, color: chess.Color) -> int:
        return self._level if color else -self._level

    def _count(self) -> None:
        self.nodes += 1
        if self._limit is not None and self.nodes > self._limit:
            raise NodesSpentError(self.nodes - 1)


_LINE: Final = 12  # plies of a line that is worth showing


def _key(board: chess.Board, depth: int) -> _Key:
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.turn,
        board.castling_rights,
        board.ep_square,
        depth,
    )


def _forcing(board: chess.Board) -> list[chess.Move]:
    """Return the legal captures and promotions, the most telling first."""
    moves = list(board.generate_legal_moves(chess.BB_ALL, board.occupied_co[not board.turn]))
    if board.ep_square is not None:
        moves += board.generate_legal_ep()
    promoting = board.pawns & board.occupied_co[board.turn]
    promoting &= chess.BB_RANK_7 if board.turn else chess.BB_RANK_2
    if promoting:
        moves += board.generate_legal_moves(promoting, ~board.occupied & chess.BB_ALL)
    return _ordered(board, moves)


def _ordered(board: chess.Board, moves: Iterable[chess.Move]) -> list[chess.Move]:
    """Return moves with captures first: the most valuable man taken by the least valuable one."""

    def weight(move: chess.Move) -> int:
        taken = board.piece_type_at(move.to_square)
        if taken is None:
            return -VALUES[move.promotion] if move.promotion else 0
        return VALUES[board.piece_type_at(move.from_square) or chess.KING] - 10 * VALUES[taken]

    return sorted(moves, key=weight)
