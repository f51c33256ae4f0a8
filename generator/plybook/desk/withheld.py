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

from plybook.diagnostics import UsageError
from plybook.files import read_regular, write_whole

__all__ = ["add_withheld", "withheld_file", "withheld_names"]

_MOST: Final = 1 << 20
_HEAD: Final = """\
# Names that plybook keeps off the pages of the course `{ident}`, one a line.
# A name is looked for whole and by each of its parts of three letters or more. Begin the line
# with `=` to look for the whole name only, where a part is an everyday word.
"""


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
        text = read_regular(path, most=_MOST).decode("utf-8-sig")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"cannot read the withheld names in {path}: {_reason(error)}") from error
    rows = (row.strip() for row in text.splitlines())
    return tuple(row for row in rows if row and not row.startswith("#"))


def add_withheld(ident: str, names: Iterable[str]) -> tuple[str, ...]:
    """Add names to those of a course and return the new ones. Raises UsageError."""
    known = withheld_names(ident)
    folded = {name.removeprefix("=").strip().casefold() for name in known}
    new = [name for name in dict.fromkeys(names) if name.casefold() not in folded]
    if not new:
        return ()
    path = withheld_file(ident)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        before = read_regular(path) if path.exists() else _HEAD.format(ident=ident).encode()
        rows = "".join(f"{' '.join(name.split())}\n" for name in new)
        write_whole(path, before + (b"" if before.endswith(b"\n") else b"\n") + rows.encode())
    except OSError as error:
        raise UsageError(f"cannot write the withheld names to {path}: {_reason(error)}") from error
    return tuple(new)


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or "it is not UTF-8").lower()
