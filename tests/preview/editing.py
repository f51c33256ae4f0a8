"""A small course, and random changes to it as a coach makes them, faults and repairs included."""

from __future__ import annotations

import random
import re
import shutil
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Final

from helpers import lesson, moves
from small_course import FILES as SMALL

__all__ = ["Editor", "png", "write_course"]

_TAGS = """
```tags other
2.Nf3 obeys out-first
2...Nc6 obeys out-first
```
"""
_CLAIMS = """
```claims rook@start
the rook a1 is pinned by a8 to a2, relative
believe: White stands well
```
"""

#: Lessons that lean on one another: lines that start from other lessons, tags, claims, a draft.
FILES: Final = {
    **SMALL,
    "course.yaml": SMALL["course.yaml"] + "  - title: Part two\n    lessons: [bare, on, ends]\n",
    "lessons/04-on.md": lesson(
        "\nIt goes on with 4.Ba4, as in [the end](long@end), from [here](pins/later@3...a6).\n"
        + moves("long", "4. Ba4 Nf6 5. O-O! Be7", from_="pins/later@3...a6", source="Own line")
        + moves("other", "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6")
        + _TAGS
        + "\n```coach\nCOACH-ONLY: see **4.Ba4**.\n```\n",
        teaches="[out-first]",
        needs="[pins]",
        minutes="20",
    ),
    "lessons/05-ends.md": lesson(
        "\nThe rook stands behind the pawn, and 1.Kb2 helps.\n"
        + moves("rook", "1. Kb2 Ra7", from_="fen r6k/8/8/8/8/8/P7/RK6 w - - 0 1")
        + "\n```claims rook@start\na2 is attacked 1 time by Black and guarded 2 times\n```\n"
        + "\n```diagram on/long@5.O-O\ncaption: The other lesson\n```\n",
        practises="[out-first]",
    ),
    "lessons/06-draft.md": lesson(
        "\nNot yet: 1.d4.\n" + moves("queen", "1. d4 d5 2. c4 e6"), draft="true"
    ),
    "principles/out-first.md": "---\ntitle: Men out\nshort: Bring a man out with each move.\n"
    "kept_by: [develops]\n---\n\nSee [the lesson](../lessons/04-on.md).\n",
}

_WORDS: Final = (
    "harbour",
    "*tide*",
    "5.Nf3",
    "`mole`",
    "[on](04-on.md)",
    "—",
    "e4",
    "**",
    "3...a6",
)
_MOVES: Final = ("Nf3", "Nc3", "e4", "d5", "Bc4", "a6", "O-O", "Qxd5", "Nf6", "a3")
_HEADS: Final = (
    "minutes: 45",
    "draft: true",
    "level: Harbour",
    "level: Nowhere",
    "needs: [forks]",
    "needs: [ends]",
    "teaches: [look-twice, out-first]",
    "practises: [out-first]",
    "letters: german",
    "language: de",
    "subtitle: Of the sea",
    "wrong: key",
)


_LOCK: Final = "# plybook positions 1\n"


def png(side: int) -> bytes:
    """Return a black picture of so many pixels each way."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    rows = zlib.compress((b"\0" + b"\0" * side) * side)
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def write_course(folder: Path) -> None:
    """Write the course."""
    for name, text in FILES.items():
        _write(folder / name, text)
    (folder / "images").mkdir(exist_ok=True)
    (folder / "images" / "board.png").write_bytes(png(2))


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="")


def _without(rows: list[str], at: int) -> list[str]:
    return [*rows[:at], *rows[at + 1 :]]


def _twice(rows: list[str], at: int) -> list[str]:
    return [*rows[: at + 1], *rows[at:]]


class Editor:
    """Changes a course folder at random, the same way for the same seed."""

    def __init__(self, folder: Path, seed: int) -> None:
        self._folder = folder
        self._random = random.Random(seed)

    def edit(self) -> str:
        """Make one change and return what it was. Every third one repairs something."""
        ways: tuple[Callable[[], str], ...] = (
            self._word,
            self._word,
            self._move,
            self._move,
            self._glyph,
            self._tag,
            self._tag,
            self._order,
            self._order,
            self._line_out,
            self._line_twice,
            self._letter_out,
            self._head,
            self._head,
            self._rename,
            self._delete,
            self._course,
            self._course,
            self._principle,
            self._image,
            self._lock,
        )
        if self._random.random() < 0.4:
            return self._restore()
        return self._random.choice(ways)()

    def _pages(self) -> list[Path]:
        return sorted(self._folder.glob("*/*.md"))

    def _change(self, path: Path, change: Callable[[list[str]], list[str]]) -> None:
        _write(path, "\n".join(change(path.read_text(encoding="utf-8").split("\n"))))

    def _any_page(self) -> Path:
        return self._random.choice(self._pages() or [self._folder / "course.yaml"])

    def _word(self) -> str:
        path, word = self._any_page(), self._random.choice(_WORDS)
        at = self._random.random()

        def change(rows: list[str]) -> list[str]:
            texts = [n for n, row in enumerate(rows) if row.endswith(".") and " " in row] or [0]
            row = texts[int(at * len(texts))]
            words = rows[row].split(" ")
            words.insert(len(words) // 2, word)
            return [*rows[:row], " ".join(words), *rows[row + 1 :]]

        self._change(path, change)
        return f"the word {word} into {path.name}"

    def _move(self) -> str:
        path = self._any_page()
        text = path.read_text(encoding="utf-8")
        places = list(re.finditer(r"(?<=[0-9.] )[KQRBNO]?[a-h1-8xO-]{2,5}(?= )", text))
        if not places:
            return "nothing"
        place, move = self._random.choice(places), self._random.choice(_MOVES)
        _write(path, text[: place.start()] + move + text[place.end() :])
        return f"{place[0]} becomes {move} in {path.name}"

    def _glyph(self) -> str:
        path, glyph = self._any_page(), self._random.choice(["!", "?", "!!", "??"])
        text = path.read_text(encoding="utf-8")
        _write(path, re.sub(r"(?<=2\. )(N[cf]3)", rf"\g<1>{glyph}", text, count=1))
        return f"{glyph} in {path.name}"

    def _tag(self) -> str:
        """Say another thing of a move that stands in other lessons too."""
        path = self._folder / "lessons" / "04-on.md"
        said = self._random.choice(
            ["", "2.Nf3 breaks out-first\n", '2.Nf3 breaks out-first anyway "so it is"\n']
        )
        _write(path, FILES["lessons/04-on.md"].replace("2.Nf3 obeys out-first\n", said))
        return f"{said!r} of a knight"

    def _order(self) -> str:
        """Reach a position by other moves: the lines that start there have not been written to."""
        path = self._folder / "lessons" / "02-pins.md"
        order = self._random.choice(["1. Nf3 e5 2. e4 Nc6", "1. e4 Nc6 2. Nf3 e5"])
        _write(path, FILES["lessons/02-pins.md"].replace("1. e4 e5 2. Nf3 Nc6", order))
        return f"{order} in the other line"

    def _line_out(self) -> str:
        path, at = self._any_page(), self._random.random()
        self._change(
            path, lambda rows: [*rows[: int(at * len(rows))], *rows[int(at * len(rows)) + 1 :]]
        )
        return f"a line out of {path.name}"

    def _line_twice(self) -> str:
        path, at = self._any_page(), self._random.random()
        self._change(
            path, lambda rows: [*rows[: int(at * len(rows)) + 1], *rows[int(at * len(rows)) :]]
        )
        return f"a line twice in {path.name}"

    def _letter_out(self) -> str:
        path = self._any_page()
        text = path.read_text(encoding="utf-8")
        at = self._random.randrange(max(len(text), 1))
        _write(path, text[:at] + text[at + 1 :])
        return f"letter {at} out of {path.name}"

    def _head(self) -> str:
        path, row = self._any_page(), self._random.choice(_HEADS)
        key = row.partition(":")[0]
        self._change(
            path, lambda rows: [rows[0], row, *(r for r in rows[1:] if not r.startswith(f"{key}:"))]
        )
        return f"{row} in {path.name}"

    def _rename(self) -> str:
        path = self._any_page()
        name = self._random.choice(["00-first.md", "03-on.md", "09-last.md", "Bad name.md"])
        path.rename(path.with_name(name))
        return f"{path.name} becomes {name}"

    def _delete(self) -> str:
        path = self._any_page()
        path.unlink()
        return f"{path.name} goes"

    def _course(self) -> str:
        path = self._folder / "course.yaml"
        old, new = self._random.choice(
            [
                ("title: Harbour lessons", "title: Lessons of the tide\ntheme: slate"),
                ("title: Harbour lessons", "title: Harbour lessons\ntheme: slate"),
                ("language: en", "language: de"),
                ("[Slipway, Harbour]", "[Slipway, Harbour, Sea]"),
                ("[forks, pins]", "[forks]"),
                ("[forks, pins]", "[pins, forks]"),
                ("id: harbour", "id: tide\nclub: Tidemark"),
                ("id: harbour", "id: harbour\nletters: german"),
            ]
        )
        text = path.read_text(encoding="utf-8") if path.exists() else FILES["course.yaml"]
        _write(path, text.replace(old, new))
        return f"{new!r} in course.yaml"

    def _principle(self) -> str:
        path = self._folder / "principles" / "out-first.md"
        old, new = self._random.choice(
            [
                ("title: Men out", "title: All men out"),
                ("kept_by: [develops]", "kept_by: [develops, castles]"),
                ("kept_by: [develops]", "broken_by: [develops]"),
                ("kept_by: [develops]", "kept_by: [no-such-fact]"),
                ("with each move", "with every move"),
            ]
        )
        _write(path, FILES["principles/out-first.md"].replace(old, new))
        return f"{new!r} in out-first.md"

    def _image(self) -> str:
        path = self._folder / "images" / "board.png"
        side = self._random.choice([0, 1, 2, 3])
        path.unlink(missing_ok=True)
        if side:
            path.write_bytes(png(side) if side < 3 else b"no picture")
        return f"a picture of {side}"

    def _lock(self) -> str:
        path = self._folder / "positions.lock"
        content = self._random.choice(
            [
                "",
                "# plybook positions 1\n",
                f"# plybook positions 1\npins/other {'0' * 32} e4\n",
                "?",
            ]
        )
        if content:
            _write(path, content)
        else:
            path.unlink(missing_ok=True)
        return f"the lock {content!r}"

    def _restore(self) -> str:
        """Bring one file back, or now and then the whole course."""
        if self._random.random() < 0.35:
            for name in ("lessons", "principles", "images"):
                shutil.rmtree(self._folder / name)
            (self._folder / "positions.lock").unlink(missing_ok=True)
            write_course(self._folder)
            return "everything restored"
        name = self._random.choice(sorted(FILES))
        _write(self._folder / name, FILES[name])
        return f"{name} restored"
