"""The position a claim is made about, and the moves of its sentence read on it."""

from __future__ import annotations

import re

import chess

from plybook.board.claims.model import Budget, CannotAskError
from plybook.board.claims.question import Question
from plybook.board.claims.words import colour
from plybook.text.claim_model import LongMove, MoveWord, SideWord

__all__ = ["Asked", "color_of"]


def color_of(side: SideWord) -> chess.Color:
    """Return the colour of a side."""
    return side == "white"


class Asked:
    """A question with its board. Each settling function gets a board of its own."""

    def __init__(self, question: Question, budget: Budget) -> None:
        self.question = question
        self.budget = budget
        self._board = chess.Board(question.start)
        for uci in question.played:
            self._board.push_uci(uci)

    def board(self) -> chess.Board:
        """Return the position, free to be played on."""
        return self._board.copy(stack=False)

    def played(self) -> chess.Board:
        """Return the position with the moves that led to it on its stack."""
        return self._board.copy()

    def move(self, word: MoveWord, board: chess.Board | None = None) -> chess.Move:
        """Return the legal move a word stands for, on the claim's position or on `board`.

        Raises CannotAskError where it is not legal, not canonical SAN or wrongly numbered.
        """
        board = self._board if board is None else board
        check_number(word, board)
        try:
            move = board.parse_san(word.san)
        except ValueError:
            raise CannotAskError(f"{word} is not legal for {colour(board.turn)} here") from None
        san = board.san(move)
        if san != word.san:
            raise CannotAskError(f"{word} is written {san} here")
        return move

    def advanced(self, words: tuple[MoveWord, ...]) -> tuple[chess.Board, tuple[chess.Move, ...]]:
        """Return the board after some moves of the sentence, and those moves."""
        board = self.board()
        moves = []
        for word in words:
            moves.append(self.move(word, board))
            board.push(moves[-1])
        return board, tuple(moves)


def check_number(word: MoveWord, board: chess.Board) -> None:
    """Raise CannotAskError where the printed number of a move is not that of the position."""
    if word.number is None:
        return
    if (word.number, word.mover == "white") != (board.fullmove_number, board.turn):
        if (word.mover == "white") != board.turn:
            side = colour(board.turn)
            raise CannotAskError(f"{word} cannot be played here: {side} is to move")
        dots = "." if board.turn else "..."
        right = f"{board.fullmove_number}{dots}{word.san}"
        raise CannotAskError(f"{word} has another number here: {right}")


def read_tried(word: MoveWord | LongMove, board: chess.Board) -> chess.Move:
    """Return the move a man could make by its way of moving, whether or not it is legal.

    Raises CannotAskError where no man, or more than one man, could go there.
    """
    if isinstance(word, MoveWord):
        check_number(word, board)
    fitting = [move for move in board.generate_pseudo_legal_moves() if _fits(word, board, move)]
    if len(fitting) == 1:
        return fitting[0]
    side = colour(board.turn)
    if fitting:
        raise CannotAskError(f"more than one man of {side} could play {word}: write both squares")
    raise CannotAskError(f"no man of {side} could play {word}, legal or not")


_SAN = re.compile(r"([KQRBN]?)([a-h]?)([1-8]?)(x?)([a-h][1-8])(?:=([QRBN]))?[+#]?")


def _fits(word: MoveWord | LongMove, board: chess.Board, move: chess.Move) -> bool:
    origin, target = chess.SQUARE_NAMES[move.from_square], chess.SQUARE_NAMES[move.to_square]
    promotion = chess.piece_symbol(move.promotion).upper() if move.promotion else None
    if isinstance(word, LongMove):
        return (word.origin, word.target, word.is_capture, word.promotion) == (
            origin,
            target,
            board.is_capture(move),
            promotion,
        )
    found = _SAN.fullmatch(word.san)
    if found is None:
        return False  # castling is claimed with its own sentence
    letter, file, rank, sign, aim, promoted = found.groups()
    kind = board.piece_type_at(move.from_square) or chess.PAWN
    return (
        kind == chess.PIECE_SYMBOLS.index((letter or "p").lower())
        and target == aim
        and (not file or origin[0] == file)
        and (not rank or origin[1] == rank)
        and bool(sign) == board.is_capture(move)
        and promoted == promotion
        and not board.is_castling(move)
    )
