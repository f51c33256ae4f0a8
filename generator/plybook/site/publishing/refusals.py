"""Why a site was not published: one family of exceptions, each with a message and what to do."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from plybook.diagnostics import shown

__all__ = ["AnotherCourse", "BadNames", "BadTarget", "Foreign", "Held", "PublishError", "explain"]


class PublishError(Exception):
    """The site could not be published; what stood there before still stands.

    `message` names the fault, `hint` what the coach can do about it.
    """

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class BadTarget(PublishError):  # noqa: N818 - the folder, as the desk reports it
    """The folder named can hold no site, whatever is built."""


class BadNames(PublishError):  # noqa: N818 - the files, as the desk reports them
    """The site would hold a path that not every host and system can hold."""


class AnotherCourse(PublishError):  # noqa: N818 - whose site it is, as the desk reports it
    """The folder holds the site of another course."""

    def __init__(self, there: str) -> None:
        super().__init__(
            f"the folder holds the site of another course, `{shown(there)}`",
            "publish to another folder; if it is this course under its former name, keep "
            f"`id: {shown(there)}` in course.yaml, since pupils' progress is kept under it",
        )


class Held(PublishError):  # noqa: N818 - the state of the folder, as the desk reports it
    """Another build is publishing to the same folder. `pid` is None when it did not say."""

    def __init__(self, pid: int | None) -> None:
        holder = "another build" if pid is None else f"process {pid}"
        super().__init__(
            f"{holder} is publishing to this folder", "wait until it has ended, then build again"
        )
        self.pid = pid


class Foreign(PublishError):  # noqa: N818 - what the files are, as the desk reports it
    """The folder holds files that are not ours to replace, each named from the folder's top.

    `extra` were never published (a folder's name ends in a slash); `edited` were, and have been
    changed since.
    """

    def __init__(self, *, extra: tuple[str, ...], edited: tuple[str, ...]) -> None:
        counts = [
            f"{len(names)} {words}"
            for names, words in (
                (extra, "not written by this program"),
                (edited, "edited since the last build"),
            )
            if names
        ]
        super().__init__(
            f"the folder holds files of somebody else: {', '.join(counts)}",
            "move them away or publish to another folder",
        )
        self.extra = extra
        self.edited = edited


_AS_BEFORE = "the site is as it was; build again when this is put right"
_UNFINISHED = "some pages are new already; build again to finish, then all are"
_DENIED = "publish to a folder you may write to; close programs that have its files open"
_REASONS = {
    errno.ENOSPC: ("the disk is full", "make room and build again; the site is as it was"),
    errno.EDQUOT: ("your share of the disk is full", "make room and build again"),
    errno.EACCES: ("writing is not allowed there", _DENIED),
    errno.EPERM: ("writing is not allowed there", _DENIED),
    errno.EROFS: ("the disk is read-only", "publish to a disk you may write to"),
    errno.ENAMETOOLONG: ("a file name is too long", "publish to a folder with a shorter path"),
}


def explain(error: OSError, out: Path, *, is_unfinished: bool) -> PublishError:
    """Return what the system refused, in words.

    `is_unfinished` says that some files at `out` have been replaced and others not yet.
    """
    words = os.strerror(error.errno).lower() if error.errno else str(error)
    reason, hint = _REASONS.get(error.errno or 0, (words, _AS_BEFORE))
    return PublishError(
        f"cannot publish to `{shown(str(out), limit=200)}`: {reason}",
        _UNFINISHED if is_unfinished else hint,
    )
