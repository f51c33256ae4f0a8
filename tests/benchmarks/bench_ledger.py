"""The ledger of a whole course against bare parsing of the same moves, in one run.

    python tests/benchmarks/bench_ledger.py [LESSONS]

The bare work is python-chess's parse_san and push of every ply. The lines are of two sorts: games
by chance, and well-known openings played on by chance, where more happens in the first moves.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

import chess

sys.path[:0] = [
    str(Path(__file__).resolve().parents[2] / "generator"),
    str(Path(__file__).resolve().parents[1]),
]

from plybook.board import Line  # noqa: E402  # the path is set above
from plybook.board.ledger import ledger_of  # noqa: E402  # the path is set above
from site_lines import Builder  # noqa: E402  # the path is set above

_LINES: Final = 12
_PLIES: Final = 30
_OPENINGS: Final = (
    "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d4 exd4 cxd4 Bb4+",
    "e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6 O-O Be7 Re1 b5 Bb3 d6 c3 O-O h3 Nb8 d4 Nbd7",
    "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3 O-O Nf3 Nbd7",
    "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6 Bg5 e6 f4 Be7 Qf3 Qc7 O-O-O Nbd7",
    "e4 d5 exd5 Qxd5 Nc3 Qa5 d4 Nf6 Nf3 Bf5 Bd2 c6",
)


def _line(at: int, chance: random.Random) -> Line:
    """Return a line of _PLIES plies, or fewer where it ends in mate."""
    builder = Builder()
    place = 0
    if at % 2:
        for san in _OPENINGS[at % len(_OPENINGS)].split():
            place = builder.add(place, builder.boards[place].parse_san(san), depth=0)
    while place < _PLIES:
        board = builder.boards[place]
        moves = sorted(board.legal_moves, key=chess.Move.uci)
        if not moves:
            break
        captures = [move for move in moves if board.is_capture(move)]
        pick = captures if captures and chance.random() < 0.4 else moves
        place = builder.add(place, chance.choice(pick), depth=0)
    return builder.line()


def _parse(line: Line) -> None:
    board = chess.Board()
    for ply in line.plies:
        board.push(board.parse_san(ply.san))


def timed(lines: list[Line], *actions: Callable[[Line], object], rounds: int = 7) -> list[float]:
    """Return the time of each action on all lines, in seconds of this process.

    The actions take turns line by line, and of each line the best round counts, so that a busy
    machine is unkind to none of them.
    """
    total = [0.0] * len(actions)
    for line in lines:
        best = [float("inf")] * len(actions)
        for _ in range(rounds):
            for at, action in enumerate(actions):
                start = time.perf_counter()
                action(line)
                best[at] = min(best[at], time.perf_counter() - start)
        total = [sum(pair) for pair in zip(total, best, strict=True)]
    return total


def main() -> None:
    """Print the table."""
    lessons = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    chance = random.Random(1)
    lines = [_line(at, chance) for at in range(lessons * _LINES)]
    plies = sum(len(line.plies) for line in lines)
    bare, kept = timed(lines, _parse, ledger_of)
    print(f"{lessons} lessons, {len(lines)} lines, {plies} plies")
    for what, seconds in (("bare parse and push", bare), ("ledger", kept)):
        print(
            f"{what:<20} {seconds:7.3f} s  {seconds / plies * 1e6:6.1f} us a ply  "
            f"{plies / seconds:7.0f} plies/s  {seconds / bare:5.2f} x bare"
        )
    whole = 200 * _LINES * _PLIES
    print(f"200 lessons ({whole} plies): {kept / plies * whole:.2f} s on one core")


if __name__ == "__main__":
    main()
