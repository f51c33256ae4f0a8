"""A PGN file of any size in pieces that hold whole games: constant memory, any line ends."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple

__all__ = ["BadFileError", "Piece", "encoding_of", "pieces_of"]

_BLOCK: Final = 1 << 20
_PIECE: Final = 1 << 18  # about how many bytes a piece has
_MOST: Final = 1 << 22  # a piece this large without an end holds a game that is refused anyway
_BOM: Final = codecs.BOM_UTF8
#: Where a piece may end: before the tag Event at the begin of a line, else before an empty line
#: and a tag.
_BOUNDARIES: Final = (
    re.compile(rb'(?<=[\r\n])[ \t]*\[[ \t]*Event[ \t]*"'),
    re.compile(rb"(?<=\n\n)\[|(?<=\r\n\r\n)\[|(?<=\r\r)\["),
)
_OTHER: Final = ((codecs.BOM_UTF16_LE, "UTF-16"), (codecs.BOM_UTF16_BE, "UTF-16"))


class BadFileError(Exception):
    """Why a file as a whole cannot be read."""


class Piece(NamedTuple):
    """Some whole games of a file: bytes, the first line, and where in the file they end."""

    content: bytes
    line: int
    end: int

    def text(self, encoding: str) -> tuple[str, int]:
        """Return the text with LF line ends, and how many single CR were among them."""
        text = self.content.decode(encoding)
        if "\r" not in text:
            return text, 0
        text = text.replace("\r\n", "\n")
        return text.replace("\r", "\n"), text.count("\r")


def encoding_of(stream: BinaryIO) -> str:
    """Return `utf-8` when all of a file is valid in it, else `latin-1`, as the standard has it.

    Section 4.1 of the PGN standard names ISO 8859/1; most programs of today write UTF-8. Raises
    BadFileError for UTF-16, which is neither.
    """
    decoder = codecs.getincrementaldecoder("utf-8")()
    is_first = True
    while block := stream.read(_BLOCK):
        if is_first and any(block.startswith(mark) for mark, _ in _OTHER):
            raise BadFileError("it is written in UTF-16; save it as UTF-8")
        is_first = False
        try:
            decoder.decode(block)
        except UnicodeDecodeError:
            return "latin-1"
    try:
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return "latin-1"
    return "utf-8"


def pieces_of(path: Path) -> Iterator[Piece]:
    """Yield the pieces of a file in order. Raises OSError."""
    line, end, buffer = 1, 0, b""
    with path.open("rb") as stream:
        is_first = True
        while True:
            block = stream.read(_PIECE)
            end += len(block)
            buffer += block
            if is_first:
                buffer = buffer.removeprefix(_BOM)
                is_first = False
            at = len(buffer) if not block else _boundary(buffer)
            if at:
                content, buffer = buffer[:at], buffer[at:]
                yield Piece(content, line, end - len(buffer))
                line += _lines(content)
            if not block:
                return


def _boundary(buffer: bytes) -> int:
    """Return where the last place lies at which a buffer may be cut, 0 for none."""
    for number, pattern in enumerate(_BOUNDARIES):
        last = 0
        for found in pattern.finditer(buffer, max(len(buffer) - (_PIECE << number), 0)):
            last = found.start()
        if last:
            return last
        if len(buffer) < _MOST >> 1:
            return 0
    return _line_start(buffer) if len(buffer) >= _MOST else 0


def _line_start(buffer: bytes) -> int:
    """Return where the last line begins: of a game that is too large anyway."""
    return max(buffer.rfind(b"\n"), buffer.rfind(b"\r")) + 1 or len(buffer)


def _lines(content: bytes) -> int:
    """Return how many lines end in a content, whatever ends them."""
    return content.count(b"\n") + content.count(b"\r") - content.count(b"\r\n")
