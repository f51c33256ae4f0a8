"""A small course on disk, and what `plybook check` finds in it."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from plybook.desk.work import CHECK, Stage, Work, draw_pages, look_for_leaks, run
from plybook.diagnostics import Diagnostic

__all__ = [
    "BASE",
    "COURSE",
    "HEAD",
    "LESSON",
    "PICTURE",
    "PRINCIPLE",
    "Content",
    "body",
    "check",
    "look",
    "marked",
    "moves",
    "place",
    "write",
]

Content = str | bytes

COURSE: Final = "course.yaml"
LESSON: Final = "lessons/01-example.md"
PRINCIPLE: Final = "principles/centre.md"
PICTURE: Final = "images/board.png"

HEAD: Final = "---\ntitle: Example\n---\n\n"


def _png() -> bytes:
    """Return a picture of one black pixel (PNG specification, sections 5 and 11)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        sum_ = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", sum_)

    header = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    parts = (
        chunk(b"IHDR", header),
        chunk(b"IDAT", zlib.compress(b"\x00\x00")),
        chunk(b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


#: The least course that has one of everything and no fault.
BASE: Final[Mapping[str, Content]] = {
    COURSE: "title: Example course\nid: example-course\n",
    LESSON: f"{HEAD}A first lesson.\n",
    PRINCIPLE: "---\ntitle: Share the centre\nshort: Put a pawn on d4 or e4.\n---\n\nEarly.\n",
    PICTURE: _png(),
}


def write(folder: Path, files: Mapping[str, Content], *, without: tuple[str, ...] = ()) -> Path:
    """Write the base course with `files` over it and return the folder.

    `without` names files of the base course that are left out.
    """
    for name, content in {**BASE, **files}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if name not in without:
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def check(folder: Path) -> tuple[Diagnostic, ...]:
    """Return what `plybook check` reports of a course folder, in reading order."""
    return run(CHECK, Work(folder=folder)).report.sorted()


def look(folder: Path) -> tuple[Diagnostic, ...]:
    """Return what `plybook build` reports of a course folder before it publishes."""
    stages = (*CHECK, Stage(draw_pages, needs_clean=True), Stage(look_for_leaks, needs_clean=True))
    return run(stages, Work(folder=folder)).report.sorted()


def place(found: Diagnostic) -> str:
    """Return where a diagnostic lies, as the pages of the codes write it.

    `file:line:column-endcolumn`, or `file:line:column-endline:endcolumn` over several lines.
    """
    span = found.span
    end = (
        f"{span.end_column}" if span.end_line == span.line else f"{span.end_line}:{span.end_column}"
    )
    return f"{span.file}:{span.line}:{span.column}-{end}"


def body(text: str) -> dict[str, Content]:
    """Return the example lesson with this Markdown below its head, which takes four lines."""
    return {LESSON: HEAD + text}


def moves(movetext: str) -> dict[str, Content]:
    """Return the example lesson with this movetext in a block; it begins on line 6, column 1."""
    return body(f"```moves open\n{movetext}\n```\n")


def marked(files: Mapping[str, Content]) -> tuple[dict[str, Content], str]:
    """Return the files without the marks « and », and the place that stood between them."""
    found = []
    plain: dict[str, Content] = {}
    for name, content in files.items():
        plain[name] = content
        if isinstance(content, str) and "«" in content:
            start, end = content.index("«"), content.index("»") - 1
            text = content.replace("«", "").replace("»", "")
            line, column = text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
            last, stop = text.count("\n", 0, end) + 1, end - text.rfind("\n", 0, end)
            tail = f"{stop}" if last == line else f"{last}:{stop}"
            found.append(f"{name}:{line}:{column}-{tail}")
            plain[name] = text
    (where,) = found
    return plain, where
