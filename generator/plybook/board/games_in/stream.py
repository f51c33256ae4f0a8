"""A PGN file of any size in pieces of whole games: bounded memory, any line ends."""

from __future__ import annotations

import codecs
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple

from plybook.board.games_in.model import RawGame
from plybook.board.games_in.split import Splitter

__all__ = ["BadFileError", "Piece", "encoding_of", "pieces_of"]

_BLOCK: Final = 1 << 20
_PIECE: Final = 1 << 18  # how many bytes are read at a time
_OTHER: Final = ((codecs.BOM_UTF16_LE, "UTF-16"), (codecs.BOM_UTF16_BE, "UTF-16"))


class BadFileError(Exception):
    """Why a file as a whole cannot be read."""


class Piece(NamedTuple):
    """Some whole games of a file, and how many bytes of it are read when they are.

    `single` counts the CR that end a line without LF since the piece before.
    """

    games: tuple[RawGame, ...]
    single: int
    end: int


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


def pieces_of(path: Path, *, encoding: str) -> Iterator[Piece]:
    """Yield the games of a file in order, as `split_games` cuts them. Raises OSError."""
    splitter = Splitter()
    decoder = codecs.getincrementaldecoder(encoding)()
    end = single = 0
    held = b""  # a CR at the end of a block: an LF may follow
    with path.open("rb") as stream:
        while True:
            block = stream.read(_PIECE)
            content = held + (block if end else block.removeprefix(codecs.BOM_UTF8))
            end += len(block)
            held = b"\r" if block and content.endswith(b"\r") else b""
            content = content[: len(content) - len(held)]
            if b"\r" in content:
                content = content.replace(b"\r\n", b"\n")
                single += content.count(b"\r")
                content = content.replace(b"\r", b"\n")
            games = splitter.take(decoder.decode(content, final=not block), is_last=not block)
            if games:
                yield Piece(tuple(games), single, end)
                single = 0
            if not block:
                return
