"""Reading a finished page strictly: every tag closed, every value quoted, nothing left to guess.

A browser repairs what is wrong, each fault in its own way. What passes here needs no repair: it is
a part of HTML that has one reading. The reader keeps what links and moves need and reports the
rest.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape
from html.entities import html5
from typing import Final, NamedTuple

__all__ = ["Page", "Reference", "read_page"]


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


# HTML Living Standard, 13.1.2: elements without an end tag.
_VOID: Final = _set("area base br col embed hr img input link meta source track wbr")
# What may not stand in our pages at all: code, frames, other people's documents, forms.
_FORBIDDEN: Final = _set(
    "applet base embed form frame frameset iframe object style foreignobject noscript"
)
# Start tags that end an open paragraph (13.2.6.4.7), so that its own end tag would be left over.
_ENDS_PARAGRAPH: Final = _set(
    "address article aside blockquote center details dialog dir div dl dd dt fieldset figcaption "
    "figure footer h1 h2 h3 h4 h5 h6 header hgroup hr li main menu nav ol p pre search section "
    "summary table ul"
)
_HEADINGS: Final = _set("h1 h2 h3 h4 h5 h6")
_PARENTS: Final = {
    "li": frozenset({"ul", "ol", "menu"}),
    "dt": frozenset({"dl", "div"}),
    "dd": frozenset({"dl", "div"}),
    "tr": frozenset({"thead", "tbody", "tfoot"}),
    "td": frozenset({"tr"}),
    "th": frozenset({"tr"}),
    "thead": frozenset({"table"}),
    "tbody": frozenset({"table"}),
    "tfoot": frozenset({"table"}),
    "figcaption": frozenset({"figure"}),
    "summary": frozenset({"details"}),
}
_FRAME: Final = {"html": "", "head": "html", "body": "html"}
#: Elements that say, while one is open, what else may be opened.
_TELLING: Final = ("svg", "title", "p", "a", "button")

_TOKEN: Final = re.compile(
    r'<(?:(/?)([A-Za-z][A-Za-z0-9]*)((?:\s+[^\s"\'<>/=`]+(?:="[^"<]*")?)*)\s*(/?)>'
    r"|!--(?!-?>)(?:(?!--).)*-->)",
    re.DOTALL,
)
_ATTRIBUTE: Final = re.compile(r'([^\s"\'<>/=`]+)(?:="([^"<]*)")?')
_AMPERSAND: Final = re.compile(r"&(?!#[0-9]+;|#x[0-9A-Fa-f]+;|[A-Za-z][A-Za-z0-9]*;)")
_NAMED: Final = re.compile(r"&([A-Za-z][A-Za-z0-9]*;)")
_CONTROL: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff]")
_PAINT: Final = re.compile(r"url\(#([^()\s\"']+)\)")

_ADDRESSES: Final = frozenset({"href", "src", "xlink:href", "data-go"})
_ID_LISTS: Final = frozenset(
    {"aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "for", "headers"}
)
_REFUSED: Final = _set(
    "action archive background cite classid codebase data formaction imagesrcset longdesc manifest "
    "nonce ping poster profile srcdoc srcset style usemap"
)
_LOOKED_AT: Final = _ADDRESSES | _ID_LISTS | _REFUSED | {"id"}


class Reference(NamedTuple):
    """An address or a list of ids: the element, the attribute, the value; `rel` for links."""

    tag: str
    attribute: str
    value: str
    rel: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What a page says to a strict reader. `head` holds the first elements of the head."""

    faults: tuple[str, ...]
    ids: tuple[str, ...]  # in the order of the page, doubles and all
    references: tuple[Reference, ...]
    paints: tuple[str, ...]  # ids that colours are taken from
    data: tuple[tuple[str, str], ...]  # id and text of each block of JSON
    head: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def read_page(content: bytes) -> Page:
    """Return what the page holds and all that is wrong with it."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return Page(faults=("not in UTF-8",), ids=(), references=(), paints=(), data=(), head=())
    return _Reader(text).read()


class _Reader:
    """One walk through the tags of a page."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.faults: dict[str, None] = {}
        self.ids: list[str] = []
        self.references: list[Reference] = []
        self.paints: list[str] = []
        self.data: list[tuple[str, str]] = []
        self.head: list[tuple[str, tuple[tuple[str, str], ...]]] = []
        self.open: list[str] = []
        self.within: frozenset[str] = frozenset()  # the telling elements that are open
        # What was looked at and may be skipped when it comes again: a page repeats itself a lot.
        self.seen_places: set[tuple[str, str, frozenset[str]]] = set()
        self.seen_tags: set[tuple[str, str]] = set()

    def read(self) -> Page:
        text = self.text
        self._read_characters()
        start = "<!doctype html>\n"
        if not text.startswith(start):
            self._fault("does not begin with <!doctype html>")
        place = len(start) if text.startswith(start) else 0
        script: str | None = None
        for match in _TOKEN.finditer(text, place):
            if text.find("<", place, match.start()) >= 0:
                self._fault(f"broken tag: {_excerpt(text, text.find('<', place))}")
            slash, tag, written, closed = match.groups()
            if script is not None:
                self._script(script, text[place : match.start()])
                script = None
            place = match.end()
            if not tag:
                continue
            if slash:
                self._end(tag, written)
            else:
                self._start(tag, written, bool(closed))
                script = written if tag == "script" else None
        self._finish(place)
        return Page(
            faults=tuple(self.faults),
            ids=tuple(self.ids),
            references=tuple(self.references),
            paints=tuple(self.paints),
            data=tuple(self.data),
            head=tuple(self.head),
        )

    def _fault(self, words: str) -> None:
        self.faults[words] = None

    def _read_characters(self) -> None:
        if found := _CONTROL.search(self.text):
            self._fault(f"control character U+{ord(found[0]):04X}")
        if found := _AMPERSAND.search(self.text):
            self._fault(f"bare &: {_excerpt(self.text, found.start())}")
        for name in sorted(set(_NAMED.findall(self.text)) - html5.keys()):
            self._fault(f"unknown character &{name}")

    def _start(self, tag: str, written: str, is_closed: bool) -> None:
        place = tag, self.open[-1] if self.open else "", self.within
        if place not in self.seen_places:
            self.seen_places.add(place)
            self._check_place(*place)
        if len(self.head) < 3 and place[1] == "head":
            self.head.append((tag, tuple(self._attributes(tag, written).items())))
        elif written and (tag, written) not in self.seen_tags:
            values = self._attributes(tag, written)
            if "id" not in values:
                self.seen_tags.add((tag, written))
        in_drawing = "svg" in self.within
        if tag in _VOID and not in_drawing:
            return
        if is_closed:
            if not in_drawing:
                self._fault(f"<{tag}/> is not closed by its slash")
            return
        self.open.append(tag)
        if tag in _TELLING:
            self.within |= {tag}

    def _end(self, tag: str, written: str) -> None:
        if written:
            self._fault(f"</{tag}> has attributes")
        if not self.open or self.open[-1] != tag:
            now = f"<{self.open[-1]}>" if self.open else "nothing"
            self._fault(f"</{tag}> where {now} is open")
            if tag not in self.open:
                return
            while self.open[-1] != tag:
                self.open.pop()
        self.open.pop()
        if tag in _TELLING:
            self.within = frozenset(_TELLING).intersection(self.open)

    def _check_place(self, tag: str, parent: str, within: frozenset[str]) -> None:
        """Report an element that has no place in a page, or that a browser would put elsewhere."""
        if tag.lower() in _FORBIDDEN:
            self._fault(f"<{tag}> has no place in a page")
        if "svg" in within:
            if tag == "script" or tag in _ENDS_PARAGRAPH:
                self._fault(f"<{tag}> in a drawing")
            return
        if not tag.islower():
            self._fault(f"<{tag}> is not in lower case")
        if "title" in within:
            self._fault(f"<{tag}> in the title")
        if "p" in within and tag in _ENDS_PARAGRAPH:
            self._fault(f"<{tag}> in a paragraph")
        if tag in {"a", "button"} and within & {"a", "button"}:
            self._fault(f"<{tag}> in a link or button")
        if tag in _HEADINGS and parent in _HEADINGS:
            self._fault(f"<{tag}> in a heading")
        if tag in _PARENTS and parent not in _PARENTS[tag]:
            self._fault(f"<{tag}> in <{parent}>")
        if tag in _FRAME and parent != _FRAME[tag]:
            self._fault(f"<{tag}> in the wrong place")
        if parent == "script":
            self._fault(f"<{tag}> in a script")
        if tag not in _FRAME and parent in {"", "html"}:
            self._fault(f"<{tag}> outside head and body")

    def _attributes(self, tag: str, written: str) -> dict[str, str]:
        """Return the attributes of a tag, the character references in their values resolved."""
        pairs = _ATTRIBUTE.findall(written)
        values = dict(pairs)
        if len(values) != len(pairs):
            self._fault(f"<{tag}> has an attribute twice")
        if any(name[:2].lower() == "on" for name in values):
            self._fault(f"<{tag}> has an event attribute")
        if "url(" in written:
            found = _PAINT.findall(written)
            self.paints.extend(found)
            if written.count("url(") != len(found):
                self._fault(f"<{tag}> takes a colour from outside the page")
        if "&" in written:
            values = {name: unescape(value) for name, value in values.items()}
        for name in values.keys() & _LOOKED_AT:
            self._look_at(tag, name, values)
        if tag == "meta" and values.get("http-equiv", "").lower() not in {
            "",
            "content-security-policy",
        }:
            self._fault("<meta http-equiv> other than the policy")
        return values

    def _look_at(self, tag: str, name: str, values: dict[str, str]) -> None:
        value = values[name]
        if name == "id":
            if not value or any(character.isspace() for character in value):
                self._fault(f"<{tag}> has an id with a space, or an empty one")
            self.ids.append(value)
        elif name in _REFUSED:
            self._fault(f"<{tag}> has the attribute {name}")
        else:
            self.references.append(Reference(tag, name, value, values.get("rel", "")))

    def _script(self, written: str, content: str) -> None:
        """Take in a script element's content, which ends before the next tag of any kind.

        A browser reads on to its end tag; should another tag come first, that is left over.
        """
        values = dict(_ATTRIBUTE.findall(written))
        if values.get("type") == "application/json" and "src" not in values:
            self.data.append((values.get("id", ""), content))
        elif (
            "src" not in values
            or content
            or values.get("type", "text/javascript") != ("text/javascript")
        ):
            self._fault("inline script")

    def _finish(self, place: int) -> None:
        if self.text.find("<", place) >= 0:
            self._fault(f"broken tag: {_excerpt(self.text, self.text.find('<', place))}")
        if self.open:
            self._fault(f"<{self.open[-1]}> is not closed")
        if self.text[place:].strip():
            self._fault("text after the end of the page")


def _excerpt(text: str, place: int) -> str:
    return " ".join(text[place : place + 40].split())
