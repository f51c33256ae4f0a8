"""Which requests the preview answers: those of a browser on this machine for its own pages.

A page from elsewhere that is open in the same browser can send requests here, under a name of its
own too. What it would need to read a draft is refused before anything is looked up.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Final
from urllib.parse import unquote_to_bytes

__all__ = ["SAFETY_HEADERS", "hosts_of", "path_of", "refusal"]

#: What every answer says beside its content: kept by nobody, framed by nobody, read by no page of
#: another origin, and never taken for anything but what it is called.
SAFETY_HEADERS: Final = (
    ("Cache-Control", "no-store"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Referrer-Policy", "no-referrer"),
)

_METHODS: Final = frozenset({"GET", "HEAD"})
_OWN: Final = frozenset({"same-origin", "none"})
_LONGEST: Final = 1024  # characters of a target; no page of a site has a longer address
_ESCAPES: Final = re.compile(r"%(?![0-9A-Fa-f]{2})")
_FORBIDDEN: Final = re.compile(r"[\x00-\x1f\x7f\\:]")


def hosts_of(port: int) -> frozenset[str]:
    """Return the names by which a browser on this machine may call a port of it."""
    names = ("127.0.0.1", "localhost", "[::1]")
    with_port = {f"{name}:{port}" for name in names}
    return frozenset(with_port | set(names) if port == 80 else with_port)


def refusal(
    method: str, headers: Mapping[str, Sequence[str]], hosts: frozenset[str]
) -> HTTPStatus | None:
    """Return with which status a request is refused, None for one that may be answered.

    `headers` are all lines by name in small letters.
    """
    named = headers.get("host", ())
    if len(named) != 1 or named[0].strip().lower() not in hosts:
        return HTTPStatus.MISDIRECTED_REQUEST
    if method not in _METHODS:
        return HTTPStatus.METHOD_NOT_ALLOWED
    if headers.get("content-length") or headers.get("transfer-encoding"):
        return HTTPStatus.BAD_REQUEST  # a question has no body
    for origin in headers.get("origin", ()):
        if origin.strip().lower() not in {f"http://{host}" for host in hosts}:
            return HTTPStatus.FORBIDDEN
    if not _is_own(headers):
        return HTTPStatus.FORBIDDEN
    return None


def _is_own(headers: Mapping[str, Sequence[str]]) -> bool:
    """Return whether a request comes from one of our pages, or opens one as a whole.

    Fetch metadata (W3C Fetch Metadata Request Headers). Another port of this machine is the same
    site, but not the same origin: it counts as foreign.
    """
    sites = headers.get("sec-fetch-site", ())
    if all(site.strip().lower() in _OWN for site in sites):
        return True
    modes = [mode.strip().lower() for mode in headers.get("sec-fetch-mode", ())]
    kinds = [kind.strip().lower() for kind in headers.get("sec-fetch-dest", ())]
    return modes == ["navigate"] and kinds == ["document"]


def path_of(target: str) -> str | None:
    """Return the path in the site that a request's target names, None for what can be none.

    It is a name to be looked up among the pages that were made: no folder is ever walked.
    """
    if not target.startswith("/") or len(target) > _LONGEST or not target.isascii():
        return None
    path = target[1:].partition("?")[0]
    if "#" in path or _ESCAPES.search(path):
        return None
    try:
        decoded = unquote_to_bytes(path).decode("utf-8")
    except UnicodeDecodeError:
        return None
    if _FORBIDDEN.search(decoded):
        return None
    if decoded == "" or decoded.endswith("/"):
        decoded += "index.html"
    parts = decoded.split("/")
    return None if any(part in {"", ".", ".."} for part in parts) else decoded
