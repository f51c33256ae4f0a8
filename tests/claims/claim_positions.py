"""Positions to compare definitions on: random games, random settings of few men, real lines."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import chess

from plybook.diagnostics import Report
from plybook.text import read_course_folder
from plybook.text.model import MovesDraft, VariationDraft

__all__ = ["few_men", "games", "hunted", "mixed", "real"]

_COURSE = Path(__file__).resolve().parents[2] / "curriculum"


def games(count: int, *, seed: int = 1) -> Iterator[chess.Board]:
    """Yield positions of games played at random, one or two a game."""
    source = random.Random(seed)
    while count > 0:
        board = chess.Board()
        for ply in range(source.randrange(4, 90)):
            moves = list(board.legal_moves)
            if not moves:
                break
            captures = [move for move in moves if board.is_capture(move)]
            board.push(source.choice(captures if captures and ply % 3 == 0 else moves))
        for _ in range(min(2, count)):
            yield board.copy(stack=False)
            count -= 1
            if not any(board.legal_moves):
                break
            board.push(source.choice(list(board.legal_moves)))


def few_men(count: int, *, seed: int = 1, men: tuple[int, int] = (2, 6)) -> Iterator[chess.Board]:
    """Yield possible positions of two kings and some men set at random."""
    source = random.Random(seed)
    while count > 0:
        board = chess.Board(None)
        squares = source.sample(range(64), 2 + source.randint(*men))
        board.set_piece_at(squares[0], chess.Piece(chess.KING, chess.WHITE))
        board.set_piece_at(squares[1], chess.Piece(chess.KING, chess.BLACK))
        for square in squares[2:]:
            kind = source.choice("PNBRQpnbrq" if chess.BB_SQUARES[square] & _INNER else "NBRQnbrq")
            board.set_piece_at(square, chess.Piece.from_symbol(kind))
        board.turn = source.random() < 0.5
        if board.is_valid():
            yield board
            count -= 1


def hunted(count: int, *, seed: int = 1, men: tuple[int, int] = (2, 4)) -> Iterator[chess.Board]:
    """Yield positions with a bare black king, or one man with it, on the edge, White to move."""
    source = random.Random(seed)
    while count > 0:
        board = chess.Board(None)
        edge = source.choice(
            [square for square in chess.SQUARES if not chess.BB_SQUARES[square] & _HEART]
        )
        others = source.sample([square for square in chess.SQUARES if square != edge], men[1] + 2)
        board.set_piece_at(edge, chess.Piece(chess.KING, chess.BLACK))
        board.set_piece_at(others[0], chess.Piece(chess.KING, chess.WHITE))
        for square in others[1 : 1 + source.randint(*men)]:
            board.set_piece_at(square, chess.Piece.from_symbol(source.choice("QRRBN")))
        if source.random() < 0.4:
            board.set_piece_at(others[-1], chess.Piece.from_symbol(source.choice("rbn")))
        if board.is_valid():
            yield board
            count -= 1


_HEART = ~(chess.BB_RANK_1 | chess.BB_RANK_8 | chess.BB_FILE_A | chess.BB_FILE_H)
_INNER = chess.BB_ALL & ~(chess.BB_RANK_1 | chess.BB_RANK_8)


@cache
def _lines_of_the_course() -> tuple[str, ...]:
    course = read_course_folder(_COURSE, report=Report())
    fens: dict[str, None] = {}

    def walk(line: VariationDraft, board: chess.Board) -> None:
        board = board.copy(stack=False)
        for ply in line.plies:
            for variation in ply.variations:
                walk(variation, board)
            board.push_san(ply.text)
            fens[board.fen()] = None

    for lesson in course.lessons:
        for block in lesson.blocks:
            if isinstance(block, MovesDraft) and block.start is None:
                walk(block.movetext.main, chess.Board())
    return tuple(fens)


def real(count: int, *, seed: int = 1) -> Iterator[chess.Board]:
    """Yield positions of the demo course's lines, a random choice in a fixed order."""
    fens = _lines_of_the_course()
    for fen in random.Random(seed).sample(fens, min(count, len(fens))):
        yield chess.Board(fen)


def mixed(count: int, *, seed: int = 1) -> Iterator[chess.Board]:
    """Yield positions of all three sorts, a third each."""
    yield from games(count // 3, seed=seed)
    yield from few_men(count // 3, seed=seed)
    yield from real(count // 3, seed=seed)
