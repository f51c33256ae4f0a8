"""Where the addresses in pages and style sheets lead, as a browser would follow them.

Pages are read from a memory stick as well as from a host: an address must name its file whole, in
the exact letters, and nothing is fetched from elsewhere.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from typing import Final
from urllib.parse import unquote

from plybook.site.inspection.strict_html import Page, Reference

__all__ = ["page_link_faults", "style_link_faults"]

_SCHEME: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]*:")
_FAIR_SCHEMES: Final = ("https:", "http:", "mailto:")
_LOADS_NOTHING: Final = frozenset({"canonical", "license", "author"})
_STYLE_ADDRESS: Final = re.compile(
    r"""url\(\s*(?:"([^"]*)"|'([^']*)'|([^"'()\s]*))\s*\)|@import\s+(?:"([^"]*)"|'([^']*)')"""
)
_STYLE_COMMENT: Final = re.compile(r"/\*.*?\*/", re.DOTALL)


def page_link_faults(path: str, pages: Mapping[str, Page], names: frozenset[str]) -> Iterator[str]:
    """Yield what is wrong with the addresses of one page.

    `pages` are all pages of the site, `names` all its files.
    """
    page = pages[path]
    own = frozenset(page.ids)
    ids = _Ids(pages)
    for reference in page.references:
        tag, attribute, value, _ = reference
        if attribute not in {"href", "src", "xlink:href", "data-go"}:
            for name in value.split():
                if name not in own:
                    yield f"<{tag} {attribute}> names `{name}`, which is not in the page"
        elif value.startswith("#") and tag in {"a", "div", "use"}:
            fragment = value[1:]
            if fragment not in own and unquote(fragment) not in own:
                yield f"<{tag}> leads to `{value}`, which is not in the page"
        else:
            fault = _fault(path, reference, names, ids)
            if fault:
                yield f"<{tag} {attribute}=`{value}`> {fault}"
    for name in page.paints:
        if name not in own:
            yield f"url(#{name}) is not in the page"


def style_link_faults(path: str, text: str, names: frozenset[str]) -> Iterator[str]:
    """Yield what is wrong with the addresses of a style sheet."""
    for found in _STYLE_ADDRESS.finditer(_STYLE_COMMENT.sub("", text)):
        value = next((group for group in found.groups() if group is not None), "")
        if value.startswith("#"):
            continue
        fault = _resource_fault(path, value, names)
        if fault:
            yield f"`{value}` {fault}"


class _Ids:
    """The ids of other pages as sets, made when first asked for."""

    def __init__(self, pages: Mapping[str, Page]) -> None:
        self._pages = pages
        self._sets: dict[str, frozenset[str]] = {}

    def of(self, path: str) -> frozenset[str] | None:
        if path not in self._pages:
            return None
        if path not in self._sets:
            self._sets[path] = frozenset(self._pages[path].ids)
        return self._sets[path]


def _fault(path: str, reference: Reference, names: frozenset[str], ids: _Ids) -> str | None:
    """Return what is wrong with an address that is not a mere fragment."""
    tag, attribute, value, rel = reference
    if tag == "use" or attribute == "data-go":
        return "leads out of the page"
    loads_nothing = tag in {"a", "area"} or (tag == "link" and rel in _LOADS_NOTHING)
    if not loads_nothing:
        return _resource_fault(path, value, names)
    if _SCHEME.match(value):
        return None if value.lower().startswith(_FAIR_SCHEMES) else "has a scheme of another kind"
    target, _, fragment = value.partition("#")
    fault = _resource_fault(path, target, names)
    if fault or not fragment:
        return fault
    found = ids.of(_resolved(path, target))
    if found is None:
        return "has a fragment, but leads to no page"
    if fragment not in found and unquote(fragment) not in found:
        return "names a place that is not in that page"
    return None


def _resource_fault(path: str, value: str, names: frozenset[str]) -> str | None:
    """Return what is wrong with the address of a file, None when the site has that file."""
    if _SCHEME.match(value) or value.startswith(("//", "\\")):
        return "leads out of the site"
    if value.startswith("/"):
        return "begins at the host's top, which a memory stick has not"
    if "?" in value or "\\" in value or any(character.isspace() for character in value):
        return "has a ?, a backslash or a space"
    if not value:
        return "is empty"
    target = _resolved(path, value)
    if target in names:
        return None
    if value.endswith("/") or f"{target}/index.html" in names:
        return "leads to a folder; name its index.html"
    return "leads to no file of the site"


def _resolved(path: str, value: str) -> str:
    """Return the path in the site that a relative address means; outside it begins with `..`."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(value)))
