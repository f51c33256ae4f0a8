"""The last look at a site before it is published, by a reader who trusts nobody.

It knows the finished files and nothing else. What it finds is our fault, not the coach's.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final
from xml.parsers import expat

from plybook.site.inspection.found import search_faults
from plybook.site.inspection.links import page_link_faults, style_link_faults
from plybook.site.inspection.replayed import stepping_faults
from plybook.site.inspection.strict_html import Page, read_page
from plybook.site.inspection.tried import table_faults

__all__ = ["POLICY", "Problem", "validate"]

#: The one policy of every page: nothing from elsewhere, no code but the site's own.
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types 'none'"
)

_HEAD: Final = (
    ("meta", (("charset", "utf-8"),)),
    ("meta", (("http-equiv", "Content-Security-Policy"), ("content", POLICY))),
)
#: How the name of a published file may end. Hosts and browsers decide by it what a file is, so a
#: page under any other name would be one without the policy.
_ENDINGS: Final = (".html", ".css", ".js", ".json", ".pgn", ".txt", ".svg", ".woff2")
_PICTURE_ENDINGS: Final = (".png", ".jpg", ".jpeg", ".webp")  # in capitals too, as cameras do
_LINKING: Final = frozenset({"href", "xlink:href", "src"})


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One fault of one file of the site."""

    path: str
    message: str


def validate(files: Mapping[str, bytes]) -> tuple[Problem, ...]:
    """Return everything that forbids publishing these files (path to content), sorted.

    Pages: strict HTML, the policy first, ids once, every address leading somewhere, every move of
    the stepping data legal and the board right after it. Style sheets, drawings and data as far
    as they can hold addresses or code.
    """
    names = frozenset(files)
    pages = {path: read_page(files[path]) for path in sorted(files) if path.endswith(".html")}
    found = [Problem(path, words) for path in pages for words in _page_faults(path, pages, names)]
    for path in sorted(names - pages.keys()):
        found.extend(Problem(path, words) for words in _file_faults(path, files[path], names))
    found.extend(Problem(path, words) for path, words in search_faults(files, pages))
    return tuple(sorted(set(found)))


def _page_faults(path: str, pages: Mapping[str, Page], names: frozenset[str]) -> Iterator[str]:
    page = pages[path]
    yield from page.faults
    if page.head[:2] != _HEAD:
        yield "the policy does not stand first in the head, or is another one"
    for ident, count in Counter(page.ids).items():
        if count > 1:
            yield f"the id `{ident}` stands {count} times"
    yield from page_link_faults(path, pages, names)
    yield from stepping_faults(page)
    yield from table_faults(page)


def _file_faults(path: str, content: bytes, names: frozenset[str]) -> Iterator[str]:
    """Yield the faults of a file that is no page."""
    if not path.endswith(_ENDINGS) and not path.lower().endswith(_PICTURE_ENDINGS):
        yield "no file of a site ends like this"
    try:
        if path.endswith(".css"):
            yield from style_link_faults(path, content.decode("utf-8"), names)
        elif path.endswith(".json"):
            json.loads(content)
        elif path.endswith(".svg"):
            yield from _drawing_faults(content)
        elif path.endswith((".pgn", ".js", ".txt")):
            content.decode("utf-8")
    except (ValueError, RecursionError, expat.ExpatError) as error:
        yield f"cannot be read: {error}"


def _drawing_faults(content: bytes) -> list[str]:
    """Return what a drawing holds beside lines and colours: code, or an address outside it."""
    faults: list[str] = []

    def start(tag: str, values: dict[str, str]) -> None:
        if tag.lower() in {"script", "foreignobject", "style", "image", "a"}:
            faults.append(f"<{tag}> has no place in a drawing")
        for name, value in values.items():
            if name.lower().startswith("on") or name == "style":
                faults.append(f"<{tag}> has the attribute {name}")
            is_outside = name in _LINKING and not value.startswith("#")
            if is_outside or value.replace(" ", "").count("url(") != value.count("url(#"):
                faults.append(f"<{tag} {name}> leads out of the drawing")

    def refuse(*_: object) -> None:
        raise ValueError("it declares a document type, and so may declare entities")

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.StartDoctypeDeclHandler = refuse
    parser.Parse(content, True)
    return faults
