"""Files read and written without following a link, waiting for a pipe or harming a stranger's."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import Final

__all__ = ["read_regular", "write_whole"]

_NO_FOLLOW = getattr(os, "O_NOFOLLOW", 0)
_NO_WAIT = getattr(os, "O_NONBLOCK", 0)  # a pipe in place of a file must not stop the run
_BINARY = getattr(os, "O_BINARY", 0)
_READ_BY_ALL: Final = 0o666
_READ_BY_ONE: Final = 0o600  # until the file has the permissions of the one it replaces
_TRIES: Final = 100  # names for the file that is written first


def read_regular(path: Path, *, most: int = -1) -> bytes:
    """Return the content of an ordinary file, of which no more than `most` bytes (-1: all).

    Raises OSError; for a link at the end of the path and for anything that is no file as well.
    """
    descriptor = os.open(path, os.O_RDONLY | _NO_FOLLOW | _NO_WAIT | _BINARY)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, "it is no ordinary file", str(path))
    except BaseException:
        os.close(descriptor)
        raise
    with os.fdopen(descriptor, "rb") as file:
        return file.read(most)


def write_whole(path: Path, content: bytes, *, mode: int = _READ_BY_ALL) -> None:
    """Put the content in place of the file at `path`, whole or not at all.

    What stands there may be an ordinary file or nothing; it is replaced in one step by a file that
    was written beside it under a name that was free. Who may read it stays as it was; a new file
    gets the permissions `mode`, less those that the user's mask takes away. Raises OSError.
    """
    before: int | None = None
    with suppress(FileNotFoundError):
        found = os.lstat(path).st_mode
        if not stat.S_ISREG(found):
            raise OSError(errno.EINVAL, "what stands there is no ordinary file", str(path))
        before = stat.S_IMODE(found)
    partial, descriptor = _made_beside(path, mode if before is None else _READ_BY_ONE)
    try:
        with os.fdopen(descriptor, "wb") as file:
            if before is not None:
                _set_mode(descriptor, before)
            file.write(content)
            file.flush()
            os.fsync(descriptor)  # or a power cut might leave the name with nothing behind it
        os.replace(partial, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(partial)
        raise


def _set_mode(descriptor: int, mode: int) -> None:
    """Give an open file its permissions, where the system has such."""
    if hasattr(os, "fchmod") and stat.S_IMODE(os.fstat(descriptor).st_mode) != mode:
        os.fchmod(descriptor, mode)


def _made_beside(path: Path, mode: int) -> tuple[Path, int]:
    """Return an empty file that did not exist before, opened for writing."""
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_FOLLOW | _BINARY
    for number in range(_TRIES):
        partial = path.with_name(f".{path.name}.{number}.new")
        with suppress(FileExistsError):
            return partial, os.open(partial, flags, mode)
    raise OSError(errno.EEXIST, f"files like {partial.name} stand in the way", str(path))
