"""The slow, obvious twin of the ledger: every number anew from the position and the list of moves.

Nothing of the ledger is used here. Men are followed by walking the whole list for each place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import chess

from plybook.board import Line
from plybook.board.exchange import best_capture, exchange_value, with_turn

__all__ = ["Man", "Recount"]

CENTRE: Final = (chess.D4, chess.E4, chess.D5, chess.E5)
MINORS: Final = (chess.KNIGHT, chess.BISHOP)
HOME: Final = {
    chess.KNIGHT: "bg",
    chess.BISHOP: "cf",
    chess.ROOK: "ah",
    chess.QUEEN: "d",
    chess.KING: "e",
}


@dataclass
class Man:
    """A man of the start, as the list of moves has left it."""

    color: chess.Color
    kind: chess.PieceType
    home: chess.Square
    square: chess.Square | None
    moves: int = 0
    castled: bool = False


class Recount:
    """The standing at a place, counted from the start."""

    def __init__(self, line: Line, place: int) -> None:
        self.boards = [chess.Board(line.start.fen)]
        self.men = [
            Man(piece.color, piece.piece_type, square, square)
            for square, piece in self.boards[0].piece_map().items()
        ]
        self.castled: dict[chess.Color, str] = {}
        self.moves: list[chess.Move] = []
        for index in line.path(place):
            ply = line.plies[index - 1]
            move = chess.Move.from_uci(f"{ply.origin}{ply.target}{ply.promotion or ''}")
            self._make(move)
        self.board = self.boards[-1]

    def _make(self, move: chess.Move) -> None:
        board = self.boards[-1].copy(stack=False)
        taken = move.to_square
        if board.is_en_passant(move):
            taken += -8 if board.turn else 8
        for man in self.men:
            if man.square == taken:
                man.square = None
        (mover,) = [man for man in self.men if man.square == move.from_square]
        mover.square = move.to_square
        mover.moves += 1
        if board.is_castling(move):
            is_short = board.is_kingside_castling(move)
            self.castled[board.turn] = "short" if is_short else "long"
            rank = chess.square_rank(move.from_square)
            corner = chess.square(7 if is_short else 0, rank)
            (rook,) = [man for man in self.men if man.square == corner]
            rook.square = chess.square(5 if is_short else 3, rank)
            mover.castled = rook.castled = True
        self.moves.append(move)
        board.push(move)
        self.boards.append(board)

    def at_home(self, man: Man) -> bool:
        """Return whether a man's square at the start is a home square of its kind."""
        rank = 0 if man.color else 7
        file, its_rank = chess.FILE_NAMES[man.home & 7], chess.square_rank(man.home)
        if man.kind == chess.PAWN:
            return its_rank == (1 if man.color else 6)
        return its_rank == rank and file in HOME[man.kind]

    def has_moved(self, man: Man) -> bool:
        """Return whether a man has moved, in the line or to all appearance before it."""
        return man.moves > 0 or not self.at_home(man)

    def minors(self, color: chess.Color) -> list[Man]:
        """Return a side's original minor pieces, captured ones too."""
        return [man for man in self.men if man.color == color and man.kind in MINORS]

    def minors_out(self, color: chess.Color) -> int:
        """Return how many are off the back rank."""
        back = 0 if color else 7
        return sum(
            man.square is not None and chess.square_rank(man.square) != back
            for man in self.minors(color)
        )

    def asleep(self, color: chess.Color) -> set[str]:
        """Return the squares of minor pieces and rooks that never moved."""
        return {
            chess.square_name(man.home)
            for man in self.men
            if man.color == color
            and man.kind in (*MINORS, chess.ROOK)
            and man.square == man.home
            and not self.has_moved(man)
        }

    def shut_in(self, color: chess.Color) -> set[str]:
        """Return those of them that attack no square but those of own men."""
        own = chess.SquareSet(self.board.occupied_co[color])
        return {
            name
            for name in self.asleep(color)
            if not self.board.attacks(chess.parse_square(name)) - own
        }

    def looks(self, color: chess.Color) -> dict[str, set[str]]:
        """Return the minor pieces that are out, by where they look."""
        found: dict[str, set[str]] = {"toward": set(), "against": set(), "elsewhere": set()}
        found["rim"] = set()
        back = 0 if color else 7
        for man in self.minors(color):
            if man.square is None or chess.square_rank(man.square) == back:
                continue
            alone = chess.Board(None)
            alone.set_piece_at(man.square, chess.Piece(man.kind, color))
            name = chess.square_name(man.square)
            if man.kind == chess.KNIGHT and name[0] in "ah":
                found["rim"].add(name)
            elif any(square in CENTRE for square in alone.attacks(man.square)):
                found["toward"].add(name)
            elif any(self._holds_centre(not color, t) for t in self.board.attacks(man.square)):
                found["against"].add(name)
            else:
                found["elsewhere"].add(name)
        return found

    def _holds_centre(self, color: chess.Color, square: chess.Square) -> bool:
        piece = self.board.piece_at(square)
        if piece is None or piece.color != color or piece.piece_type == chess.KING:
            return False
        return square in CENTRE or any(s in CENTRE for s in self.board.attacks(square))

    def centre_pawns(self, color: chess.Color) -> int:
        """Return the d- and e-pawns that have moved and live, at most two."""
        return min(
            2,
            sum(
                man.color == color
                and man.kind == chess.PAWN
                and chess.FILE_NAMES[man.home & 7] in "de"
                and man.square is not None
                and self.has_moved(man)
                for man in self.men
            ),
        )

    def active_rooks(self, color: chess.Color) -> int:
        """Return the rooks on the d- or e-file or on a file without own pawns, at most two."""
        pawns = self.board.pieces(chess.PAWN, color)
        return min(
            2,
            sum(
                chess.FILE_NAMES[square & 7] in "de"
                or not any(pawn & 7 == square & 7 for pawn in pawns)
                for square in self.board.pieces(chess.ROOK, color)
            ),
        )

    def hanging(self, square: chess.Square) -> int:
        """Return what the other side would win by taking a man, were it to move; 0 for nothing."""
        found = best_capture(self.board, square)
        return found[0] if found else 0

    def best_on(self, square: chess.Square) -> int | None:
        """Return the best capture on a square by the side that does not own the man there, were it
        to move: it may lose. None when there is none."""
        owner = self.board.color_at(square)
        assert owner is not None
        turned = with_turn(self.board, not owner)
        if turned is None:
            return None
        return max(
            (
                exchange_value(turned, move)
                for move in turned.legal_moves
                if move.to_square == square
            ),
            default=None,
        )

    def mates(self, color: chess.Color) -> bool:
        """Return whether a side, were it to move, could mate at once."""
        turned = with_turn(self.board, color)
        if turned is None:
            return False
        for move in turned.legal_moves:
            after = turned.copy(stack=False)
            after.push(move)
            if after.is_checkmate():
                return True
        return False
