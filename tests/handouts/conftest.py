"""The courses that are handed out, checked and made into pages once."""

from __future__ import annotations

import re
import shutil
import struct
import zlib
from pathlib import Path
from typing import Final

import pytest

from browser.conftest import browser  # noqa: F401 - a fixture
from browser.tools import ROOT
from browser.trial_course import write_trial_course
from plybook.desk.work import CHECK, Work, draw_pages, run, validate_pages

#: A check that takes a search, and one that takes none.
_SEARCHED: Final = re.compile(r"^check: (?:only|mate|wins).*$", re.MULTILINE)
_SAID: Final = "check: none because it is the coach's word here"
#: What the demo course has none of: a picture, a table, another language, text that looks like
#: markup.
_HARD: Final = """---
title: "Hard & <b>cases</b>"
language: de
letters: german
changed: 2031-02-03
---

![A "board" & a table](../images/board.png)

| Man | Worth |
|:----|------:|
| Queen | 9 |

A note.[^one] A break\\
of the line. It starts with 1.e4.

[^one]: See [the queen](05-queen-waits.md#the-rule) and [her](queen-waits/errand@6...Qc6).

```moves cases
title: 'The "cases" & <more>'

1. e4 {Look: <script>alert(1)</script> & "so".} 1... d5 (1... Nf6 2. e5) 2. exd5
```

```exercise one-try
board: cases@1...d5
task: Nimm den Bauern & <b>gewinne</b>.
check: none because there are many ways
answer: 2. exd5
wrong: 2. e5 | Nein: <i>zu langsam</i>.
hint: Ein Bauer & noch einer.
```

```coach
SECRET-OF-THE-COACH
```
"""


def picture() -> bytes:
    """Return a PNG of one white pixel (PNG specification, second edition, section 11)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    rows = zlib.compress(b"\x00\xff")
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.fixture(scope="session")
def course_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo course with one lesson more, of hard cases."""
    folder = Path(
        shutil.copytree(ROOT / "curriculum", tmp_path_factory.mktemp("handouts") / "course")
    )
    (folder / "positions.lock").unlink()
    for lesson in (folder / "lessons").iterdir():  # that the keys are right is tested elsewhere
        text = lesson.read_text(encoding="utf-8")
        lesson.write_text(_SEARCHED.sub(_SAID, text), encoding="utf-8")
    (folder / "images").mkdir(exist_ok=True)
    (folder / "images" / "board.png").write_bytes(picture())
    (folder / "lessons" / "90-hard.md").write_text(_HARD, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def trial_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The trial course of the page's tests: special moves, sidelines in sidelines."""
    return write_trial_course(tmp_path_factory.mktemp("handouts-trial"))


def made(folder: Path) -> Work:
    """Return a course that was checked and made into pages."""
    work = validate_pages(draw_pages(run(CHECK, Work(folder=folder))))
    assert work.report.errors == 0, work.report.sorted()
    return work


@pytest.fixture(scope="session")
def work(course_folder: Path) -> Work:
    return made(course_folder)


@pytest.fixture(scope="session")
def trial_work(trial_folder: Path) -> Work:
    return made(trial_folder)
