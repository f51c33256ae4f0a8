"""A look at everything that is to be published for what must not be: names, addresses, numbers.

Looked at is what a reader can come to see or hear, and what a machine reads: text and telling
attributes of pages and drawings, data, PGN, strings of scripts, names of files. Words of HTML
itself, style sheets and the dots of pictures are not language.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal
from urllib.parse import unquote

from plybook.text.contacts import contacts_in
from plybook.text.people import People

__all__ = ["Leak", "leaks"]

_STYLE: Final = re.compile(r"<style>.*?</style>", re.DOTALL)
_TAG: Final = re.compile(r"<[^>]*>")
#: Tags within a word: `An<em>na</em>` is read as one.
_INLINE: Final = re.compile(
    r"</?(?:a|abbr|b|bdi|bdo|cite|code|del|em|i|ins|mark|q|s|small|span|strong|sub|sup|tspan|u|wbr)"
    r"\b[^>]*>"
)
_INLINE_RUN: Final = re.compile(rf"{_INLINE.pattern}(?:{_INLINE.pattern})*(?=[^\W\d_])")
_FAR: Final = 160  # characters to each side of such a tag
#: What is cut off there is no word: half of `trick@6.Bxf7` would be an address.
_TORN: Final = re.compile(r"^\S+|\S+$")
#: Attributes whose values are language, addresses, or made of words of the course.
_VALUES: Final = re.compile(
    r"\s(?:alt|title|aria-[a-z]+|content|href|src|id|value|placeholder|label|data-[a-z-]+)"
    r"""=(?:"([^"]*)"|'([^']*)')"""
)
_DATA_IN_PAGE: Final = re.compile(r'<script type="application/json"[^>]*>(.*?)</script>', re.DOTALL)
_STRINGS: Final = re.compile(r"""("(?:[^"\\\n]|\\.)*")|'((?:[^'\\\n]|\\.)*)'""")
_ESCAPED: Final = re.compile(r"\\(?:u([0-9a-fA-F]{4})|[nrtbf/])")
_PERCENT: Final = re.compile("%[0-9a-fA-F]{2}")
_MARKUP: Final = (".html", ".svg", ".xhtml", ".opf", ".ncx", ".xml")
_DATA: Final = (".json", ".pgn", ".txt")
#: Between strings that stand apart: more than the parts of a name or a number may have between.
_APART: Final = "\n\n\n\n\n"


@dataclass(frozen=True, slots=True, order=True)
class Leak:
    """Something that must not be published, and the file where it was found.

    `text` is what was found, `name` the withheld name it belongs to, "" for an address.
    """

    path: str
    kind: Literal["name", "mail", "phone"]
    text: str
    name: str = ""


def leaks(
    files: Mapping[str, bytes], people: People, *, allowed: Collection[str] = ()
) -> tuple[Leak, ...]:
    """Return what must not be published of some files (path to content), sorted, once a file.

    `allowed` are addresses and numbers that may stand there.
    """
    found: dict[tuple[str, str, str], Leak] = {}
    for path in sorted(files):
        for leak in _leaks_of(path, files[path], people):
            if leak.text not in allowed:
                found.setdefault((path, leak.kind, leak.name or leak.text), leak)
    return tuple(sorted(found.values()))


def _leaks_of(path: str, content: bytes, people: People) -> Iterator[Leak]:
    text = _text_of(path, content)
    whole = f"{path}\n{text}"  # the file's name is published too
    for named in people.find(whole):
        yield Leak(path, "name", whole[named.start : named.end], named.name)
    # Texts that stand beside fonts name their makers; the course writes no such files.
    for contact in () if path.endswith(".txt") else contacts_in(text):
        yield Leak(path, contact.kind, contact.text)


def _text_of(path: str, content: bytes) -> str:
    """Return the language of a file, "" where it has none."""
    name = path.lower()
    if not name.endswith((*_MARKUP, *_DATA, ".js")):
        return ""
    text = content.decode("utf-8", "replace")
    if name.endswith(_MARKUP):
        return _text_of_markup(_STYLE.sub("\n", text))
    if name.endswith(".js"):
        return _APART.join(_text_of_string(*found.groups()) for found in _STRINGS.finditer(text))
    return _text_of_json(text) if name.endswith(".json") else text


def _text_of_markup(text: str) -> str:
    pieces = [_text_of_json(found[1]) for found in _DATA_IN_PAGE.finditer(text)]
    text = _DATA_IN_PAGE.sub("\n", text)
    for value in ("".join(found) for found in _VALUES.findall(text)):
        pieces.append(_plain(value) if "\\" in value else value)
        if _PERCENT.search(value):
            pieces.append(unquote(value))
    text = f" {text} "  # at its own ends nothing is torn
    windows = (
        _TORN.sub("", text[max(found.start() - _FAR, 0) : found.end() + _FAR])
        for found in _INLINE_RUN.finditer(text)
        if found.start() and text[found.start() - 1].isalpha()
    )
    pieces += [_TAG.sub("\n", _INLINE.sub("", one)) for one in dict.fromkeys(windows)]
    text = "\n".join([_TAG.sub("\n", text), *pieces])
    return html.unescape(text) if "&" in text else text


def _text_of_string(double: str | None, single: str | None) -> str:
    """Return what a string of a script says; of data in it, what the strings of the data say."""
    if double is None:
        return _plain(single or "")
    try:
        said = json.loads(double)
    except ValueError:  # escapes that only scripts know
        said = _plain(double)
    return _text_of_json(said) if said[:1] in ("{", "[") else str(said)


def _text_of_json(text: str) -> str:
    """Return all strings of data, keys too; what cannot be read as data, as it is written."""
    try:
        return _APART.join(_strings(json.loads(text)))
    except (ValueError, RecursionError):
        return _plain(text)


def _strings(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for one in value:
            yield from _strings(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            yield key
            yield from _strings(one)
    elif isinstance(value, int | float):
        yield str(value)  # a telephone number may be a number


def _plain(text: str) -> str:
    """Return a text without the escapes of JSON and scripts; an ended line parts words."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)) if found[1] else "\n", text)
