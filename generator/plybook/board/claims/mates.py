"""The mate prover: every move of the attacker, every reply of the defender, nothing left out.

Exact for any number of moves: no move and check is mate; no move and no check is stalemate, and
stalemate is a failure. The fifty-move rule and repetition are not looked at.
"""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.claims.checking import checking_moves
from plybook.board.claims.model import NodesSpentError

__all__ = ["STALEMATE", "MateProver"]

#: Stands for the reply where the defender has none and is not in check.
STALEMATE: Final = chess.Move.null()

_Key = tuple[int, int, int, int, int, int, int, bool, int, int | None]


class MateProver:
    """Proves mates and finds the replies that refute them. One prover keeps what it has proved.

    `nodes` counts the positions looked at; beyond `node_limit` it raises NodesSpentError. Boards
    are used and given back unchanged, except when it raises.
    """

    def __init__(self, *, node_limit: int | None = None) -> None:
        self.nodes = 0
        self._limit = node_limit
        self._mating: dict[_Key, tuple[int, chess.Move]] = {}  # fewest moves known to mate
        self._holding: dict[_Key, int] = {}  # most moves known not to be enough
        self._refuters: dict[tuple[int, bool], list[chess.Move]] = {}

    def find_mate(self, board: chess.Board, moves: int) -> chess.Move | None:
        """Return a move of the side to move that mates in at most `moves`, or None."""
        if moves < 1:
            return None
        self._count()
        key = _key(board)
        known = self._mating.get(key)
        if known is not None and known[0] <= moves:
            return known[1]
        if self._holding.get(key, 0) >= moves:
            return None
        found = self._search(board, moves)
        if found is None:
            self._holding[key] = max(moves, self._holding.get(key, 0))
        else:
            self._mating[key] = (moves, found)
        return found

    def _search(self, board: chess.Board, moves: int) -> chess.Move | None:
        checks = checking_moves(board)
        if moves == 1:
            return next((move for move in checks if self._refutes(board, move, 0) is None), None)
        for move in checks:
            if self._refutes(board, move, moves - 1) is None:
                return move
        quiet = [move for move in board.generate_legal_moves() if move not in checks]
        quiet.sort(key=lambda move: not board.is_capture(move))
        for move in quiet:
            if self._refutes(board, move, moves - 1) is None:
                return move
        return None

    def _refutes(self, board: chess.Board, move: chess.Move, moves: int) -> chess.Move | None:
        board.push(move)
        reply = self.find_refutation(board, moves)
        board.pop()
        return reply

    def find_refutation(self, board: chess.Board, moves: int) -> chess.Move | None:
        """Return a reply after which the attacker does not mate in `moves`; None: none helps.

        The defender is to move. STALEMATE when there is no reply and no check.
        """
        self._count()
        if moves == 0:
            reply = next(board.generate_legal_moves(), None)
            return reply if reply is not None or board.is_check() else STALEMATE
        tried = self._refuters.setdefault((moves, board.turn), [])
        for reply in tried:
            if board.is_legal(reply) and self._survives(board, reply, moves):
                if reply is not tried[0]:
                    tried.remove(reply)
                    tried.insert(0, reply)
                return reply
        has_reply = False
        for reply in list(board.generate_legal_moves()):
            has_reply = True
            if reply not in tried and self._survives(board, reply, moves):
                tried.insert(0, reply)
                del tried[_KEPT:]
                return reply
        return None if has_reply or board.is_check() else STALEMATE

    def _survives(self, board: chess.Board, reply: chess.Move, moves: int) -> bool:
        board.push(reply)
        mate = self.find_mate(board, moves)
        board.pop()
        return mate is None

    def _count(self) -> None:
        self.nodes += 1
        if self._limit is not None and self.nodes > self._limit:
            raise NodesSpentError(self.nodes - 1)


_KEPT: Final = 2  # refuting replies tried first, per number of moves and side


def _key(board: chess.Board) -> _Key:
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
    )
