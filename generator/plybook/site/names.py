"""Which paths a site may contain: names that every host, stick and system can hold."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from plybook.diagnostics import shown

__all__ = ["BadNameError", "check_name", "check_names"]

# Names that Windows keeps for devices, with any ending: "Naming Files, Paths, and Namespaces" in
# its documentation. The raised digits count as digits there.
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"]
    + [f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"]
)
_FORBIDDEN = frozenset('\\:*?"<>|')
_INVISIBLE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_SEGMENT_BYTES = 255  # the limit of the usual file systems
_PATH_CHARACTERS = 200  # leaves room for the folder within the 260 of older Windows programs


class BadNameError(ValueError):
    """A path that cannot be published; the text says why."""


def check_names(paths: Iterable[str]) -> None:
    """Raise BadNameError for the first path that is unsafe or meets another one.

    Two paths meet when they are the same to a file system that ignores case or the form of a
    letter, or when one needs as a folder what the other is as a file.
    """
    exact: dict[str, str] = {}
    folders: set[str] = set()
    listed = sorted(paths)
    for path in listed:
        check_name(path)
        parts = path.split("/")
        for depth in range(1, len(parts) + 1):
            part = "/".join(parts[:depth])
            other = exact.setdefault(_folded(part), part)
            if other != part:
                raise BadNameError(
                    f"`{shown(other)}` and `{shown(part)}` differ only in letter form"
                )
            if depth < len(parts):
                folders.add(part)
    for path in listed:
        if path in folders:
            raise BadNameError(f"`{shown(path)}` is wanted as a file and as a folder")


def check_name(path: str) -> None:
    """Raise BadNameError when `path` is not a plain relative path with forward slashes."""
    if len(path) > _PATH_CHARACTERS:
        raise BadNameError(f"`{shown(path)}` is longer than {_PATH_CHARACTERS} characters")
    for segment in path.split("/"):
        fault = _fault(segment)
        if fault:
            raise BadNameError(f"`{shown(path)}` {fault}")


def _fault(segment: str) -> str | None:
    """Return what is wrong with one segment of a path, None when nothing is."""
    if segment in {"", ".", ".."}:
        return "has an empty, `.` or `..` part"
    if _FORBIDDEN & set(segment):
        return 'has one of \\ : * ? " < > |'
    if any(unicodedata.category(character) in _INVISIBLE for character in segment):
        return "has an invisible character"
    if segment[0] == " " or segment[-1] in " .":
        return "begins with a space, or ends with a space or a dot"
    if unicodedata.normalize("NFC", segment) != segment:
        return "is not in the composed form of Unicode (NFC)"
    if segment.split(".")[0].rstrip().casefold() in _DEVICES:
        return "is the name of a device on Windows"
    if len(segment.encode()) > _SEGMENT_BYTES:
        return f"has a part longer than {_SEGMENT_BYTES} bytes"
    return None


def _folded(path: str) -> str:
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", path).casefold())
