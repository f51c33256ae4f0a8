"""A course of exercises of every kind, written by the tests: hard cases, nothing worth learning."""

from __future__ import annotations

from pathlib import Path
from typing import Final

__all__ = ["PAGE", "POSITIONS", "write_exercise_course"]

PAGE: Final = "lessons/tries.html"

#: By exercise: the position it begins with.
POSITIONS: Final = {
    # The knight is pinned, the back rank is open.
    "corridor": "6k1/5ppp/8/8/3b4/8/5N1P/R5K1 w - - 0 1",
    # Two rooks: two ways, each of two moves with one legal reply.
    "ladder": "7k/8/8/8/8/1R6/R7/6K1 w - - 0 1",
    # A queen would be stalemate; a rook mates in two.
    "arrival": "8/5P1k/5K2/8/8/8/8/8 w - - 0 1",
    # Black to move, seen from Black's side.
    "other-side": "r5k1/5ppp/8/8/8/8/5PPP/6K1 b - - 0 12",
    # What is good is the coach's opinion.
    "judged": "4k3/8/8/8/8/8/4PPP1/4K2R w K - 0 1",
    # True or false.
    "pinned": "6k1/5ppp/8/8/3b4/8/5N1P/R5K1 w - - 0 1",
    # Answered by a word.
    "counted": "6k1/5ppp/8/8/3b4/8/5N1P/R5K1 w - - 0 1",
}

_BLOCKS: Final = {
    "corridor": """task: Mate in one.
check: only mate in 1
answer: 1. Ra8#
wrong: 1. Rd1 | The bishop just steps away.
hint: Look along the rows.
hint: The king is shut in by his own pawns.
""",
    "ladder": """task: Mate in two.
check: mate in 2
answer: 1. Ra7 Kg8 2. Rb8#
answer: 1. Rb7 Kg8 2. Ra8#
hint: One rook holds a row.
""",
    "arrival": """task: Mate in two.
check: only mate in 2
answer: 1. f8=R Kh6 2. Rh8#
wrong: 1. f8=Q | Stalemate: the king has no square.
""",
    "other-side": """task: Mate in one.
check: only mate in 1
answer: 12... Ra1#
""",
    "judged": """task: Bring the king into safety.
check: none because a king may be safe in several ways
answer: 1. O-O
""",
    "pinned": """task: True or false? The knight on f2 stands where nobody attacks it.
check: false
claim: f2 is attacked 0 times by Black and guarded 1 time
answer: False. The bishop attacks it.
""",
    "counted": """task: How many black men attack the knight?
check: true
claim: f2 is attacked 1 time by Black and guarded 1 time
answer: 1
""",
}


def write_exercise_course(folder: Path, *, language: str = "en", letters: str = "figurine") -> Path:
    """Write the course and return its folder; its texts are English in any language."""
    parts = ["---\ntitle: Tries\n---\n\nAn exercise of each kind.\n\n## Tries\n"]
    for name, fen in POSITIONS.items():
        parts.append(f"```moves at-{name}\ntitle: Before {name}\nfrom: fen {fen}\n```\n")
        parts.append(f"```exercise {name}\nboard: at-{name}@start\n{_BLOCKS[name]}```\n")
    (folder / "lessons").mkdir(parents=True)
    (folder / "course.yaml").write_text(
        f"title: Exercises\nid: tries\nlanguage: {language}\nletters: {letters}\n"
        "licence: CC0-1.0\n",
        encoding="utf-8",
    )
    (folder / "lessons/01-tries.md").write_text("\n".join(parts), encoding="utf-8")
    return folder
