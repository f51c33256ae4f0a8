"""Lines for the tests of this folder: made by hand, and by chance from a fixed seed.

They are built with python-chess alone, so that nothing of the board room stands in between.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

import chess

from plybook.board.model import Line, Ply, Position, Side
from plybook.diagnostics import Span
from plybook.text.model import EMPTY_PROSE, Comment

SPAN = Span("lessons/01-test.md", 1, 1, 1, 2)
LETTERS = " pnbrqk"

#: SAN moves; a tuple is a variation that replaces the move before it.
Tree = Sequence["str | Tree"]


def placement_of(board: chess.Board) -> str:
    """Return the 64 characters of a board."""
    return "".join(
        piece.symbol() if (piece := board.piece_at(square)) else "." for square in chess.SQUARES
    )


def position_of(board: chess.Board) -> Position:
    """Return the position of a board."""
    return Position(
        placement=placement_of(board),
        turn="white" if board.turn else "black",
        fen=board.fen(),
        key=board.epd().encode(),
        outcome="",
    )


def comment(text: str) -> Comment:
    """Return a comment without parsed prose."""
    return Comment(text=text, prose=EMPTY_PROSE, span=SPAN)


class Builder:
    """Builds a line ply by ply; `boards` holds a board for every place."""

    def __init__(self, fen: str = chess.STARTING_FEN) -> None:
        self.boards = [chess.Board(fen)]
        self.plies: list[Ply] = []

    def add(
        self,
        parent: int,
        move: chess.Move,
        *,
        depth: int,
        nags: tuple[int, ...] = (),
        comments_before: tuple[Comment, ...] = (),
        comments: tuple[Comment, ...] = (),
    ) -> int:
        """Play a move and return its place."""
        board = self.boards[parent]
        after = board.copy(stack=False)
        captured_on = move.to_square if board.is_capture(move) else None
        if board.is_en_passant(move):
            captured_on = move.to_square + (-8 if board.turn else 8)
        captured = None if captured_on is None else board.piece_type_at(captured_on)
        mover: Side = "white" if board.turn else "black"
        rook = None
        if board.is_castling(move):
            rank = chess.square_rank(move.from_square) + 1
            short = move.to_square > move.from_square
            rook = (f"h{rank}", f"f{rank}") if short else (f"a{rank}", f"d{rank}")
        san = board.san(move)
        after.push(move)
        outcome = "mate" if san[-1] == "#" else "check" if san[-1] == "+" else ""
        self.boards.append(after)
        self.plies.append(
            Ply(
                index=len(self.boards) - 1,
                parent=parent,
                depth=depth,
                number=board.fullmove_number,
                mover=mover,
                san=san,
                man=LETTERS[board.piece_type_at(move.from_square) or 0],
                origin=chess.square_name(move.from_square),
                target=chess.square_name(move.to_square),
                captured=None if captured is None else LETTERS[captured],
                captured_on=None if captured_on is None else chess.square_name(captured_on),
                promotion=LETTERS[move.promotion] if move.promotion else None,
                rook=rook,
                outcome="stalemate" if after.is_stalemate() else outcome,  # type: ignore[arg-type]  # the words are those of the model
                key=after.epd().encode(),
                nags=nags,
                comments_before=comments_before,
                comments=comments,
                span=SPAN,
            )
        )
        return len(self.boards) - 1

    def add_tree(self, parent: int, tree: Tree, *, depth: int = 0) -> None:
        """Play the moves of `tree` from a place, variations after the move they replace."""
        here = before = parent
        for item in tree:
            if isinstance(item, str):
                before, here = (
                    here,
                    self.add(here, self.boards[here].parse_san(item), depth=depth),
                )
            else:
                self.add_tree(before, item, depth=depth + 1)

    def line(self, name: str = "line", result: str | None = None) -> Line:
        """Return the line."""
        return Line(
            name=name,
            start=position_of(self.boards[0]),
            first_number=self.boards[0].fullmove_number,
            plies=tuple(self.plies),
            result=result,
            is_whole=True,
            span=SPAN,
        )


def line_of(*tree: str | Tree, name: str = "line", fen: str = chess.STARTING_FEN) -> Line:
    """Return the line of some moves; a tuple is a variation that replaces the move before it."""
    builder = Builder(fen)
    builder.add_tree(0, tree)
    return builder.line(name)


#: Starts from which promotion, castling and en passant come up soon.
STARTS = (
    chess.STARTING_FEN,
    "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1",
    "4k3/P1P1P1P1/8/8/8/8/p1p1p1p1/4K3 b - - 0 20",
    "4k3/1p1p1p1p/8/P1P1P1P1/p1p1p1p1/8/1P1P1P1P/4K3 w - - 0 1",
)


def random_builders(count: int, *, seed: int, plies: int = 40) -> Iterator[Builder]:
    """Yield lines with nested variations, glyphs and comments, the same for the same seed."""
    chance = random.Random(seed)
    for at in range(count):
        builder = Builder(STARTS[at % len(STARTS)])
        _grow(builder, 0, chance, depth=0, budget=plies)
        yield builder


def _grow(builder: Builder, parent: int, chance: random.Random, *, depth: int, budget: int) -> None:
    for _ in range(chance.randint(1, budget)):
        moves = sorted(builder.boards[parent].legal_moves, key=chess.Move.uci)
        if not moves:
            return
        chance.shuffle(moves)
        notes = tuple(comment(_text(chance)) for _ in range(chance.random() < 0.2))
        nags = tuple(chance.sample(range(1, 140), chance.choice((0, 0, 0, 1, 2))))
        place = builder.add(parent, moves[0], depth=depth, nags=nags, comments=notes)
        for alternative in moves[1 : 1 + chance.choice((0, 0, 0, 0, 1, 2))]:
            if depth < 4 and len(builder.plies) < 300:
                _vary(builder, parent, alternative, chance, depth=depth + 1, budget=budget // 2)
        parent = place


def _vary(
    builder: Builder,
    parent: int,
    move: chess.Move,
    chance: random.Random,
    *,
    depth: int,
    budget: int,
) -> None:
    before = tuple(comment(_text(chance)) for _ in range(chance.random() < 0.1))
    place = builder.add(parent, move, depth=depth, comments_before=before)
    if budget > 1:
        _grow(builder, place, chance, depth=depth, budget=budget)


def _text(chance: random.Random) -> str:
    words = ("a", "knight", "100", "%", "[x]", "(", ")", ";", "f7", "ends", '"so"', "\\", "…", "+-")
    return " ".join(chance.choices(words, k=chance.randint(1, 30)))
