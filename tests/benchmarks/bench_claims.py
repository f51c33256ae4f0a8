"""What settling claims costs: the mate prover, every kind of sentence, the demo course.

    python tests/benchmarks/bench_claims.py [--long]

Prints tables and judges nothing. Times are those of one process; positions looked at are the same
on every machine. With `--long` the mates in 4 and 5 are proved too (about half a minute).
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import chess

_ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(_ROOT / "generator"), str(_ROOT / "tests")]

from claims.claim_stand import line_of, request_of  # noqa: E402  # the path is set above
from claims.test_demo_course import SLUGS, claims_of  # noqa: E402  # the path is set above
from claims.test_worked_values import (  # noqa: E402  # the path is set above
    ARK,
    ARK_LINES,
    DAMIANO,
    DUTCH,
    KNIGHTS,
    LEGAL,
    PARIS,
    PARIS_END,
    QUEEN_OUT,
    TWO_PINS,
    VIENNA,
)
from plybook.board.claims import Budget, VerdictCache, settle_claims  # noqa: E402
from plybook.board.claims.mates import MateProver  # noqa: E402  # the path is set above

_Result = TypeVar("_Result")

FRIED = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 d5 5.exd5 Nxd5 6.Nxf7 Kxf7 7.Qf3+ Ke6"
ITALIAN = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.d3 Nf6 5.Nc3 d6"
QUEENS_GAMBIT = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7 5.e3 O-O"
SICILIAN = "1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4 Nf6 5.Nc3 a6"
FROM = "1.f4 e5 2.fxe5 d6 3.exd6 Bxd6"
EXCELSIOR = "n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1"

MATES = [
    ("Legal before 6.Bxf7+", f"{LEGAL} 5.Nxe5 Bxd1"),
    ("Paris before 16.Qb8+", PARIS_END),
    ("Vienna before 9.Qd8+", VIENNA),
    ("quiet Italian, move 6", ITALIAN),
    ("Queen's Gambit, move 6", QUEENS_GAMBIT),
    ("open Sicilian, move 6", SICILIAN),
    ("start position", ""),
    ("after 7...Ke6", FRIED),
]

#: One sentence of each kind, with the budget in milliseconds where there is one.
SENTENCES = [
    ("the knight f3 is pinned by g4 to d1, relative", LEGAL, 20),
    ("f7 is attacked 2 times by White and guarded 1 time", KNIGHTS, 20),
    ("g4 is loose", LEGAL, 20),
    ("g4 is safe", LEGAL, 20),
    ("5.Qxe5+ forks e8 and h8", f"{DAMIANO} 4.Qh5+ g6", 20),
    ("6.Nxf7 attacks d8 and h8", f"{KNIGHTS} d5 5.exd5 Nxd5", 20),
    ("10.Bg5+ gives double check", f"{VIENNA} 9.Qd8+ Kxd8", 20),
    ("10.Bg5+ uncovers d1 on d8", f"{VIENNA} 9.Qd8+ Kxd8", 20),
    ("f6 is overloaded: it guards d7 and e7", PARIS, 20),
    ("d4xc3 is legal but loses 9", TWO_PINS, 20),
    ("White leads in development 5 to 3", PARIS, 20),
    ("the queen has cost 2 tempi", f"{QUEEN_OUT} g6 4.Qf3 Nf6 5.Qb3 Nd4 6.Qc3", 20),
    ("White threatens mate in 1 by Qxf7#", f"{QUEEN_OUT} g6 4.Qf3", 20),
    ("the replies that lose nothing are Qe7, Qf6, g6, Nh6", QUEEN_OUT, None),
    ("6.Bxf7+ mates in 2", f"{LEGAL} 5.Nxe5 Bxd1", 20),
    ("6.Bxf7+ is the only mate in 2", f"{LEGAL} 5.Nxe5 Bxd1", 20),
    ("no reply stops mate in 2", DUTCH, None),
    ("9.Qd8+ mates in 3", VIENNA, 600),
    ("9.Qd8+ is the only mate in 3", VIENNA, 600),
    ("6.Be3 mates in 3", ITALIAN, 600),
    ("Black threatens mate in 3 by Qh4+", FROM, 600),
    ("5.Nxe5 wins 1 or more, depth 3", LEGAL, None),
    ("5.Nxe5 wins 1 or more, depth 5", LEGAL, None),
    ("b3 is trapped and costs 1 or more", ARK, None),
]


def timed(action: Callable[[], _Result], *, rounds: int) -> tuple[_Result, float]:
    """Return what an action gives and the best of some rounds, in milliseconds."""
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        result = action()
        best = min(best, time.process_time() - start)
    return result, best * 1000


def board_of(moves: str) -> chess.Board:
    """Return the board at the end of a line."""
    line = line_of(moves)
    board = chess.Board(line.start.fen)
    for ply in line.main():
        board.push_san(ply.san)
    return board


def prove(board: chess.Board, moves: int) -> tuple[str, int]:
    """Return the mating move, or none, and how many positions were looked at."""
    prover = MateProver()
    move = prover.find_mate(board, moves)
    return (board.san(move) if move else "none", prover.nodes)


def print_mates(depths: Iterable[int]) -> None:
    """Print one row a position: the mate within so many moves, its time and its positions."""
    for name, moves in MATES:
        board = board_of(moves)
        cells = []
        for depth in depths:
            (found, nodes), cost = timed(
                lambda board=board, depth=depth: prove(board, depth),  # type: ignore[misc]  # bound now
                rounds=3 if depth < 4 else 1,
            )
            cells.append(f"<={depth} {found:>6} {cost:8.1f} ms {nodes:8,}")
        print(f"{name:24}", " | ".join(cells))


def print_sentences() -> None:
    """Print one row a sentence: verdict, time, budget."""
    for sentence, moves, limit in SENTENCES:
        line = line_of(moves)
        place = max(ply.index for ply in line.main())
        request = request_of(sentence, line, place)
        verdicts, cost = timed(
            lambda request=request: settle_claims([request], budget=Budget()),  # type: ignore[misc]  # bound now
            rounds=3,
        )
        budget = f"of {limit} ms" if limit else ""
        row = f"{verdicts[0].reach.value:8} {cost:8.1f} ms {budget:10} {verdicts[0].nodes:8,}"
        print(f"{sentence[:54]:54} {row}")


def print_lines() -> None:
    """Print what the proof through the lines of Noah's Ark costs."""
    line = line_of(ARK_LINES)
    place = next(ply.index for ply in line.plies if ply.label == "8.Qxd4")
    request = request_of("8...c5 wins 1 or more by the lines given", line, place)
    verdicts, cost = timed(lambda: settle_claims([request], budget=Budget()), rounds=1)
    print(f"Noah's Ark by the lines given: {cost:.0f} ms, {verdicts[0].text}")


def print_course() -> None:
    """Print what all claims of the demo course cost, settled and from the cache."""
    requests: list[Any] = [request for slug in SLUGS for _, request in claims_of(slug)]
    cache = VerdictCache()
    _, cold = timed(lambda: settle_claims(requests, budget=Budget(), cache=cache), rounds=1)
    _, warm = timed(lambda: settle_claims(requests, budget=Budget(), cache=cache), rounds=3)
    print(
        f"demo course, {len(requests)} claims: {cold:.0f} ms settled, {warm:.0f} ms from the cache"
    )


def main() -> None:
    """Print all tables."""
    is_long = "--long" in sys.argv[1:]
    print("mate prover: move, time, positions")
    print_mates((1, 2, 3, 4) if is_long else (1, 2, 3))
    print("\nsentences: verdict, time, budget, positions")
    print_sentences()
    print()
    print_lines()
    print_course()
    if is_long:
        (found, nodes), cost = timed(lambda: prove(chess.Board(EXCELSIOR), 5), rounds=1)
        print(f"Loyd 1861, mate in 5: {found}, {cost / 1000:.1f} s, {nodes:,} positions")


if __name__ == "__main__":
    main()
