"""Reading the games of a PGN file as others write them: every game is read or rejected."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import chess
import chess.pgn

from plybook.board.model import Line, Position
from plybook.board.play import play_line
from plybook.board.positions import read_fen
from plybook.diagnostics import Report, Span, shown
from plybook.text.model import FenText, MoveNumber, MovetextDraft, PlyDraft, VariationDraft

__all__ = ["PgnGame", "Rejected", "read_games"]

_DEPTH: Final = 16  # how deep variations may be nested, as in a lesson
_SAN_FAULT = re.compile(r"(illegal|invalid|ambiguous) san: '(.*?)' in ", re.S)


@dataclass(frozen=True, slots=True, kw_only=True)
class PgnGame:
    """A game of a file. `number` counts all games from 1; the line has it as its name."""

    number: int
    title: str  # the players, the event and the year, as far as they are given
    line: Line


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A game that could not be read as a whole, and why."""

    number: int
    title: str
    reason: str


class _UnreadableError(Exception):
    """Why a game is rejected."""


class _Builder(chess.pgn.GameBuilder[chess.pgn.Game]):
    """Keeps what is wrong with a game, and prints nothing."""

    def handle_error(self, error: Exception) -> None:
        self.game.errors.append(error)


def read_games(text: str, *, file: str) -> tuple[PgnGame | Rejected, ...]:
    """Return the games of a PGN text in order, each read whole or rejected.

    The reading is python-chess's, which forgives spelling; a move that is not legal, a null move
    and another game than chess are not forgiven. Comments are left out, variations are kept.
    """
    stream = io.StringIO(text)
    games: list[PgnGame | Rejected] = []
    while True:
        game = chess.pgn.read_game(stream, Visitor=_Builder)
        if game is None:
            return tuple(games)
        number, title = len(games) + 1, _title(game)
        try:
            line = _line_of(game, name=str(number), file=file)
        except _UnreadableError as error:
            games.append(Rejected(number=number, title=title, reason=str(error)))
        else:
            games.append(PgnGame(number=number, title=title, line=line))


def _title(game: chess.pgn.Game) -> str:
    """Return the tags that tell one game from another, without those that are empty or unknown."""
    players = [game.headers.get(tag, "?") for tag in ("White", "Black")]
    known = [" against ".join(players)] if players != ["?", "?"] else []
    known += [game.headers.get("Event", ""), game.headers.get("Date", "")[:4]]
    return shown(", ".join(part for part in known if part.strip("?.")), limit=90)


def _line_of(game: chess.pgn.Game, *, name: str, file: str) -> Line:
    if game.errors:
        fault = str(game.errors[0])
        found = _SAN_FAULT.match(fault)
        move = f"`{shown(found[2], limit=12)}` is an {found[1]} move" if found else ""
        raise _UnreadableError(move or f"it cannot be read: {shown(fault, limit=60)}")
    if not game.variations:
        raise _UnreadableError("it has no moves")
    try:
        board = game.board()
    except ValueError as error:  # a tag FEN or Variant that cannot be read
        raise _UnreadableError(
            f"its start cannot be read: {shown(str(error), limit=50)}"
        ) from error
    if type(board) is not chess.Board or board.chess960:
        raise _UnreadableError("it is another game than chess as the Laws know it")
    report, span = Report(), Span.of_file(file)
    start = _start_of(board, span)
    moves = MovetextDraft(main=_variation(board, list(game.variations), span=span, depth=0))
    line = play_line(name, moves, start=start, span=span, report=report)
    if not line.is_whole:  # the moves were found legal above
        raise AssertionError(f"game {name}: {[one.message for one in report]}")
    return line


def _start_of(board: chess.Board, span: Span) -> Position:
    report = Report()
    start = read_fen(FenText(fen=board.fen(), span=span), is_partial=False, report=report)
    if start is None:
        raise _UnreadableError("; ".join(one.message for one in report))
    return start


def _variation(
    board: chess.Board, nodes: list[chess.pgn.ChildNode], *, span: Span, depth: int
) -> VariationDraft:
    """Return the moves from a position on: the first of `nodes`, its sidelines, what follows it."""
    board = board.copy(stack=False)
    plies = []
    groups = list(_by_move(nodes))
    while groups:
        (first, *_), others = groups[0], groups[1:]
        if not first.move:
            raise _UnreadableError(f"move {board.fullmove_number} is a null move")
        if others and depth == _DEPTH:
            raise _UnreadableError(f"its variations are nested deeper than {_DEPTH}")
        plies.append(
            PlyDraft(
                text=board.san(first.move),
                span=span,
                number=MoveNumber(
                    value=board.fullmove_number, is_white=board.turn == chess.WHITE, span=span
                ),
                nags=tuple(sorted(first.nags)),
                variations=tuple(
                    _variation(board, group, span=span, depth=depth + 1) for group in others
                ),
            )
        )
        board.push(first.move)
        groups = list(_by_move([child for node in groups[0] for child in node.variations]))
    return VariationDraft(plies=tuple(plies), span=span)


def _by_move(nodes: list[chess.pgn.ChildNode]) -> Iterator[list[chess.pgn.ChildNode]]:
    """Yield the nodes move by move, in order: a file may give one move several times."""
    groups: dict[chess.Move, list[chess.pgn.ChildNode]] = {}
    for node in nodes:
        groups.setdefault(node.move, []).append(node)
    yield from groups.values()
