"""A game that was read, as a line of the house; and the places where it reaches a position."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import count
from typing import Final

import chess

from plybook.board.games_in.model import Moved, ReadGame
from plybook.board.model import Line, Position
from plybook.board.play import play_line
from plybook.board.positions import START, position_key, read_fen
from plybook.diagnostics import Report, Span
from plybook.text.model import (
    EMPTY_PROSE,
    Comment,
    FenText,
    MoveNumber,
    MovetextDraft,
    PlyDraft,
    VariationDraft,
)

__all__ = ["line_of", "places_of"]

_FILE: Final = "game"


def line_of(game: ReadGame, *, name: str, most: int | None = None) -> tuple[Line, dict[int, int]]:
    """Return the line of a game, and by the number of each move its place in the line.

    A move that the file gives twice after the same position has one place, and its remarks are
    joined. With `most` there are no more than so many plies, and neither variations nor remarks.
    """
    report = Report()
    start = START
    if game.fen is not None:
        text = FenText(fen=game.fen, span=Span.of_file(_FILE))
        found = read_fen(text, is_partial=False, report=report)
        assert found is not None  # the start was looked at when the game was read
        start = found
    maker = _Maker(game, most=most)
    main = maker.variation(chess.Board(start.fen), [0], depth=0)
    draft = MovetextDraft(main=main, result=None)
    line = play_line(name, draft, start=start, span=Span.of_file(_FILE), report=report)
    if not line.is_whole:  # the moves were found legal when they were read
        raise AssertionError(f"game {name}: {[one.message for one in report]}")
    places = {0: 0}
    for ply in line.plies:
        for number in maker.numbers[ply.span.line]:
            places[number] = ply.index
    return line, places


class _Maker:
    """Makes drafts of a game's moves. A draft's span holds the number of its group of moves."""

    def __init__(self, game: ReadGame, *, most: int | None) -> None:
        self.numbers: dict[int, tuple[int, ...]] = {}
        self._game = game
        self._most = most
        self._children: dict[int, list[int]] = {}
        for number, moved in enumerate(game.moves, start=1):
            if most is None or not moved.depth:
                self._children.setdefault(moved.parent, []).append(number)
        self._count = count(1)

    def variation(self, board: chess.Board, parents: list[int], *, depth: int) -> VariationDraft:
        """Return the moves from a position on; `parents` are the moves that lead to it."""
        groups = self._groups(parents)
        return self._line(board, groups, depth=depth)

    def _line(self, board: chess.Board, groups: list[list[int]], *, depth: int) -> VariationDraft:
        board = board.copy(stack=False)
        plies: list[PlyDraft] = []
        while groups and len(plies) != self._most:
            group, *others = groups
            plies.append(self._ply(board, group, others, depth=depth))
            board.push(_move_of(self._game.moves[group[0] - 1]))
            groups = self._groups(group)
        return VariationDraft(plies=tuple(plies), span=Span.of_file(_FILE))

    def _groups(self, parents: list[int]) -> list[list[int]]:
        """Return the moves after some equal positions, equal moves together, in order."""
        found: dict[Moved, list[int]] = {}
        for number in (one for parent in parents for one in self._children.get(parent, ())):
            moved = self._game.moves[number - 1]
            found.setdefault(moved._replace(parent=0, depth=0), []).append(number)
        return list(found.values())

    def _ply(
        self, board: chess.Board, group: list[int], others: list[list[int]], *, depth: int
    ) -> PlyDraft:
        ident = next(self._count)
        self.numbers[ident] = tuple(group)
        span = Span(_FILE, ident, 1, ident, 1)
        game, told = self._game, group if self._most is None else ()
        return PlyDraft(
            text=board.san(_move_of(game.moves[group[0] - 1])),
            span=span,
            number=MoveNumber(value=board.fullmove_number, is_white=board.turn, span=span),
            nags=tuple(sorted({nag for one in group for nag in game.nags.get(one, ())})),
            comments_before=tuple(_comments(game.before.get(one, ()) for one in told)),
            comments=tuple(_comments(game.after.get(one, ()) for one in told)),
            variations=tuple(self._line(board, [other], depth=depth + 1) for other in others),
        )


def _comments(texts: Iterable[tuple[str, ...]]) -> Iterator[Comment]:
    for each in texts:
        for text in each:
            yield Comment(text=text, prose=EMPTY_PROSE, span=Span.of_file(_FILE))


def _move_of(moved: Moved) -> chess.Move:
    return chess.Move(moved.origin, moved.target, moved.promotion or None)


def places_of(game: ReadGame, position: Position) -> tuple[str, ...]:
    """Return where a game reaches a position, in order: `start`, or the move as `4...g6`.

    Equal positions have equal keys, whatever the order of the moves.
    """
    wanted = chess.Board(position.fen)
    board = chess.Board() if game.fen is None else chess.Board(game.fen)
    found = ["start"] if _is(board, wanted, position.key) else []
    stack = [board]  # by depth
    last: list[int] = [0]
    for number, moved in enumerate(game.moves, start=1):
        del stack[moved.depth + 1 :], last[moved.depth + 1 :]
        if moved.depth == len(stack):
            inner = stack[-1].copy(stack=1)
            inner.pop()
            stack.append(inner)
            last.append(moved.parent)
        elif moved.parent != last[moved.depth]:  # another variation of the same depth
            inner = stack[moved.depth - 1].copy(stack=1)
            inner.pop()
            stack[moved.depth] = inner
        board = stack[moved.depth]
        board.push(_move_of(moved))
        last[moved.depth] = number
        if _is(board, wanted, position.key):
            found.append(_label(board))
    return tuple(found)


def _label(board: chess.Board) -> str:
    """Return the last move with its number."""
    before = board.copy(stack=1)
    move = before.pop()
    return f"{before.fullmove_number}{'.' if before.turn else '...'}{before.san(move)}"


def _is(board: chess.Board, wanted: chess.Board, key: bytes) -> bool:
    return (
        board.occupied == wanted.occupied
        and board.occupied_co == wanted.occupied_co
        and board.turn == wanted.turn
        and position_key(board) == key
    )
