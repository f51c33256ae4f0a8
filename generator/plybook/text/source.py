"""Reading files safely, and the way back from an offset to file:line:column."""

from __future__ import annotations

import os
import re
import stat
import time
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from plybook.diagnostics import Report, Span

__all__ = ["Excerpt", "excerpt_of_file", "read_text", "signature", "unseen_character"]

#: The last two of each plane, which are never characters (Unicode standard, section 23.7).
_LAST_OF_PLANES: Final = "".join(
    chr(plane << 16 | 0xFFFE + at) for plane in range(17) for at in (0, 1)
)
#: Control characters other than tab and line feed, the marks that reorder text unseen, and what
#: is no character at all.
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff"
    f"\ufdd0-\ufdef{_LAST_OF_PLANES}]"
)
#: The longest step of time of a file system in use, FAT's two seconds, and some; nanoseconds.
_STEP_OF_TIME: Final = 2_500_000_000
_LINE_LIMIT: Final = 64 * 1024


@dataclass(frozen=True)
class Excerpt:
    """Text cut out of a file, whose every character can be found again in that file.

    `origins` holds, for each line of `text`, the 1-based line and column where it begins in the
    file: a block inside a list or a quotation has lost its prefix, line by line.
    """

    file: str
    text: str
    origins: tuple[tuple[int, int], ...]

    @cached_property
    def _starts(self) -> list[int]:
        starts = [0]
        at = self.text.find("\n")
        while at >= 0:
            starts.append(at + 1)
            at = self.text.find("\n", at + 1)
        return starts

    def place(self, offset: int) -> tuple[int, int]:
        """Return the file's line and column (1-based) of a 0-based offset into `text`."""
        row = bisect_right(self._starts, offset) - 1
        line, column = self.origins[min(row, len(self.origins) - 1)]
        return line, column + offset - self._starts[row]

    def span(self, start: int, end: int) -> Span:
        """Return the span of `text[start:end]`."""
        line, column = self.place(start)
        end_line, end_column = self.place(end)
        return Span(self.file, line, column, end_line, end_column)

    def part(self, start: int, end: int) -> Excerpt:
        """Return the excerpt of `text[start:end]`."""
        text = self.text[start:end]
        first = bisect_right(self._starts, start) - 1
        rows = text.count("\n") + 1
        origins = (self.place(start), *self.origins[first + 1 : first + rows])
        return Excerpt(self.file, text, origins)


def excerpt_of_file(file: str, text: str, *, first_line: int = 1) -> Excerpt:
    """Return a whole text as an excerpt that begins at `first_line` of its file."""
    rows = text.count("\n") + 1
    return Excerpt(file, text, tuple((first_line + row, 1) for row in range(rows)))


def unseen_character(text: str) -> re.Match[str] | None:
    """Return where the first character stands that no text of a course may hold."""
    return _UNSEEN.search(text)


def signature(path: Path | str) -> object:
    """Return what is equal for a file as long as nothing is written to it.

    A file that has just been written is equal to nothing: file systems count time in steps, so a
    second change may leave the same signs. This is the only use of the clock, and it decides no
    more than whether a file is read once again.
    """
    try:
        status = os.lstat(path)
    except OSError:
        return object()
    changed = max(status.st_mtime_ns, status.st_ctime_ns)
    if time.time_ns() - changed < _STEP_OF_TIME or not stat.S_ISREG(status.st_mode):
        return object()
    return status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino, status.st_dev


def read_text(path: Path, *, file: str, limit: int, report: Report) -> str | None:
    """Return a file's text with LF line ends and no byte order mark, or None after a report.

    `file` is how diagnostics name it; `limit` is in bytes. A link, a device or a pipe is refused.
    """
    data = _read_bytes(path, file=file, limit=limit, report=report)
    if data is None:
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _report_encoding(data, error, file=file, report=report)
        return None
    text = text.replace("\r\n", "\n")
    if not _has_fair_characters(text, file=file, report=report):
        return None
    return text


def _read_bytes(path: Path, *, file: str, limit: int, report: Report) -> bytes | None:
    span = Span.of_file(file)
    try:
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | _NO_WAIT)
    except OSError as error:
        reason = "it is a link" if os.path.islink(path) else (error.strerror or "no reason given")
        report.add(
            "unreadable-file",
            span,
            f"cannot read `{file}`: {reason}",
            help="put the file itself here, readable for you",
        )
        return None
    status = os.fstat(descriptor)
    if not stat.S_ISREG(status.st_mode):  # a folder cannot even be made a stream
        os.close(descriptor)
        report.add(
            "unreadable-file",
            span,
            f"cannot read `{file}`: it is no ordinary file",
            help="put the file itself here, readable for you",
        )
        return None
    with os.fdopen(descriptor, "rb") as stream:
        if status.st_size > limit:
            report.add(
                "file-too-large",
                span,
                f"`{file}` has {status.st_size // 1024} KiB; the limit is {limit // 1024} KiB",
                help="divide it into several files",
            )
            return None
        return stream.read(limit + 1)


_NO_WAIT = getattr(os, "O_NONBLOCK", 0)  # a pipe must not hang the run


def _report_encoding(data: bytes, error: UnicodeDecodeError, *, file: str, report: Report) -> None:
    before = data[: error.start]
    line = before.count(b"\n") + 1
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        note = "it begins like UTF-16"
    else:
        byte = data[error.start : error.start + 1]
        note = f"byte 0x{byte.hex().upper()} would be `{byte.decode('latin-1')}` in Latin-1"
    report.add(
        "not-utf8",
        Span(file, line, column, line, column + 1),
        f"`{file}` is not UTF-8",
        notes=(note,),
        help="save the file as UTF-8 in your editor",
    )


def _has_fair_characters(text: str, *, file: str, report: Report) -> bool:
    """Report the first unseen character and over-long line; return whether there was none."""
    found = unseen_character(text)
    if found:
        start = text.rfind("\n", 0, found.start()) + 1
        line = text.count("\n", 0, found.start()) + 1
        column = found.start() - start + 1
        report.add(
            "control-character",
            Span(file, line, column, line, column + 1),
            f"a character that cannot be seen: U+{ord(found[0]):04X}",
            help="save the file with ordinary line ends"
            if found[0] == "\r"
            else "delete it; it often comes along when text is pasted",
        )
        return False
    if len(text) > _LINE_LIMIT:
        for number, line_text in enumerate(text.split("\n"), start=1):
            if len(line_text) > _LINE_LIMIT:
                report.add(
                    "line-too-long",
                    Span(file, number, 1, number, len(line_text) + 1),
                    f"line {number} has {len(line_text)} characters; the limit is {_LINE_LIMIT}",
                    help="break the line",
                )
                return False
    return True
