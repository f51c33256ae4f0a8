"""A course of any size, made of seeded random legal play: for benchmarks, not for reading."""

from __future__ import annotations

import random
from pathlib import Path

import chess

__all__ = ["write_course"]

_PROSE = (
    "The side that brings its men out first has more choice when the centre opens. "
    "Count the men on both sides, look at the king, and only then look for a blow. "
    "A pawn that takes a step without a job gives the other side a step for nothing. "
)


def _sans(plies: int, source: random.Random) -> list[str]:
    board = chess.Board()
    sans = []
    while len(sans) < plies:
        moves = sorted(board.legal_moves, key=lambda move: move.uci())
        if not moves or board.is_insufficient_material():
            return _sans(plies, source)
        captures = [move for move in moves if board.is_capture(move)]
        pick = captures if captures and source.random() < 0.4 else moves
        sans.append(board.san_and_push(source.choice(pick)))
    return sans


def _numbered(sans: list[str]) -> list[str]:
    return [f"{at // 2 + 1}. {san}" if at % 2 == 0 else san for at, san in enumerate(sans)]


def _lesson(number: int, lines: int, plies: int, source: random.Random) -> str:
    parts = [
        f"---\ntitle: Lesson {number}\nsubtitle: Made for measuring\nminutes: 30\n"
        "teaches: [first-rule]\n---\n"
    ]
    for line in range(lines):
        sans = _sans(plies, source)
        label = f"{plies // 4 + 1}.{sans[2 * (plies // 4)].rstrip('+#')}"
        parts.append(f"## Part {line + 1}\n\n{_PROSE * 2}\n\nLook at {label} here.\n")
        moves = _numbered(sans)
        moves[4] += " {A remark on this move.} 3..."  # black's next move is numbered again
        parts.append(f"```moves line-{line}\ntitle: Line {line + 1}\n\n{' '.join(moves)}\n```\n")
        parts.append(f"```diagram line-{line}@{label}\ncaption: After *this* move.\n```\n")
    return "\n".join(parts)


def write_course(folder: Path, *, lessons: int, lines: int, plies: int, seed: int = 1) -> None:
    """Write a course of `lessons` lessons with `lines` lines of `plies` plies each."""
    source = random.Random(seed)
    (folder / "lessons").mkdir(parents=True, exist_ok=True)
    (folder / "principles").mkdir(exist_ok=True)
    (folder / "course.yaml").write_text("title: A course to measure\n", encoding="utf-8")
    (folder / "principles" / "first-rule.md").write_text(
        f"---\ntitle: First rule\nshort: One thing at a time.\n---\n\n{_PROSE}\n", encoding="utf-8"
    )
    for number in range(1, lessons + 1):
        path = folder / "lessons" / f"{number:04d}-lesson-{number}.md"
        path.write_text(_lesson(number, lines, plies, source), encoding="utf-8")
