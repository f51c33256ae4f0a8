"""Which addresses a link may have: a short list of schemes, and nothing hidden in them."""

from __future__ import annotations

import posixpath
import re
from typing import Final, NamedTuple
from urllib.parse import unquote

__all__ = ["Target", "fault_of_address", "is_external", "target_of"]

_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.-]*):")
_SCHEMES: Final = frozenset({"http", "https", "mailto"})
_HIDDEN = re.compile("[\x00-\x20\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")


def fault_of_address(address: str) -> str | None:
    """Return why an address is refused, or None for a fair one.

    Refused: schemes other than https, http and mailto; addresses that borrow the page's scheme
    (`//host`); spaces, control and invisible characters, plain or percent-encoded; backslashes.
    """
    plain = unquote(address)
    if _HIDDEN.search(address) or re.search("[\x00-\x1f\x7f\u200b-\u200f\u202a-\u202e]", plain):
        return "it holds a space or a character that cannot be seen"
    if "\\" in plain:
        return "it holds a backslash"
    if plain.startswith("//"):
        return "it does not say `https:`"
    head = re.split(r"[/?#]", plain, maxsplit=1)[0]
    if ":" not in head:
        return None
    found = _SCHEME.match(head)
    if not found or found[1].lower() not in _SCHEMES:
        return "only https, http and mailto addresses are used"
    if found[1].lower() != "mailto" and not re.search(r"[^\W_]", _host(plain)):
        return "it names no host"
    if found[1].lower() == "mailto" and "?" in plain:
        return "a mailto address ends before the `?`"
    return None


def _host(address: str) -> str:
    """Return the host of an address with two slashes, with port and user."""
    found = re.match(r"[A-Za-z][A-Za-z0-9+.-]*://([^/?#]*)", address)
    return found[1] if found else ""


def is_external(address: str) -> bool:
    """Return whether an address leaves the site."""
    return bool(_SCHEME.match(address))


class Target(NamedTuple):
    """What an address inside the course leads to."""

    path: str  # from the course folder
    heading: str  # "" for the whole page


def target_of(address: str, *, file: str) -> Target:
    """Return what an address in `file` leads to, its percent signs read.

    It is divided at its `#` before that, so `%23` is part of a name (RFC 3986, section 2.4).
    """
    path, _, heading = address.partition("#")
    if not path:
        return Target(file, unquote(heading))
    joined = posixpath.join(posixpath.dirname(file), unquote(path))
    return Target(posixpath.normpath(joined), unquote(heading))
