"""Random movetext without a fault, as a coach might write it, with its tokens marked.

Legal play from a fixed seed, weighted to checks, castling and promotion, with comments, NAGs,
glyphs, variations and results. The writing follows the lesson language word for word and shares no
code with the reader that is tested.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Final

import chess

__all__ = ["Token", "Written", "write_lines"]

_COMMENTS: Final = (
    "the knight looks at f7 and d7",
    "White has developed a man with tempo",
    "not 5. Qxe5+, which comes too early",
    "a quiet move; the bishop on c4 is safe",
    "3 – 1 in men that are out",
    "naïve, and yet it works",
)
_GLYPHS: Final = ("!", "?", "!!", "??", "!?", "?!")
_STARTS: Final = (
    chess.STARTING_FEN,
    chess.STARTING_FEN,
    chess.STARTING_FEN,
    "r3k2r/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/R3K2R w KQkq - 4 8",
    "4k3/PP4pp/8/8/8/8/pp4PP/4K3 b - - 0 41",
)
_WIDTH: Final = 72
_DEPTH: Final = 3


@dataclass(frozen=True, slots=True)
class Token:
    """A token of movetext: its kind and place (0-based, end excluded).

    Kinds: number, san, glyph, nag, comment, open, close, result.
    """

    kind: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Written:
    """Movetext and its tokens in order. `fen` is where its first move is played."""

    fen: str
    text: str
    tokens: tuple[Token, ...]

    def of_kind(self, *kinds: str) -> tuple[Token, ...]:
        """Return the tokens of some kinds, in order."""
        return tuple(token for token in self.tokens if token.kind in kinds)

    def word(self, token: Token) -> str:
        """Return a token's text."""
        return self.text[token.start : token.end]


def write_lines(count: int, *, seed: str) -> tuple[Written, ...]:
    """Return `count` movetexts, always the same for a seed."""
    rng = random.Random(seed)
    return tuple(_write(rng, _STARTS[index % len(_STARTS)]) for index in range(count))


@dataclass(slots=True)
class _Pen:
    """Writes tokens one behind another, with a space or a line end between them."""

    rng: random.Random
    numbers_apart: bool
    text: str = ""
    line_start: int = 0
    glue: bool = True  # the next token follows without a space
    tokens: list[Token] = field(default_factory=list)

    def write(self, kind: str, word: str) -> None:
        if not (self.glue or kind in {"close", "glyph"}):
            if len(self.text) + len(word) - self.line_start > _WIDTH:
                self.text += "\n"
                self.line_start = len(self.text)
            else:
                self.text += " "
        start = len(self.text)
        self.text += word
        self.tokens.append(Token(kind, start, len(self.text)))
        self.glue = kind == "open" or (kind == "number" and not self.numbers_apart)


def _write(rng: random.Random, fen: str) -> Written:
    pen = _Pen(rng, numbers_apart=rng.random() < 0.6)
    board = _write_line(pen, chess.Board(fen), plies=rng.randint(6, 26), depth=0, avoid=frozenset())
    result = _result(rng, board)
    if result:
        pen.write("result", result)
    return Written(fen, pen.text, tuple(pen.tokens))


def _write_line(
    pen: _Pen, board: chess.Board, *, plies: int, depth: int, avoid: frozenset[chess.Move]
) -> chess.Board:
    """Write one line on a copy of `board` and return the board at its end.

    It does not begin with one of the moves to `avoid`: they are already written from its position.
    """
    board = board.copy()
    rng = pen.rng
    needs_number = True
    if depth and rng.random() < 0.1:
        pen.write("comment", f"{{{rng.choice(_COMMENTS)}}}")
    for _ in range(plies):
        moves = [move for move in board.legal_moves if move not in avoid]
        if not moves:
            break
        move = rng.choices(moves, [_weight(board, move) for move in moves])[0]
        if board.turn or needs_number:
            pen.write("number", f"{board.fullmove_number}{'.' if board.turn else '...'}")
        pen.write("san", board.san(move))
        _write_signs(pen)
        needs_number = _write_comment(pen)
        before = board.copy()
        board.push(move)
        avoid |= {move}
        has_other = before.legal_moves.count() > len(avoid)
        if depth < _DEPTH and rng.random() < 0.16 / (depth + 1) and has_other:
            pen.write("open", "(")
            _write_line(pen, before, plies=rng.randint(1, 5), depth=depth + 1, avoid=avoid)
            pen.write("close", ")")
            needs_number = True
        avoid = frozenset()
    return board


def _write_signs(pen: _Pen) -> None:
    if pen.rng.random() < 0.12:
        pen.write("glyph", pen.rng.choice(_GLYPHS))
    if pen.rng.random() < 0.06:
        pen.write("nag", f"${pen.rng.randint(0, 255)}")


def _write_comment(pen: _Pen) -> bool:
    if pen.rng.random() >= 0.1:
        return False
    pen.write("comment", f"{{{pen.rng.choice(_COMMENTS)}}}")
    return True


def _weight(board: chess.Board, move: chess.Move) -> int:
    if board.is_castling(move):
        return 30
    if move.promotion:
        return 4
    if board.gives_check(move):
        return 5
    return 2 if board.is_capture(move) else 1


def _result(rng: random.Random, board: chess.Board) -> str | None:
    if board.is_checkmate():
        return "0-1" if board.turn else "1-0"
    if board.is_stalemate() or board.is_insufficient_material():
        return "1/2-1/2"
    return rng.choice(("1-0", "0-1", "1/2-1/2", "*", None))
