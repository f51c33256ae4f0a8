"""Which folder may hold a site: none whose loss would hurt, and none that a link stands in for."""

from __future__ import annotations

import os
from pathlib import Path

from plybook.diagnostics import shown
from plybook.site.publishing.refusals import BadTarget

__all__ = ["checked_target"]

_SOURCES = ("lessons", "principles", "images")
_HINT = "publish to a folder that holds nothing but the site"


def checked_target(out: Path, *, course_folder: Path) -> Path:
    """Return the full path of the target, links in its parents resolved. It need not exist.

    Raises BadTarget for the course folder, a folder above it, its sources and folders within
    them, the home folder and folders above it, a root, a link, a file, and a missing parent.
    """
    given = Path(os.path.abspath(out))
    words = f"`{shown(str(out), limit=200)}`"
    if given.is_symlink():
        raise BadTarget(f"{words} is a link", "publish to the folder itself")
    if given.parent == given:
        raise BadTarget(f"{words} is the top of a disk", _HINT)
    if not given.parent.is_dir():
        raise BadTarget(
            f"the folder that shall hold {words} does not exist", "make it first, then build again"
        )
    target = given.parent.resolve() / given.name
    if target.exists() and not target.is_dir():
        raise BadTarget(f"{words} is not a folder", _HINT)
    if _is_within(_home(), target):
        raise BadTarget(f"{words} is the home folder or holds it", _HINT)
    if _is_within(course_folder.resolve(), target):
        raise BadTarget(f"{words} is the course folder or holds it", _HINT)
    for name in _SOURCES:
        if _is_within(target, course_folder.resolve() / name):
            raise BadTarget(f"{words} lies in `{name}` of the course", _HINT)
    return target


def _home() -> Path:
    return Path(os.path.expanduser("~")).resolve()


def _is_within(path: Path, folder: Path) -> bool:
    """Return whether `path` is `folder` or lies in it, by the files' identity.

    Names alone would miss a folder spelled in another case where the system ignores case.
    """
    for place in (path, *path.parents):
        if place == folder:
            return True
        if place.exists() and folder.exists() and place.samefile(folder):
            return True
    return False
