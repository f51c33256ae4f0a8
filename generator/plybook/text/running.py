"""Running text: what of it is seen by a reader, and the way back from there to the file."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Sequence
from typing import Final

from markdown_it.token import Token

from plybook.diagnostics import Span
from plybook.text.source import Excerpt

__all__ = ["UNSEEN", "Running", "find_places", "past_unseen"]

_REFERENCE = re.compile(r"&#?\w+;")

#: Inline tokens whose source is no running text, though it may look like some.
UNSEEN: Final = frozenset({"code_inline", "softbreak", "hardbreak"})


def past_unseen(child: Token, text: str, cursor: int) -> int:
    """Return the offset in `text` behind a code span, a line end or a link's address.

    `cursor` is where the search for it begins.
    """
    if child.type == "code_inline":
        start = text.find(child.markup, cursor) + len(child.markup)
        return max(text.find(child.markup, start) + len(child.markup), cursor)
    if child.type == "link_close":
        end = text.find("]", cursor)
        is_inline = child.markup != "autolink" and text.startswith("](", end)
        return max(text.find(")", end) + 1, cursor) if is_inline else cursor
    return max(text.find("\n", cursor) + 1, cursor)


def find_places(text: str, source: str, cursor: int) -> Sequence[int]:
    """Return the offset in `source` of each character of `text`, and of its end.

    `source` is what the coach wrote and `cursor` where the search begins; `text` has lost the
    backslashes of its escapes and the spelling of its character references.
    """
    start = source.find(text, cursor)
    if start >= 0:
        return range(start, start + len(text) + 1)
    for start in range(cursor, len(source)):
        places = _walk(text, source, start)
        if places:
            return places
    return [min(cursor + at, len(source)) for at in range(len(text) + 1)]


def _walk(text: str, source: str, at: int) -> list[int]:
    """Return the places of `text` if it begins at `at`, else an empty list."""
    places = []
    for character in text:
        if source.startswith(f"\\{character}", at):
            at += 1
        places.append(at)
        reference = _REFERENCE.match(source, at)
        if reference and _stands_for(reference[0], character):
            at = reference.end()
        elif source.startswith(character, at):
            at += 1
        else:
            return []
    return [*places, at]


def _stands_for(reference: str, character: str) -> bool:
    """Return whether Markdown shows a character reference as `character`.

    A number that no character may have is shown as U+FFFD (CommonMark 0.31, section 2.5).
    """
    if character == "\ufffd" and reference.startswith("&#"):
        return True
    return html.unescape(reference) == character


class Running:
    """Running text whose way back to the file is worked out only when a span is wanted."""

    def __init__(self, text: str, find: Callable[[], Excerpt]) -> None:
        self.text = text
        self._find = find
        self._excerpt: Excerpt | None = None

    def span(self, start: int, end: int) -> Span:
        """Return the span of `text[start:end]`."""
        return self._whole().span(start, end)

    def part(self, start: int, end: int) -> Excerpt:
        """Return the excerpt of `text[start:end]`."""
        return self._whole().part(start, end)

    def _whole(self) -> Excerpt:
        if self._excerpt is None:
            self._excerpt = self._find()
        return self._excerpt
