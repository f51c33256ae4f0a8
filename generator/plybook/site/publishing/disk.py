"""Every touch of the disk by publication, one step each, so that a test can fail at any of them.

No step follows a link at the end of its path.
"""

from __future__ import annotations

import ctypes
import errno
import os
import stat
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from plybook.files import read_regular

__all__ = [
    "Tree",
    "exchange",
    "flush",
    "make_folder",
    "read",
    "remove_file",
    "remove_folder",
    "rename",
    "tree",
    "write_new",
]

_NO_FOLLOW = getattr(os, "O_NOFOLLOW", 0)
_BINARY = getattr(os, "O_BINARY", 0)
_AT_FDCWD = -100  # fcntl.h of Linux: paths as seen from the working folder
_RENAME_EXCHANGE = 2  # linux/fs.h
_RENAME_SWAP = 2  # sys/stdio.h of macOS
_TRIES = 10
_PAUSE = 0.05  # seconds


@dataclass(frozen=True, slots=True)
class Tree:
    """What a folder holds, by path from its top with forward slashes, sorted.

    `others` are links, pipes, devices and the like. The numbers of a file, its size first, change
    when it is written to or replaced.
    """

    files: dict[str, tuple[int, ...]]
    folders: tuple[str, ...]
    others: tuple[str, ...]


def tree(top: Path) -> Tree:
    """Return everything below `top`, following no link."""
    files: dict[str, tuple[int, ...]] = {}
    folders: list[str] = []
    others: list[str] = []
    waiting = [""]
    while waiting:
        prefix = waiting.pop()
        with os.scandir(top / prefix) as entries:
            for entry in entries:
                path = prefix + entry.name
                found = entry.stat(follow_symlinks=False)
                if stat.S_ISDIR(found.st_mode):
                    folders.append(path)
                    waiting.append(path + "/")
                elif stat.S_ISREG(found.st_mode):
                    files[path] = (found.st_size, found.st_mtime_ns, found.st_ino)
                else:
                    others.append(path)
    return Tree(dict(sorted(files.items())), tuple(sorted(folders)), tuple(sorted(others)))


def read(path: Path) -> bytes:
    """Return the content of a regular file; a link or anything else raises OSError."""
    return read_regular(path)


def make_folder(path: Path) -> None:
    """Make one folder that everybody may read, whatever the umask."""
    os.mkdir(path)
    with _where_there_are_rights():
        os.chmod(path, 0o755)


def write_new(path: Path, content: bytes) -> None:
    """Make a file that everybody may read, whatever the umask; it must not exist yet."""
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_FOLLOW | _BINARY
    descriptor = os.open(path, flags, 0o644)
    with os.fdopen(descriptor, "wb", buffering=0) as file:
        rest = memoryview(content)
        while rest:
            rest = rest[file.write(rest) :]
        if sys.platform != "win32":
            with _where_there_are_rights():
                os.fchmod(descriptor, 0o644)


def flush(top: Path, paths: Iterable[str]) -> None:
    """Bring `top` and the files and folders at `paths` to the disk.

    On Linux one call for the whole file system: for 1,000 files 15 ms where 1,000 calls took
    150 ms, and much more on disks that are slow to confirm.
    """
    if sys.platform == "linux":
        syncfs = getattr(ctypes.CDLL(None, use_errno=True), "syncfs", None)
        if syncfs is not None:
            _flush_all(top, syncfs)
            return
    for path in (*paths, ""):
        place = top / path
        if sys.platform == "win32":
            # There only a file opened for writing can be flushed, and no folder.
            if place.is_dir():
                continue
            descriptor = os.open(place, os.O_RDWR | _BINARY)
        else:
            descriptor = os.open(place, os.O_RDONLY | _NO_FOLLOW)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _flush_all(top: Path, syncfs: ctypes._NamedFuncPointer) -> None:
    descriptor = os.open(top, os.O_RDONLY | _NO_FOLLOW)
    try:
        if syncfs(descriptor) != 0:
            raise _last_error(top)
    finally:
        os.close(descriptor)


def rename(source: Path, target: Path) -> None:
    """Move a file or folder within one file system; a file at `target` is replaced."""
    # Windows refuses while a virus scanner or an indexer has a file open, mostly for a moment.
    for _ in range(_TRIES if sys.platform == "win32" else 0):
        try:
            os.replace(source, target)
            return
        except PermissionError:
            time.sleep(_PAUSE)
    os.replace(source, target)


def exchange(one: Path, other: Path) -> None:
    """Swap two folders in one step that no reader can see halfway.

    Raises OSError with ENOSYS where the system has no such call; some file systems refuse it with
    EINVAL or ENOTSUP.
    """
    first, second = os.fsencode(one), os.fsencode(other)
    if sys.platform == "linux":
        call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
        arguments = (_AT_FDCWD, first, _AT_FDCWD, second, ctypes.c_uint(_RENAME_EXCHANGE))
    elif sys.platform == "darwin":
        call = getattr(ctypes.CDLL(None, use_errno=True), "renamex_np", None)
        arguments = (first, second, ctypes.c_uint(_RENAME_SWAP))
    else:
        call = None
        arguments = ()
    if call is None:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS), str(other))
    if call(*arguments) != 0:
        raise _last_error(other)


def remove_file(path: Path) -> None:
    """Remove one file, or a link itself."""
    os.unlink(path)


def remove_folder(path: Path) -> None:
    """Remove one empty folder."""
    os.rmdir(path)


@contextmanager
def _where_there_are_rights() -> Iterator[None]:
    """Go on where the file system keeps no rights of its own: memory sticks refuse to set them."""
    try:
        yield
    except OSError as error:
        if error.errno not in {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS}:
            raise


def _last_error(path: Path) -> OSError:
    number = ctypes.get_errno()
    return OSError(number, os.strerror(number), str(path))
