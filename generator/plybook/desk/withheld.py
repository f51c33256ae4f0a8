"""Names that must not appear: kept with the user, never in a course.

A course is handed on and put under version control, and a list of the children who must not be
named would be worse there than any slip.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from plybook.diagnostics import Report, Severity, UsageError
from plybook.files import read_regular, write_whole
from plybook.text import COURSE_FILE, CourseDraft, read_course_folder
from plybook.text.heads import read_yaml
from plybook.text.people import is_placeholder, name_key
from plybook.text.source import excerpt_of_file

__all__ = ["add_withheld", "course_with_id", "withheld_file", "withheld_names"]

_MOST: Final = 1 << 20
_FOR_ONE: Final = 0o600  # nobody else of the machine reads the list
_HEAD: Final = """\
# Names that plybook keeps off the pages of the course `{ident}`, one a line.
# A name is looked for whole and by each of its parts of three letters or more. Begin the line
# with `=` to look for the whole name only, where a part is an everyday word.
"""


def course_with_id(folder: Path) -> CourseDraft:
    """Return a course whose list of withheld names is certain.

    Raises UsageError where course.yaml has a fault, or no `id` of its own: one made of the title
    would begin another list when the title changes.
    """
    report = Report()
    draft = read_course_folder(folder, report=report)
    for fault in report.sorted():
        if fault.span.file == COURSE_FILE and fault.severity is Severity.ERROR:
            where = f"{COURSE_FILE}, line {fault.span.line}"
            if fault.code != "empty-course":
                raise UsageError(f"{where}: {fault.message}")
    text = draft.sources[COURSE_FILE]
    head = read_yaml(excerpt_of_file(COURSE_FILE, text), report=Report())
    if head is None or not head.values.get("id"):
        raise UsageError(
            f"the list of withheld names needs a name that stays: add `id: {draft.file.ident}` "
            f"to {COURSE_FILE}"
        )
    return draft


def withheld_file(ident: str) -> Path:
    """Return the file of the withheld names of a course.

    It is $PLYBOOK_WITHHELD, or `withheld/IDENT.txt` in the folder `plybook` of the user's data
    folder: %APPDATA% on Windows, $XDG_DATA_HOME (XDG Base Directory Specification 0.8) or
    ~/.local/share elsewhere. Raises UsageError where there is no such place.
    """
    path = _place(ident)
    if path is None:
        raise UsageError("no place for the withheld names; name a file in $PLYBOOK_WITHHELD")
    return path


def _place(ident: str) -> Path | None:
    own = os.environ.get("PLYBOOK_WITHHELD")
    if own:
        return Path(own)
    given = os.environ.get("APPDATA" if sys.platform == "win32" else "XDG_DATA_HOME", "")
    if not os.path.isabs(given):
        home = os.path.expanduser("~")
        if sys.platform == "win32" or not os.path.isabs(home):
            return None
        given = os.path.join(home, ".local", "share")
    return Path(given) / "plybook" / "withheld" / f"{ident}.txt"


def withheld_names(ident: str) -> tuple[str, ...]:
    """Return the withheld names of a course, none without a file. Raises UsageError."""
    path = _place(ident)
    if path is None:
        return ()
    try:
        content = read_regular(path, most=_MOST + 1)
        text = content.decode("utf-8-sig")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"cannot read the withheld names in {path}: {_reason(error)}") from error
    if len(content) > _MOST:  # a list cut short would let the others through
        raise UsageError(f"the withheld names in {path} are more than {_MOST >> 20} MiB")
    rows = (row.strip() for row in text.splitlines())
    return tuple(row for row in rows if row and not row.startswith("#"))


def add_withheld(ident: str, names: Iterable[str]) -> tuple[str, ...]:
    """Add names to those of a course and return the new ones. Raises UsageError.

    A name that stands there in another spelling is known. What stands before a name and means
    something in the list (`#`, `=`) is left out, and so is who stands for nobody.
    """
    known = {name_key(name) for name in withheld_names(ident)}
    new: dict[tuple[str, ...], str] = {}
    for name in names:
        plain = " ".join(name.split()).lstrip("#= ")
        if not is_placeholder(plain) and name_key(plain) not in known:
            new.setdefault(name_key(plain), plain)
    if not new:
        return ()
    path = withheld_file(ident)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        before = read_regular(path) if path.exists() else _HEAD.format(ident=ident).encode()
        rows = "".join(f"{name}\n" for name in new.values())
        before += b"" if before.endswith(b"\n") else b"\n"
        write_whole(path, before + rows.encode(), mode=_FOR_ONE)
    except OSError as error:
        raise UsageError(f"cannot write the withheld names to {path}: {_reason(error)}") from error
    return tuple(new.values())


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or "it is not UTF-8").lower()
