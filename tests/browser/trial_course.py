"""A course of hard cases for the page: the tests write it, and it says nothing worth learning."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Final

import chess

__all__ = ["LESSONS", "write_trial_course"]

_COURSE: Final = """title: Trial course
id: trial
club: Tidemark Juniors
levels: [Slipway, Harbour]
licence: CC0-1.0
"""

_RULE: Final = """---
title: Look twice
short: Look, then look again.
---

As in [this line](special/nested@3.d4).
"""

_SPECIAL: Final = """---
title: Special moves
minutes: 5
level: Harbour
teaches: [look-twice]
---

In the first line 2.Nf3 comes before 2...Nc6 3.d4!? and [the short way](nested@2...d6).
A rook and a king step together: 1.O-O O-O-O.

## Sidelines in sidelines

```moves nested
title: Sidelines in sidelines
at 2.Nf3: arrow attack f3 e5
at 3.d4: mark target e5
at 3.d4: arrow plan d4 d5

1. e4 {A first step.} 1... e5 (1... c5 2. c3 (2. Nc3 Nc6 (2... a6 3. f4 (3. g3 b5)) 3. g3) 2... d5)
2. Nf3 Nc6 (2... d6 {Solid.} 3. Bc4 Be7) (2... Nf6?! 3. Nxe5) 3. d4!? exd4 {Open.}
4. Nxd4
```

```diagram nested@2.Nf3
caption: The first man *comes out*.
arrow attack: f3 e5
```

```diagram nested@3.Bc4
caption: In a sideline.
```

```diagram nested@3.d4
caption: A pawn steps up.
mark target: e5
arrow plan: d4 d5
```

## Kings step aside

```moves castling
title: Kings step aside
from: fen r3k2r/pppppppp/8/8/8/8/PPPPPPPP/R3K2R w KQkq - 0 1

1. O-O (1. O-O-O O-O 2. Kb1) 1... O-O-O 2. Rfe1 Kb8
```

## Pawns arrive

```moves promoting
title: Pawns arrive
from: fen 1r6/P6k/8/8/8/8/p6K/1R6 w - - 0 1

1. axb8=Q (1. a8=N axb1=N) (1. axb8=B axb1=R) (1. Rxb8 a1=Q) 1... axb1=Q 2. Qg3
```

## In passing

```moves passing
title: In passing

1. e4 a6 2. e5 d5 3. exd6 (3. d4 Bf5) 3... b5 4. a3 b4 5. c4 bxc3 6. dxc7
```

## From the other side

```moves other-side
title: From the other side
view: black
from: nested@2.Nf3

2... Nc6 3. Bb5 a6 (3... Nf6 4. O-O) 4. Ba4
```

## How it ends

```moves mated
title: It ends with mate

1. f3 e5 2. g4 Qh4#
```

```moves drawn
title: It ends with stalemate
from: fen 7k/8/5KQ1/8/8/8/8/8 w - - 0 1

1. Qf7 (1. Qh5+ Kg8)
```

```exercise find-it
board: mated@2.g4
task: Black to move and mate.
check: only mate in 1
answer: 2... Qh4#
wrong: 2... h5 | A pawn is slow.
hint: The king has a draughty corner.
level: Harbour
```

```cards
nested@2.Nf3 What is attacked? | The pawn on e5.
```
"""

_BARE: Final = "---\ntitle: Only words\n---\n\n## Nothing to step through\n\nNo board here.\n"

_ABRUPT: Final = """---
title: At once
---

```moves at-once
1. e4 e5
```
"""


def write_trial_course(folder: Path) -> Path:
    """Write the course and return its folder."""
    for name, text in _files().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


#: By lesson: what it is there for.
LESSONS: Final = {
    "special": "castling, promotion, en passant, nested sidelines, Black's view, mate, stalemate",
    "hidden": "the next move is hidden from the first; a line of 60 plies",
    "heavy": "12 lines of 30 plies",
    "pictures": "a line and ten still diagrams",
    "words": "no board",
    "abrupt": "a line before any heading",
}


def _files() -> dict[str, str]:
    lines = random.Random(7)
    long = _movetext(_play(60, lines))
    hidden = (
        "---\ntitle: Hidden moves\nhide_next: true\n---\n\nGuess before you look.\n\n## A line\n\n"
        f"```moves long\ntitle: A long line\n\n{long}\n```\n"
    )
    heavy = "---\ntitle: Twelve lines\n---\n\n" + "\n".join(
        f"## Part {number}\n\n{_PROSE}\n\n```moves line-{number}\ntitle: Line {number}\n\n"
        f"{_movetext(_play(30, lines), remark=True)}\n```\n"
        for number in range(1, 13)
    )
    sans = _play(60, lines)
    diagrams = "\n".join(
        f"```diagram still@{_label(at, sans[at])}\ncaption: Picture {at}.\n```\n"
        for at in range(3, 43, 4)
    )
    pictures = (
        "---\ntitle: Ten pictures\n---\n\n## A line\n\n"
        f"```moves still\ntitle: A line with pictures\n\n{_movetext(sans)}\n```\n\n{diagrams}"
    )
    return {
        "course.yaml": _COURSE,
        "principles/look-twice.md": _RULE,
        "lessons/01-special.md": _SPECIAL,
        "lessons/02-hidden.md": hidden,
        "lessons/03-heavy.md": heavy,
        "lessons/04-pictures.md": pictures,
        "lessons/05-words.md": _BARE,
        "lessons/06-abrupt.md": _ABRUPT,
    }


_PROSE: Final = (
    "The side that brings its men out first has more choice when the centre opens. Count the men "
    "on both sides, look at the king, and only then look for a blow. A pawn that takes a step "
    "without a job gives the other side a step for nothing."
)


def _play(plies: int, source: random.Random) -> list[str]:
    """Return the moves of a game by chance that is not over after `plies`."""
    while True:
        board = chess.Board()
        sans: list[str] = []
        while len(sans) < plies and not board.is_game_over():
            moves = sorted(board.legal_moves, key=lambda move: move.uci())
            sans.append(board.san_and_push(source.choice(moves)))
        if not board.is_game_over():
            return sans


def _label(at: int, san: str) -> str:
    return f"{at // 2 + 1}{'...' if at % 2 else '.'}{san.rstrip('+#')}"


def _movetext(sans: list[str], *, remark: bool = False) -> str:
    """Return numbered moves; with `remark`, a comment after every eighth ply."""
    words: list[str] = []
    is_named = True
    for at, san in enumerate(sans):
        dots = "..." if at % 2 else "."
        words.append(f"{at // 2 + 1}{dots} {san}" if is_named or at % 2 == 0 else san)
        is_named = remark and at % 8 == 5
        if is_named:
            words.append("{The men find their squares, and the plan is plain to see.}")
    return " ".join(words)
