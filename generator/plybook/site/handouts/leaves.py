"""Pages of the site as leaves of one file: ids that differ, links that lead to the other leaves.

The name of a page (`lessons/forks` for `lessons/forks.html`) goes before each of its ids and
fragments, parted by a slash. A link to a page that is not in the file loses its address and is
text; so does one to a file, unless it is a PGN, which is carried along for saving.
"""

from __future__ import annotations

import json
import posixpath
import re
from base64 import b64encode
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final
from urllib.parse import unquote

from markupsafe import escape

from plybook.site.handouts.markup import Attributes, between, with_tags
from plybook.site.wording.stepper import json_for_script

__all__ = ["Leaf", "Rewriter", "leaf_name", "scripts_of"]

_EXTERNAL: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]*:")
_ID: Final = re.compile(r'\sid="([^"]*)"')
_SPRITE: Final = re.compile(r'<svg class="sprite".*?</svg>\n?', re.DOTALL)
#: The data of a lesson's board: the only ones that name places and addresses.
_DATA: Final = re.compile(
    r'(<script type="application/json" id="lesson-data">)(.*?)(</script>)', re.DOTALL
)
_SCRIPT: Final = re.compile(r'<script src="([^"]*)"(?: defer)?></script>\n?')
#: Each line's own link to the PGN of its lesson: one at the end of the page is enough.
_LINES_PGN: Final = re.compile(r'<a class="pgn" href="[^"]*">[^<]*</a>')
#: What leads through the site; a file of one lesson has nowhere to go.
_WAYS: Final = re.compile(r'<nav class="(?:site|ft)".*?</nav>\n?', re.DOTALL)
_MOVES: Final = frozenset({"m", "m s", "go"})
_LISTS: Final = ("for", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns")
_MEDIA: Final = {
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "webp": "image/webp",
    "svg": "image/svg+xml",
    "pgn": "application/vnd.chess-pgn",  # registered with IANA
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """A page as one of several in a file, and the drawings its boards need."""

    html: str
    sprite: str


def leaf_name(path: str) -> str:
    """Return the name of a page in the file: `lessons/forks` for `lessons/forks.html`."""
    return path.removesuffix(".html")


def scripts_of(page: str) -> tuple[str, ...]:
    """Return the addresses of a page's scripts as they stand in it, in order."""
    return tuple(_SCRIPT.findall(page))


class Rewriter:
    """Writes pages of a site as leaves of one file.

    `shown` are the paths of the pages that the file holds. `instead` gives, for a page that is not
    among them, the fragment that stands for it.
    """

    def __init__(
        self,
        files: Mapping[str, bytes],
        *,
        shown: Collection[str],
        instead: Mapping[str, str],
    ) -> None:
        self._files = files
        self._shown = shown
        self._instead = instead

    def leaf(self, path: str, *, parts: str, more: str = "") -> Leaf:
        """Return a page as a leaf. `parts` names its scripts; `more` goes to its text's end."""
        page = self._files[path].decode()
        drawn = _SPRITE.search(page)
        sprite = drawn[0] if drawn else ""
        start, _, rest = between(page, "<body", "</body>").partition(">")
        body = _SPRITE.sub("", _LINES_PGN.sub("", _SCRIPT.sub("", rest)))
        if len(self._shown) == 1:
            body = _WAYS.sub("", body)
        body = body.replace("</article>", f"{more}</article>") if more else body
        within = _Within(self, path, shared=frozenset(_ID.findall(sprite)))
        body = _DATA.sub(lambda found: found[1] + within.data(found[2]) + found[3], body)
        kind = between(start, 'class="', '"')
        whole = between(page, "<html ", ">")
        language = between(whole, 'lang="', '"')
        direction = "rtl" if 'dir="rtl"' in whole else "ltr"
        title = between(page, "<title>", "</title>")
        html = (
            f'<div class="leaf {kind}" id="{escape(leaf_name(path))}" lang="{language}"'
            f' dir="{direction}" data-title="{title}" data-parts="{escape(parts)}">'
            f"{with_tags(body, within.tag)}</div>\n"
        )
        return Leaf(html=html, sprite=sprite)

    def address(self, path: str, value: str) -> str | None:
        """Return where a link of the page at `path` leads now; None when it is not in the file."""
        if _EXTERNAL.match(value):
            return value
        target, _, fragment = value.partition("#")
        found = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(target)))
        if not target:
            found = path
        if found in self._shown:
            return f"#{leaf_name(found)}" + (f"/{fragment}" if fragment else "")
        return self._instead.get(found)

    def enclosed(self, path: str, value: str) -> tuple[str, str]:
        """Return a file of the site as an address that holds it, and its name."""
        found = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(value)))
        kind = _MEDIA[found.rpartition(".")[2].lower()]
        held = b64encode(self._files[found]).decode()
        return f"data:{kind};base64,{held}", posixpath.basename(found)


class _Within:
    """What changes within one page. `shared` are the ids of the drawings all leaves share."""

    def __init__(self, rewriter: Rewriter, path: str, *, shared: frozenset[str]) -> None:
        self._rewriter = rewriter
        self._path = path
        self._shared = shared
        self._lead = f"{leaf_name(path)}/"

    def tag(self, tag: str, values: Attributes) -> Attributes:
        """Return the attributes of an element of the leaf."""
        changed = dict(values)
        if (ident := changed.get("id")) is not None:
            changed["id"] = self._lead + ident
        for name in _LISTS:
            if listed := changed.get(name):
                changed[name] = " ".join(self._lead + ident for ident in listed.split())
        for name in ("data-go", "data-at"):
            if place := changed.get(name):
                lead = "#" if place.startswith("#") else ""
                changed[name] = f"{lead}{self._lead}{place.removeprefix('#')}"
        if (source := changed.get("src")) is not None:
            changed["src"] = self._rewriter.enclosed(self._path, source)[0]
        if (href := changed.get("href")) is not None and href[1:] not in self._shared:
            changed.pop("href")
            changed |= self._link(tag, href)
            if "href" not in changed:
                changed.pop("rel", None)
                if changed.get("class") in _MOVES:
                    changed.pop("class")  # it must not look like a control
        return changed

    def _link(self, tag: str, href: str) -> Attributes:
        """Return the attributes of a link; none when there is nowhere to go."""
        if tag == "a" and href.endswith(".pgn") and not _EXTERNAL.match(href):
            held, name = self._rewriter.enclosed(self._path, href)
            return {"href": held, "download": name}
        found = self._rewriter.address(self._path, href)
        return {} if found is None else {"href": found}

    def data(self, text: str) -> str:
        """Return the data of a lesson's board with places and addresses as the leaf has them.

        They are known by the key they stand under, never by their looks: a remark may look like
        either. `at` is the place the board stands at; `rules` are titles of principles with the
        addresses of their pages.
        """
        data = json.loads(text)
        rules = [[title, self._page(address)] for title, address in data["rules"]]
        return json_for_script({**data, "at": self._lead + data["at"], "rules": rules})

    def _page(self, address: str) -> str:
        """Return where the address of a page leads now: to this page if that one is not there."""
        return self._rewriter.address(self._path, address) or f"#{leaf_name(self._path)}"
