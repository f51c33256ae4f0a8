"""The words of verdicts: moves with numbers, men, lists of at most five."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import chess

from plybook.board.claims.material import MATE
from plybook.board.claims.model import Evidence, MoveSaid
from plybook.board.positions import side_name

__all__ = [
    "also",
    "colour",
    "joined",
    "listed",
    "man_on",
    "net_words",
    "say",
    "say_line",
    "say_move",
    "spaced",
    "square_list",
    "squares_of",
    "times",
]

_ITEMS: Final = 5


def say(*parts: str | MoveSaid | Evidence) -> Evidence:
    """Return parts as one evidence, evidences among them opened."""
    found: list[str | MoveSaid] = []
    for part in parts:
        if isinstance(part, tuple):
            found.extend(part)
        else:
            found.append(part)
    return tuple(found)


def say_move(board: chess.Board, move: chess.Move, *, is_numbered: bool = True) -> MoveSaid:
    """Return a legal move of a position in words."""
    return MoveSaid(
        san=board.san(move),
        uci=move.uci(),
        number=board.fullmove_number,
        mover=side_name(board.turn),
        is_numbered=is_numbered,
    )


def say_line(board: chess.Board, moves: Iterable[chess.Move]) -> tuple[MoveSaid, ...]:
    """Return moves that follow one another: the first and every white one with its number."""
    trial = board.copy(stack=False)
    said: list[MoveSaid] = []
    for move in moves:
        said.append(say_move(trial, move, is_numbered=trial.turn or not said))
        trial.push(move)
    return tuple(said)


def spaced(line: Sequence[MoveSaid]) -> Evidence:
    """Return a line with a space between its moves."""
    parts: list[str | MoveSaid] = []
    for move in line:
        parts += [" ", move] if parts else [move]
    return tuple(parts)


def joined(items: Sequence[str | MoveSaid | Evidence], separator: str) -> Evidence:
    """Return items with a separator between them."""
    parts: list[str | MoveSaid | Evidence] = []
    for item in items:
        parts += [separator, item] if parts else [item]
    return say(*parts)


def listed(items: Sequence[str | MoveSaid | Evidence], *, limit: int = _ITEMS) -> Evidence:
    """Return at most five items with commas, then how many more there are."""
    shown = joined(items[:limit], ", ")
    more = len(items) - limit
    return say(shown, f" and {more} more") if more > 0 else shown


def squares_of(mask: chess.Bitboard | chess.SquareSet) -> tuple[str, ...]:
    """Return the names of squares, a1 first, h8 last."""
    return tuple(chess.SQUARE_NAMES[square] for square in chess.SquareSet(mask))


def square_list(mask: chess.Bitboard | chess.SquareSet) -> str:
    """Return the names of squares with commas, or `nowhere`."""
    return ", ".join(squares_of(mask)) or "nowhere"


def man_on(board: chess.Board, square: chess.Square) -> str:
    """Return what stands on a square: `the knight on f3`, or `nothing on f3`."""
    kind = board.piece_type_at(square)
    name = chess.SQUARE_NAMES[square]
    return f"the {chess.piece_name(kind)} on {name}" if kind else f"nothing on {name}"


def colour(color: chess.Color) -> str:
    """Return the name of a side as it stands in a sentence."""
    return "White" if color else "Black"


def also(items: Sequence[str | MoveSaid | Evidence]) -> Evidence:
    """Return the items beside the first, already named: `. Also 4...Nd5`; nothing for none."""
    return say(". Also ", listed(items, limit=_ITEMS - 1)) if items else ()


def net_words(net: int) -> str:
    """Return what a reply leaves its side with: ` (nothing lost)`, ` (loses 2)`."""
    if net <= -MATE:
        return " (is mated)"
    if net == 0:
        return " (nothing lost)"
    return f" (wins {net})" if net > 0 else f" (loses {-net})"


def times(count: int, word: str) -> str:
    """Return a count with its word: `1 time`, `2 times`."""
    return f"{count} {word}{'' if count == 1 else 's'}"
