"""Cutting the text of a PGN file into games, whatever is wrong inside one of them.

A game begins at a tag section after movetext, behind a result that stands outside comments and
variations, and where an empty line is followed by move one. A comment that is never closed ends at
the next line that begins with the tag Event, so that it cannot take other games with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from plybook.board.games_in.model import RawGame

__all__ = ["EVENT", "TAG", "split_games"]

#: A whole tag pair (PGN standard of 1994-03-12, section 8.1.1), wherever its line ends.
TAG: Final = re.compile(
    r'\s*\[\s*(?P<name>[A-Za-z0-9_][A-Za-z0-9_+#=:-]*)\s*"(?P<value>(?:[^"\\\n]|\\.)*)"\s*\]'
)
EVENT: Final = re.compile(r'^[ \t]*\[[ \t]*Event[ \t]*"', re.M)
_MARKS: Final = re.compile(
    r"""
      (?P<tag>^[ \t]*\[[ \t]*[A-Za-z0-9_][A-Za-z0-9_+\#=:-]*[ \t]*["“„])
    | (?P<comment>\{)
    | (?P<skipped>;[^\n]*|^%[^\n]*)
    | (?P<open>\() | (?P<close>\))
    | (?P<end>(?<![^\s)}.!?])(?:1-0|0-1|1/2-1/2|\*)(?=[\s\[{;]|\Z))
    | (?P<anew>(?<=\S)[ \t]*\n[ \t]*\n\s*+(?=1[ \t]*\.(?!\.)))
    """,
    re.M | re.X,
)
_SPACE: Final = re.compile(r"\s*")
_LINE_END: Final = re.compile(r"$", re.M)


class _Cutter:
    """Walks over one text and knows where the present game began."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.cuts: list[int] = []
        self.done = 0  # up to here the text is looked at
        self.depth = 0
        self.has_moves = False
        self.has_event = False
        self.is_over = False  # a result was seen, and only remarks may follow
        self.in_tags = False
        self._events = [found.start() for found in EVENT.finditer(text)]
        self._next_event = 0

    def cut(self, at: int) -> None:
        self.cuts.append(at)
        self.depth = 0
        self.has_moves = self.has_event = self.is_over = self.in_tags = False

    def look_at_gap(self, end: int) -> None:
        """Take note of the movetext before `end` that no mark stands for."""
        start = _SPACE.match(self.text, self.done)
        at = start.end() if start else self.done
        if at < end:
            if self.is_over:
                self.cut(at)
            self.in_tags = False
            self.has_moves = True
        self.done = max(self.done, end)

    def tag(self, found: re.Match[str]) -> int:
        name = found[0].strip(' \t["“„')
        is_event = name == "Event"
        if not self.in_tags or (is_event and self.has_event):
            if self.has_moves or self.has_event or self.is_over:
                self.cut(found.start())
            self.in_tags = True
        self.has_event = self.has_event or is_event
        whole = TAG.match(self.text, found.start())
        if whole is not None:
            return whole.end()
        rest = _LINE_END.search(self.text, found.end())
        return rest.start() if rest else len(self.text)

    def comment(self, start: int) -> int:
        """Return where the comment that begins here ends."""
        close = self.text.find("}", start)
        while self._next_event < len(self._events) and self._events[self._next_event] < start:
            self._next_event += 1
        if self._next_event < len(self._events):
            event = self._events[self._next_event]
            if close < 0 or event < close:
                return event
        return len(self.text) if close < 0 else close + 1


def split_games(text: str, *, first_line: int = 1) -> Iterator[RawGame]:
    """Yield the games of a text whose line ends are LF, in order; space and remarks go along.

    No character is lost: the games together are the text, less what stands before the first one
    when that is only space and escaped lines.
    """
    cutter = _Cutter(text)
    _walk(cutter)
    starts = [0, *cutter.cuts, len(text)]
    line = first_line
    for start, end in pairwise(starts):
        part = text[start:end]
        is_inside = start > 0 and text[start - 1] != "\n"  # of a line, where % hides nothing
        if not _is_empty(part, is_inside=is_inside):
            skipped = len(part) - len(part.lstrip())
            game = f" {part.strip()}" if is_inside else part.strip()
            yield RawGame(game, line + part.count("\n", 0, skipped))
        line += part.count("\n")


def _walk(cutter: _Cutter) -> None:
    text, search = cutter.text, _MARKS.search
    at = 0
    while (found := search(text, at)) is not None:
        kind = found.lastgroup
        cutter.look_at_gap(found.start())
        at = found.end()
        if kind == "tag":
            at = cutter.tag(found)
        elif kind == "comment":
            at = cutter.comment(found.start())
            cutter.in_tags = False
            cutter.has_moves = True
        elif kind == "open":
            cutter.depth += 1
        elif kind == "close":
            cutter.depth = max(cutter.depth - 1, 0)
        elif kind == "end" and cutter.depth == 0:
            cutter.has_moves = cutter.is_over = True
            cutter.in_tags = False
        elif kind == "anew" and cutter.has_moves:
            cutter.cut(found.end())
        cutter.done = max(cutter.done, at)
    cutter.look_at_gap(len(text.rstrip()))


def _is_empty(part: str, *, is_inside: bool) -> bool:
    """Return whether a part holds nothing but space, escaped lines and remarks to the line end."""
    first, *rest = part.split("\n")
    if first.strip() and not first.startswith(";" if is_inside else ("%", ";")):
        return False
    return all(not row.strip() or row[0] in "%;" for row in rest)
