"""A look at everything that is to be published for what must not be: names, addresses, numbers.

Looked at is what a reader can come to see or hear, and what a machine reads: text and telling
attributes of pages and drawings, data, PGN, strings of scripts, names of files. Words of HTML
itself, style sheets and the dots of pictures are not language.
"""

from __future__ import annotations

import html
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from plybook.text.contacts import contacts_in
from plybook.text.people import People

__all__ = ["Leak", "leaks"]

_STYLE: Final = re.compile(r"<style>.*?</style>", re.DOTALL)
_TAG: Final = re.compile(r"<[^>]*>")
#: Attributes whose values are language, addresses, or made of words of the course.
_VALUES: Final = re.compile(
    r'\s(?:alt|title|aria-[a-z]+|content|href|src|id|value|placeholder|label|data-[a-z-]+)="([^"]*)"'
)
_STRINGS: Final = re.compile(r'"((?:[^"\\\n]|\\.)*)"')
_ESCAPED: Final = re.compile(r"\\u([0-9a-fA-F]{4})")
_MARKUP: Final = (".html", ".svg", ".xhtml", ".opf", ".ncx", ".xml")
_DATA: Final = (".json", ".pgn", ".txt")


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
    if name.endswith(_MARKUP):
        text = _STYLE.sub("\n", content.decode("utf-8", "replace"))
        text = "\n".join([_TAG.sub("\n", text), *_VALUES.findall(text)])
        text = html.unescape(text) if "&" in text else text
    elif name.endswith(_DATA):
        text = content.decode("utf-8", "replace")
    elif name.endswith(".js"):
        text = "\n".join(_STRINGS.findall(content.decode("utf-8", "replace")))
    else:
        return ""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "\\u" in text else text
