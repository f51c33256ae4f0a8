"""Publishing a site into a folder, whole: a reader finds the old site or the new one.

The order of work: lock the place, clear what an earlier run left, look whether the folder is ours,
write the new site beside it, examine it there, swap the two, remove the old one. Whatever stops
this on the way, the folder holds one whole site, and the next run succeeds.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from plybook.site.names import BadNameError
from plybook.site.publishing import disk, in_place
from plybook.site.publishing.lock import hold
from plybook.site.publishing.manifest import MANIFEST, Manifest
from plybook.site.publishing.ownership import Standing, remove_own, survey
from plybook.site.publishing.refusals import (
    AnotherCourse,
    BadNames,
    Foreign,
    Held,
    PublishError,
    explain,
)
from plybook.site.publishing.stage import stage
from plybook.site.publishing.target import checked_target

__all__ = ["MANIFEST", "Foreign", "Held", "PublishError", "Published", "publish"]

Method = Literal["unchanged", "first", "exchange", "renames", "in place"]
Validate = Callable[[Path], None]

_DENIED: Final = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})
_NO_EXCHANGE: Final = frozenset({errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP})
_NO_RENAME: Final = frozenset({errno.EBUSY, errno.EXDEV})


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """What was done. `files` counts the site's files without the manifest.

    `warnings` are sentences on what could not be tidied up; the new site stands nevertheless.
    """

    out: Path
    files: int
    method: Method
    warnings: tuple[str, ...] = ()

    @property
    def is_unchanged(self) -> bool:
        """Whether the same site stood there already, and nothing was written."""
        return self.method == "unchanged"


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a publication works. Inside: nothing can be made beside the target."""

    out: Path
    is_inside: bool

    @property
    def new(self) -> Path:
        return self.out.parent / f".{self.out.name}.new"

    @property
    def old(self) -> Path:
        return self.out.parent / f".{self.out.name}.old"

    def survey(self) -> Standing | None:
        """Return what stands there apart from our own work; raises Foreign."""
        ignored = {in_place.INNER_NEW, *([in_place.INNER_LOCK] if self.is_inside else [])}
        return survey(self.out, ignored=frozenset(ignored))


def publish(
    files: Mapping[str, bytes],
    out: Path,
    *,
    course_folder: Path,
    course: str = "",
    validate: Validate | None = None,
) -> Published:
    """Put the site `files` (path to content) at `out` and return what was done.

    `validate` is called with the folder of the finished new site before anybody else sees it; what
    it raises ends the publication. Raises PublishError: Held when another build is at work, Foreign
    when the folder holds what is not ours, AnotherCourse when it is the site of a course with
    another id than `course`. The old site stands then.
    """
    try:
        manifest = Manifest.of(files, course=course)
    except BadNameError as error:
        raise BadNames(str(error), "rename the file that it comes from") from error
    try:
        target = checked_target(out, course_folder=course_folder)
        with _held(target) as place:
            return _publish(files, manifest, place, validate)
    except OSError as error:
        raise explain(error, out, is_unfinished=in_place.is_unfinished(out)) from error


@contextmanager
def _held(out: Path) -> Iterator[_Place]:
    """Hold the lock beside the target, or inside it where nothing may be made beside it."""
    with ExitStack() as stack:
        try:
            stack.enter_context(hold(out.parent / f".{out.name}.lock"))
            is_inside = False
        except OSError as error:
            if error.errno not in _DENIED or not out.is_dir():
                raise
            stack.enter_context(hold(out / in_place.INNER_LOCK))
            is_inside = True
        yield _Place(out, is_inside)


def _publish(
    files: Mapping[str, bytes], manifest: Manifest, place: _Place, validate: Validate | None
) -> Published:
    _recover(place)
    before = place.survey()
    there = before.manifest.course if before is not None else ""
    if there and manifest.course and there != manifest.course:
        raise AnotherCourse(there)
    if before is not None and before.is_complete and before.manifest == manifest:
        return Published(out=place.out, files=len(files), method="unchanged")
    try:
        method = _replace(files, manifest, place, validate)
        warnings = _tidy(place)
    except BaseException:
        # The first fault is the one to report; what cannot be cleared now, the next run clears.
        with suppress(OSError, PublishError):
            _recover(place)
        raise
    return Published(out=place.out, files=len(files), method=method, warnings=warnings)


def _replace(
    files: Mapping[str, bytes],
    manifest: Manifest,
    place: _Place,
    validate: Validate | None,
) -> Method:
    """Write the new site, let it be examined, and put it in the old one's place."""

    def prepare(folder: Path) -> None:
        stage(files, manifest, folder)
        if validate is not None:
            validate(folder)
        # Once more, now that it gets serious: writing and examining took their time.
        place.survey()

    if not place.is_inside and not os.path.ismount(place.out):
        prepare(place.new)
        try:
            return _swap(place)
        except OSError as error:
            if error.errno not in _NO_RENAME:
                raise
        _recover(place)
    prepare(place.out / in_place.INNER_NEW)
    in_place.commit(place.out)
    in_place.roll_forward(place.out)
    return "in place"


def _swap(place: _Place) -> Method:
    """Put the new folder where the old one is, in one step where the system can."""
    if not os.path.lexists(place.out):
        disk.rename(place.new, place.out)
        return "first"
    try:
        disk.exchange(place.new, place.out)
        return "exchange"
    except OSError as error:
        if error.errno not in _NO_EXCHANGE:
            raise
    disk.rename(place.out, place.old)
    disk.rename(place.new, place.out)
    return "renames"


def _tidy(place: _Place) -> tuple[str, ...]:
    """Remove the old site, and return what stands in the way as warnings."""
    kept: tuple[str, ...] = ()
    try:
        disk.flush(place.out if place.is_inside else place.out.parent, ())
        for leftover in () if place.is_inside else (place.new, place.old):
            kept += remove_own(leftover)
    except OSError as error:
        reason = os.strerror(error.errno).lower() if error.errno else str(error)
        return (f"the old site could not be removed: {reason}",)
    return (f"the old site was kept, it holds {', '.join(kept)}",) if kept else ()


def _recover(place: _Place) -> None:
    """Finish or undo what an earlier run left, and remove what it wrote."""
    if in_place.is_unfinished(place.out):
        in_place.roll_forward(place.out)
    leftovers = [place.out / in_place.INNER_NEW]
    if not place.is_inside:
        if not os.path.lexists(place.out) and place.old.is_dir() and not place.old.is_symlink():
            disk.rename(place.old, place.out)
        leftovers += [place.new, place.old]
    for leftover in leftovers:
        kept = remove_own(leftover)
        if kept:
            raise PublishError(
                f"`{leftover.name}` holds files of somebody else: {', '.join(kept)}",
                "move them away, then build again",
            )
