"""Replacing a site file by file, where its folder cannot be swapped as a whole.

That is so when the folder is a mount point (a memory stick, a container's volume) or when nothing
may be made beside it. The new site is staged inside the folder; one rename of the stage is the
point of no return; from there on any later run can finish the work. Each page is old or new as a
whole; for a moment the site is mixed.
"""

from __future__ import annotations

import errno
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from plybook.site.publishing import disk
from plybook.site.publishing.manifest import MANIFEST, WORK_PREFIX, Manifest
from plybook.site.publishing.ownership import EMPTY, is_entry
from plybook.site.publishing.refusals import Foreign, PublishError

__all__ = ["INNER_LOCK", "INNER_NEW", "READY", "commit", "is_unfinished", "roll_forward"]

INNER_LOCK: Final = f"{WORK_PREFIX}lock"
INNER_NEW: Final = f"{WORK_PREFIX}new"
READY: Final = f"{WORK_PREFIX}ready"


def commit(out: Path) -> None:
    """Declare the stage in `out` complete: from here on it will be rolled forward."""
    disk.rename(out / INNER_NEW, out / READY)
    disk.flush(out, ())


def is_unfinished(out: Path) -> bool:
    """Return whether a committed stage waits in `out`."""
    return (out / READY).is_dir() and not (out / READY).is_symlink()


def roll_forward(out: Path) -> None:
    """Move the committed stage into place, then remove what the old site had and the new has not.

    May be stopped anywhere and called again. The old manifest stands until all else is done. Files
    edited meanwhile raise Foreign before anything is moved.
    """
    ready = out / READY
    staged = disk.tree(ready)
    if MANIFEST in staged.files:
        new = _manifest(ready)
        old = _manifest(out)
        _refuse_edits(out, old, new)
        stale = [path for path in old.entries if path not in new.entries]
        _remove(out, _in_the_way(stale, new), old, new)
        for folder in sorted(new.folders):
            if not (out / folder).is_dir():
                disk.make_folder(out / folder)
        for path in sorted(new.entries, key=_turn):
            if path in staged.files:
                disk.rename(ready / path, out / path)
        _remove(out, stale, old, new)
        disk.flush(out, [*new.entries, *new.folders])
        disk.rename(ready / MANIFEST, out / MANIFEST)
        disk.flush(out, [MANIFEST])
    _remove_stage(ready)


def _manifest(folder: Path) -> Manifest:
    if not (folder / MANIFEST).exists():
        return EMPTY
    try:
        return Manifest.decode(disk.read(folder / MANIFEST))
    except ValueError:
        raise Foreign(extra=(), edited=(MANIFEST,)) from None


def _turn(path: str) -> tuple[int, str]:
    """Return the place in the order of moving: pictures and the like, pages, the front page."""
    return (2 if path == "index.html" else 1 if path.endswith(".html") else 0, path)


def _refuse_edits(out: Path, old: Manifest, new: Manifest) -> None:
    """Raise Foreign when a move would lose something that neither site holds."""
    found = disk.tree(out)
    in_the_way = [
        path
        for path in (*found.files, *found.others)
        if path in new.folders and path not in old.entries
    ]
    in_the_way.extend(path for path in found.others if path in new.entries)
    edited = [
        path
        for path, entry in new.entries.items()
        if path in found.files
        and not is_entry(out / path, entry)
        and not (path in old.entries and is_entry(out / path, old.entries[path]))
    ]
    if in_the_way or edited:
        raise Foreign(extra=tuple(sorted(in_the_way)), edited=tuple(edited))


def _in_the_way(stale: Iterable[str], new: Manifest) -> list[str]:
    """Return the old files that must go before the new ones can come.

    They stand where a folder shall be or in a folder where a file shall be, or a system that
    ignores case takes them for one of the new files.
    """
    folded = {path.casefold() for path in new.entries}
    found = []
    for path in stale:
        parts = path.split("/")
        parents = ["/".join(parts[:depth]) for depth in range(1, len(parts))]
        is_blocked = any(parent in new.entries for parent in parents)
        if is_blocked or path in new.folders or path.casefold() in folded:
            found.append(path)
    return found


def _remove(out: Path, paths: Iterable[str], old: Manifest, new: Manifest) -> None:
    """Remove old files that nobody edited, and the folders that only they stood in."""
    found = disk.tree(out).files
    for path in paths:
        if path in found and is_entry(out / path, old.entries[path]):
            disk.remove_file(out / path)
    for folder in sorted(old.folders - new.folders, reverse=True):
        with _unless_full():
            disk.remove_folder(out / folder)


def _remove_stage(ready: Path) -> None:
    left = disk.tree(ready)
    if left.files or left.others:
        names = ", ".join((*left.files, *left.others))
        raise PublishError(
            f"`{READY}` in the site's folder holds files of somebody else: {names}",
            "move them away, then build again",
        )
    for folder in reversed(left.folders):
        disk.remove_folder(ready / folder)
    disk.remove_folder(ready)


@contextmanager
def _unless_full() -> Iterator[None]:
    """Let a folder be that is gone already, or that holds something of somebody else."""
    try:
        yield
    except OSError as error:
        if error.errno not in {errno.ENOENT, errno.ENOTEMPTY, errno.EEXIST, errno.ENOTDIR}:
            raise
