"""Random legal trees of moves, and their movetext by a writer of our own."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import chess
from hypothesis import strategies as st

__all__ = ["STARTS", "Move", "flat", "trees", "write"]

#: The start of the game; castling and en passant at hand; promotion near; Black to move.
STARTS: Final = (
    chess.STARTING_FEN,
    "r3k2r/ppp2ppp/2q5/3pP3/8/8/PPPQ1PPP/R3K2R w KQkq d6 0 12",
    "1n2k3/P6p/8/8/8/8/p6P/1N2K3 w - - 0 40",
    "4k3/8/3n1n2/8/8/3N1N2/8/4K3 b - - 3 61",
)

COMMENTS: Final = ("a word", "two words: 5.Nf3", "*lean*", "!?", "", "with `code` and\na line end")
_GLYPHS: Final = {1: "!", 2: "?", 3: "!!", 4: "??", 5: "!?", 6: "?!"}


@dataclass(slots=True)
class Move:
    """One move of a tree, with the lines that replace it."""

    san: str
    nags: tuple[int, ...] = ()
    comment: str | None = None
    others: list[list[Move]] = field(default_factory=list)


@st.composite
def trees(draw: st.DrawFn) -> tuple[str, list[Move]]:
    """Return a FEN and a legal line from it, with variations to three levels."""
    fen = draw(st.sampled_from(STARTS))
    return fen, draw_line(draw, chess.Board(fen), depth=0, taken=set())


def draw_line(draw: st.DrawFn, board: chess.Board, *, depth: int, taken: set[str]) -> list[Move]:
    """Return a line that does not begin with a move of `taken`, and add its first move there."""
    line: list[Move] = []
    board = board.copy()
    for _ in range(draw(st.integers(1, max(8 - 3 * depth, 1)))):
        legal = sorted(board.san(move) for move in board.legal_moves)
        free = [san for san in legal if san not in taken]
        if not free:
            break
        san = draw(st.sampled_from(free))
        taken.add(san)
        nags = draw(st.lists(st.integers(0, 255), max_size=2))
        move = Move(san, tuple(nags), draw(st.none() | st.sampled_from(COMMENTS)))
        if depth < 3:
            for _ in range(draw(st.sampled_from((0, 0, 0, 1, 2)))):
                other = draw_line(draw, board, depth=depth + 1, taken=taken)
                if other:
                    move.others.append(other)
        line.append(move)
        board.push_san(san)
        taken = set()
    return line


def write(fen: str, line: list[Move]) -> str:
    """Return the movetext of a line by the rules of the lesson language."""
    return _write(chess.Board(fen), line)


def _write(board: chess.Board, line: list[Move]) -> str:
    board = board.copy()
    words = []
    needs_number = True
    for move in line:
        if board.turn or needs_number:
            words.append(f"{board.fullmove_number}{'.' if board.turn else '...'}")
        glyph = _GLYPHS.get(move.nags[0], "") if move.nags else ""
        words.append(move.san + glyph)
        words += [f"${nag}" for nag in (move.nags[1:] if glyph else move.nags)]
        if move.comment is not None:
            words.append(f"{{{move.comment}}}")
        words += [f"({_write(board, other)})" for other in move.others]
        needs_number = move.comment is not None or bool(move.others)
        board.push_san(move.san)
    return " ".join(words)


def flat(line: list[Move]) -> list[tuple[int, int, str, tuple[int, ...], tuple[str, ...]]]:
    """Return parent, depth, SAN, NAGs and comments of each move in the order of the movetext."""
    rows: list[tuple[int, int, str, tuple[int, ...], tuple[str, ...]]] = []

    def walk(moves: list[Move], parent: int, depth: int) -> None:
        for move in moves:
            comments = () if move.comment is None else (" ".join(move.comment.split()),)
            rows.append((parent, depth, move.san, move.nags, comments))
            here = len(rows)
            for other in move.others:
                walk(other, parent, depth + 1)
            parent = here

    walk(line, 0, 0)
    return rows
