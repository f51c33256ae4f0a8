"""A lock that the system itself lets go when its holder dies: no stale lock after a crash."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from plybook.diagnostics import shown
from plybook.site.publishing.refusals import Held, PublishError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

__all__ = ["hold"]

# On Windows a locked byte cannot be read, so the lock lies far behind the process id.
_LOCKED_BYTE = 1 << 20
_LONGEST = 32  # bytes of a process id with its line end, and some to spare
_LOOKS = 20  # the holder writes its id just after it took the lock
_PAUSE = 0.01  # seconds


@contextmanager
def hold(path: Path) -> Iterator[None]:
    """Hold the lock file `path` for the block and remove it afterwards.

    Raises Held at once when another process has it, PublishError when a file of somebody else has
    the lock's name (it is left as it is), and OSError when the file cannot be made.
    """
    descriptor = _take(path)
    try:
        yield
    finally:
        _release(descriptor, path)


def _take(path: Path) -> int:
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0)
    while True:
        descriptor = os.open(path, flags, 0o644)
        try:
            if not _has_locked(descriptor):
                raise Held(_holder(descriptor))
            _check_ours(descriptor, path)
            if _is_at(descriptor, path):
                os.lseek(descriptor, 0, os.SEEK_SET)
                os.ftruncate(descriptor, 0)
                os.write(descriptor, f"{os.getpid()}\n".encode())
                return descriptor
        except BaseException:
            os.close(descriptor)
            raise
        # The holder before us removed the file between our opening it and our locking it.
        os.close(descriptor)


def _check_ours(descriptor: int, path: Path) -> None:
    """Raise PublishError unless the file is empty or holds a process id and no more."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    content = os.read(descriptor, _LONGEST + 1)
    if content and not (len(content) <= _LONGEST and content.strip().isdigit()):
        raise PublishError(
            f"`{shown(path.name)}` beside the site is a file of somebody else",
            "move it away: the lock of a build needs this name",
        )


def _has_locked(descriptor: int) -> bool:
    """Return whether the lock was free and is now ours."""
    if sys.platform == "win32":
        os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
    else:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
    return True


def _is_at(descriptor: int, path: Path) -> bool:
    """Return whether `path` still leads to the opened file."""
    try:
        return os.path.samestat(os.fstat(descriptor), os.stat(path, follow_symlinks=False))
    except FileNotFoundError:
        return False


def _holder(descriptor: int) -> int | None:
    for _ in range(_LOOKS):
        os.lseek(descriptor, 0, os.SEEK_SET)
        written = os.read(descriptor, _LONGEST).strip()
        if written.isdigit():
            return int(written)
        time.sleep(_PAUSE)
    return None


def _release(descriptor: int, path: Path) -> None:
    # Removed while still locked, so that nobody who takes the lock next loses the file's name.
    # Windows does not remove an open file; there a second holder keeps it from being removed.
    if sys.platform == "win32":
        os.close(descriptor)
        with suppress(OSError):
            os.unlink(path)
        return
    with suppress(OSError):
        os.unlink(path)
    os.close(descriptor)
