"""The moves that a page carries, read and played by somebody who did not write them.

This is a reader of its own, and on purpose shares nothing with the writer: the format is described
in `stepper.py`, what is legal is asked of the board room's replay.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from plybook.board import IllegalStepError, Step, replay
from plybook.site.inspection.strict_html import Page

__all__ = ["DATA_ID", "stepping_faults"]

DATA_ID: Final = "lesson-data"

_DIGITS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
_PLY: Final = re.compile(
    r"([A-Za-z0-9_\-])([A-Za-z0-9_\-])"
    r"(?:\+([A-Za-z0-9_\-])([A-Za-z0-9_\-])|!([A-Za-z0-9_\-])|=([NBRQnbrq]))?|([()])"
)
_LABEL: Final = re.compile(
    r"(\d+)(\.|\.\.\.)(?:(O-O(?:-O)?)|([KQRBN]?)([a-h]?)([1-8]?)(x?)([a-h][1-8])(?:=([QRBN]))?)"
)
_COUNT: Final = re.compile(r"~\d+\Z")  # tells apart sidelines that begin with the same move
_FOUND: Final = (KeyError, TypeError, ValueError, IndexError, AttributeError, RecursionError)


def stepping_faults(page: Page) -> Iterator[str]:
    """Yield what is wrong with a page's stepping data; a page without any has no faults."""
    anchors: dict[str, list[str]] = {}
    for ident in page.ids:
        anchors.setdefault(ident.partition("@")[0], []).append(ident)
    for ident, text in page.data:
        try:
            data: Any = json.loads(text)
            if ident != DATA_ID:
                continue
            lines = list(data["lines"])
            if data["at"] not in page.ids:
                yield f"the board stands at `{data['at']}`, which is not in the page"
        except _FOUND as error:
            yield f"the data `{ident}` cannot be read: {error!r}"
            continue
        for line in lines:
            try:
                yield from _line_faults(line, anchors)
            except _FOUND as error:
                yield f"a line of the data cannot be read: {error!r}"


def _line_faults(line: Any, anchors_of: Mapping[str, list[str]]) -> Iterator[str]:
    name, fen, start = str(line["name"]), str(line["fen"]), str(line["from"])
    steps, placements = _read(start, line["moves"])
    turn, number = fen.split()[1], int(fen.split()[5])
    if line["turn"] != turn:
        yield f"`{name}`: the side to move is not that of its FEN"
    if len(line["say"]) != len(steps):
        yield f"`{name}`: {len(steps)} plies, {len(line['say'])} spoken"
    anchors = [ident for ident in anchors_of.get(name, ()) if ident != name]
    if len(anchors) != len(steps) + 1 or anchors[0] != f"{name}@start":
        yield f"`{name}`: {len(steps)} plies, {len(anchors) - 1} moves in the text"
        return
    try:
        proved = replay(fen, steps)
    except IllegalStepError as illegal:
        yield f"`{anchors[illegal.place]}`: {illegal}"
        return
    for place, (shown, true) in enumerate(zip(placements, proved, strict=True)):
        if shown != true:
            yield f"`{anchors[place]}`: the board would show {shown}, not {true}"
            return
    depths = [1 if turn == "b" else 0]
    for anchor, step, shown in zip(anchors[1:], steps, _before(steps, placements), strict=True):
        depths.append(depths[step.parent] + 1)
        if not _is_label(anchor, step, shown, depths[step.parent], number):
            yield f"`{anchor}`: the move played is another one"


def _before(steps: Sequence[Step], placements: Sequence[str]) -> list[str]:
    return [placements[step.parent] for step in steps]


def _read(start: str, moves: str) -> tuple[list[Step], list[str]]:
    """Return the steps that the string holds, and the placement it gives to every place."""
    if len(start) != 64:
        raise ValueError("a placement has 64 characters")
    steps: list[Step] = []
    placements = [start]
    parents = [-1]
    back: list[int] = []
    here = at = 0
    while at < len(moves):
        found = _PLY.match(moves, at)
        if found is None:
            raise ValueError(f"no ply at character {at} of the moves")
        at = found.end()
        if found[7] == "(":
            back.append(here)
            here = parents[here]
            if here < 0:
                raise ValueError("an alternative to nothing")
        elif found[7]:
            here = back.pop()
        else:
            step = _step(found, here)
            steps.append(step)
            placements.append(_moved(placements[here], step, found))
            parents.append(here)
            here = len(steps)
    if back:
        raise ValueError("a bracket is not closed")
    return steps, placements


def _step(found: re.Match[str], parent: int) -> Step:
    return Step(
        parent,
        _DIGITS.index(found[1]),
        _DIGITS.index(found[2]),
        (found[6] or "").upper(),
        _DIGITS.index(found[3]) if found[3] else None,
    )


def _moved(placement: str, step: Step, found: re.Match[str]) -> str:
    """Return the placement after a ply, as the page's script would make it."""
    man = found[6] or placement[step.origin]
    board = list(placement)
    board[step.origin] = "."
    if found[5]:
        board[_DIGITS.index(found[5])] = "."
    if step.rook is not None:
        rook = placement[step.rook]
        board[step.rook] = "."
        board[_DIGITS.index(found[4])] = rook
    board[step.target] = man
    return "".join(board)


def _is_label(anchor: str, step: Step, before: str, depth: int, first: int) -> bool:
    """Return whether the words of a move say what its squares do."""
    label = _COUNT.sub("", anchor.partition("@")[2]).rpartition("~")[2]
    found = _LABEL.fullmatch(label)
    if found is None:
        return False
    number, dots, castling, man, file, rank, takes, target, promotion = found.groups()
    man_there = before[step.origin]
    if int(number) != first + depth // 2 or (dots == ".") != (depth % 2 == 0):
        return False
    if castling:
        is_long = step.rook is not None and step.rook < step.origin
        return step.rook is not None and (castling == "O-O-O") == is_long
    origin = f"{'abcdefgh'[step.origin % 8]}{step.origin // 8 + 1}"
    goal = f"{'abcdefgh'[step.target % 8]}{step.target // 8 + 1}"
    is_capture = before[step.target] != "." or (man_there in "Pp" and origin[0] != goal[0])
    return (
        step.rook is None
        and man_there.upper() == (man or "P")
        and goal == target
        and file in {"", origin[0]}
        and rank in {"", origin[1]}
        and bool(takes) == is_capture
        and (promotion or "") == step.promotion
    )
