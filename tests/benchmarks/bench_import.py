"""Reading games against python-chess's own reader, in one run; and a file of any size.

    python tests/benchmarks/bench_import.py [GAMES] [MEGABYTES]

The games are chance play with headers, some remarks and variations. The first figure is how many
times as fast this reader is as `chess.pgn.read_game` on one core (it must be 0.6 at least), the
second what all cores bring. The last lines show the memory that a large file takes: it must not
grow with the file.
"""

from __future__ import annotations

import io
import os
import random
import resource
import sys
import tempfile
import time
from pathlib import Path
from typing import Final

import chess.pgn

sys.path[:0] = [
    str(Path(__file__).resolve().parents[2] / "generator"),
    str(Path(__file__).resolve().parent),
]

from synthetic import _numbered, _sans  # noqa: E402  # the path is set above

from plybook.board import games_in  # noqa: E402  # the path is set above
from plybook.desk.importing.scan import Task, look_through  # noqa: E402  # the path is set above

_PLIES: Final = 70
_ROUNDS: Final = 3


def _game(number: int, source: random.Random) -> str:
    moves = _numbered(_sans(_PLIES, source))
    moves[8] += " {[%clk 0:10:00] A remark.}"
    tags = "".join(
        f'[{name} "{value}"]\n'
        for name, value in (
            ("Event", f"Round {number}"),
            ("Site", "?"),
            ("Date", "1901.01.01"),
            ("Round", "?"),
            ("White", "Amber"),
            ("Black", "Birch"),
            ("Result", "1/2-1/2"),
        )
    )
    return f"{tags}\n{' '.join(moves)} 1/2-1/2\n\n"


def _theirs(text: str) -> float:
    stream = io.StringIO(text)
    start = time.perf_counter()
    while chess.pgn.read_game(stream) is not None:
        pass
    return time.perf_counter() - start


def _ours(text: str) -> float:
    start = time.perf_counter()
    for raw in games_in.split_games(text):
        assert isinstance(games_in.read_game(raw), games_in.ReadGame)
    return time.perf_counter() - start


def _through(path: Path, jobs: int) -> tuple[float, int]:
    start = time.perf_counter()
    games = sum(part.read for part in look_through(path, Task(encoding="utf-8"), jobs=jobs))
    return time.perf_counter() - start, games


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    megabytes = int(sys.argv[2]) if len(sys.argv) > 2 else 10
    source = random.Random(5)
    games = [_game(number, source) for number in range(count)]
    text = "".join(games)
    theirs = min(_theirs(text) for _ in range(_ROUNDS))
    ours = min(_ours(text) for _ in range(_ROUNDS))
    print(f"{count} games, {len(text) / 1e6:.1f} MB, best of {_ROUNDS} runs")
    print(f"  python-chess {theirs:.2f} s, ours {ours:.2f} s: {theirs / ours:.2f} times as fast")
    with tempfile.TemporaryDirectory() as folder:
        for size in (megabytes / 5, megabytes):
            path = Path(folder) / "games.pgn"
            path.write_text(text * max(1, round(size * 1e6 / len(text))), encoding="utf-8")
            for jobs in (1, os.cpu_count() or 1):
                taken, read = _through(path, jobs)
                most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
                print(
                    f"  {path.stat().st_size / 1e6:.0f} MB, {read} games, {jobs} processes: "
                    f"{taken:.1f} s, {path.stat().st_size / 1e6 / taken:.2f} MB/s, "
                    f"most memory so far {most:.0f} MB"
                )


if __name__ == "__main__":
    main()
