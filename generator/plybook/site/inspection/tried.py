"""The tables of exercises in a page, read and played by somebody who did not write them.

The form is told in exercise_data.py; what is legal is asked of the board room's arbiter. A table
must hold exactly the legal moves of each turn, and show after each what the Laws say.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

from plybook.board import Arbiter, Step
from plybook.site.inspection.strict_html import Page

__all__ = ["TABLE_ID", "table_faults"]

TABLE_ID: Final = "xd-"

_DIGITS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
_MOVE: Final = re.compile(
    r"([A-Za-z0-9_-])([A-Za-z0-9_-])"
    r"(?:\+([A-Za-z0-9_-])([A-Za-z0-9_-])|!([A-Za-z0-9_-])|=([NBRQnbrq]))?"
)
_FOUND: Final = (KeyError, TypeError, ValueError, IndexError, AttributeError)


def table_faults(page: Page) -> Iterator[str]:
    """Yield what is wrong with the tables of a page's exercises."""
    for ident, text in page.data:
        if not ident.startswith(TABLE_ID):
            continue
        try:
            data: Any = json.loads(text)
            if "turns" in data:
                yield from (f"`{ident}`: {fault}" for fault in _Table(data).faults())
            elif not data["answers"]:
                yield f"`{ident}`: there is no answer"
        except _FOUND as error:
            yield f"the table `{ident}` cannot be read: {error!r}"


class _Table:
    """One table, played through from its position along every right move."""

    def __init__(self, data: Any) -> None:
        self._turns = data["turns"]
        self._fen = str(data["fen"])
        self._costs = data.get("cost", {})
        self._said = data.get("say", [])
        self._seen: set[tuple[int, str]] = set()
        self._reached: set[int] = set()

    def faults(self) -> Iterator[str]:
        yield from self._turn(0, Arbiter(self._fen))
        if len(self._reached) != len(self._turns):
            yield "a turn is never reached"

    def _turn(self, index: int, arbiter: Arbiter) -> Iterator[str]:
        """Yield the faults of a turn and of those behind it; each position once."""
        if (index, arbiter.fen) in self._seen:
            return
        self._seen.add((index, arbiter.fen))
        self._reached.add(index)
        number, rows, refused = self._turns[index]
        if number != arbiter.number:
            yield f"turn {index} has the number {number}, not {arbiter.number}"
        found = [_read(row.split(",")[0]) for row in rows.split(" ")]
        moves = [(step.origin, step.target, step.promotion) for step, _ in found]
        if len(set(moves)) != len(moves) or set(moves) != arbiter.legal():
            yield f"turn {index} does not hold exactly the legal moves"
            return
        legal = {_DIGITS[origin] + _DIGITS[target] for origin, target, _ in moves}
        can_move = {move[0] for move in legal}
        for squares in (each for moves in refused.values() for each in moves.split(" ")):
            if squares in legal or squares in can_move:
                yield f"turn {index} refuses `{squares}`, which is legal"
        for row in rows.split(" "):
            yield from self._row(f"turn {index}", row.split(","), arbiter)

    def _row(self, turn: str, fields: list[str], arbiter: Arbiter) -> Iterator[str]:
        fields = [*fields, *[""] * (8 - len(fields))]
        move, san, kind, reply, answer, cost, following, said = fields
        after, fault = _played(arbiter, move, san)
        if after is None:
            yield f"{turn}, `{san}`: {fault}"
            return
        if reply:
            after, fault = _played(after, reply, answer)
            if after is None:
                yield f"{turn}, `{san}` {answer}: {fault}"
                return
        if cost not in {"", "#"} and cost not in self._costs:
            yield f"{turn}, `{san}`: its cost has no words"
        if said and _index(said, self._said) is None:
            yield f"{turn}, `{san}`: what is said of it is not there"
        if (cost == "#") != (
            bool(reply) and kind not in {"k", "r"} and not after.legal() and answer.endswith("#")
        ):
            yield f"{turn}, `{san}`: mate or no mate"
        if following:
            index = _index(following, self._turns)
            if index is None:
                yield f"{turn}, `{san}`: the turn after it is not there"
            else:
                yield from self._turn(index, after)


def _index(number: str, things: Sequence[Any]) -> int | None:
    """Return which of some things a number names, None for none; nothing is counted backwards."""
    return int(number) if number.isdecimal() and int(number) < len(things) else None


def _played(arbiter: Arbiter, move: str, san: str) -> tuple[Arbiter | None, str]:
    """Return the position after a move as the page writes it, or None and what is wrong."""
    step, shown = _read(move)
    after = arbiter.after(step)
    if after is None:
        return None, f"`{move}` is illegal"
    if arbiter.san(step) != san:
        return None, "the move played is another one"
    if _moved(arbiter.placement, shown) != after.placement:
        return None, "the board would show another position"
    return after, ""


def _read(move: str) -> tuple[Step, re.Match[str]]:
    found = _MOVE.fullmatch(move)
    if found is None:
        raise ValueError(f"`{move}` is no move")
    rook = _DIGITS.index(found[3]) if found[3] else None
    origin, target = _DIGITS.index(found[1]), _DIGITS.index(found[2])
    return Step(0, origin, target, (found[6] or "").upper(), rook), found


def _moved(placement: str, found: re.Match[str]) -> str:
    """Return the placement after a move, as the page's script would make it."""
    board = list(placement)
    origin, target = _DIGITS.index(found[1]), _DIGITS.index(found[2])
    board[origin] = "."
    if found[5]:
        board[_DIGITS.index(found[5])] = "."
    if found[3]:
        board[_DIGITS.index(found[3])] = "."
        board[_DIGITS.index(found[4])] = placement[_DIGITS.index(found[3])]
    board[target] = found[6] or placement[origin]
    return "".join(board)
