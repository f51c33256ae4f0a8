"""Cutting the text of a PGN file into games, whatever is wrong inside one of them.

A game begins at a tag section after movetext; behind a result that stands outside comments and
variations, where an empty line or move one follows; and where an empty line is followed by move
one. A comment that is never closed ends at the next line that begins with the tag Event, so that it
cannot take other games with it.

The text may come in parts: what is cut does not depend on where the parts end.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from plybook.board.games_in.model import MOST_CHARACTERS, RawGame

__all__ = ["TAG", "Splitter", "split_games"]

#: A whole tag pair (PGN standard of 1994-03-12, section 8.1.1), wherever its line ends.
TAG: Final = re.compile(
    r'\s*\[\s*(?P<name>[A-Za-z0-9_][A-Za-z0-9_+#=:-]*)\s*"(?P<value>(?:[^"\\\n]|\\.)*)"\s*\]'
)
_EVENT: Final = re.compile(r'^[ \t]*\[[ \t]*Event[ \t]*"', re.M)
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
_MOVE_ONE: Final = re.compile(r"1[ \t]*\.(?!\.)|1[ \t]+(?=[a-hN])")
_EMPTY_ROW: Final = re.compile(r"\n[ \t]*\n")
#: The last line of a text when a tag begins in it that may end in a later line.
_HALF_TAG: Final = re.compile(r'^[ \t]*\[[^\n]*"[ \t]*\Z', re.M)
_LONG_LINE: Final = 1 << 20  # a line is waited for until it is longer than this
_LONGEST_WORD: Final = 64  # of the words that cut games
_HEAD: Final = 1000  # characters that are kept of a game that is too long


class Splitter:
    """Takes the text of a file part by part, with LF line ends, and gives the games that ended.

    It holds no more than one part, one long line, and as much of one game as may be read.
    """

    def __init__(self, *, first_line: int = 1) -> None:
        self._text = ""  # what is still needed, with one character before it
        self._start = 0  # of the present game in the text
        self._line = first_line  # of that start
        self._is_inside = False  # the present game begins inside a line, where % hides nothing
        self._head = ""  # of the present game, when it is too long and later text was dropped
        self._lines_dropped = 0
        self._done = 0  # up to here the text is looked at
        self._games: list[RawGame] = []
        self._depth = 0
        self._has_moves = False
        self._has_event = False
        self._is_over = False  # a result was seen, and only remarks may follow
        self._in_tags = False
        self._in_comment = False
        self._in_row = False  # of a remark to the line end, or of a hidden line
        self._events: list[int] = []
        self._next_event = 0

    def take(self, text: str, *, is_last: bool = False) -> list[RawGame]:
        """Return the games that end in a further part of the text."""
        self._text += text
        end = len(self._text.rstrip()) if is_last else self._settled()
        if end > self._done:
            self._walk(end)
        if is_last:
            self._cut(len(self._text))
        self._skip_blank()
        self._drop()
        games, self._games = self._games, []
        return games

    def _settled(self) -> int:
        """Return up to where the meaning of the text cannot change by what follows."""
        text, done = self._text, self._done
        line = text.rfind("\n", done)
        if len(text) - max(line, done) > _LONG_LINE:
            room = len(text) - _LONGEST_WORD
            end = max(text.rfind(" ", done, room), text.rfind("\t", done, room))
            return end if end > max(line, done) else room
        if line < 0:
            return done
        end = len(text[done:line].rstrip()) + done
        half = _HALF_TAG.search(text, max(text.rfind("\n", 0, end), 0), end)
        if half is None or half.start() < done:
            return end if half is None else done
        return len(text[done : half.start()].rstrip()) + done

    # ------------------------------------------------------------------ cutting

    def _cut(self, at: int) -> None:
        """End the present game before `at`, and begin the next one there."""
        text, start = self._text, self._start
        part = self._head + text[start:at]
        if self._head or not _is_empty(part, is_inside=self._is_inside):
            blank = len(part) - len(part.lstrip())
            game = f" {part.strip()}" if self._is_inside else part.strip()
            line = self._line + part.count("\n", 0, blank)
            self._games.append(RawGame(game, line, is_cut=bool(self._head)))
        self._line += part.count("\n") + self._lines_dropped
        self._head, self._lines_dropped = "", 0
        self._start = at
        self._is_inside = at > 0 and text[at - 1] != "\n"
        self._depth = 0
        self._has_moves = self._has_event = self._is_over = self._in_tags = False

    def _skip_blank(self) -> None:
        """Begin the present game at its first line that holds anything."""
        text, start = self._text, self._start
        first = len(text) - len(text[start:].lstrip())
        line = text.rfind("\n", start, first)
        if not self._head and line >= 0:
            self._line += text.count("\n", start, line + 1)
            self._start, self._is_inside = line + 1, False
            self._done = max(self._done, line + 1)

    def _drop(self) -> None:
        """Forget the text that is no longer needed: of a game that is too long, all but a head.

        One character before what is kept stays, since a mark may depend on it. Space between
        words that is longer than any line shrinks to one empty row.
        """
        text, done = self._text, self._done
        part = text[self._start : done]
        if len(part) > MOST_CHARACTERS or (self._head and part):
            if self._head or not _is_empty(part, is_inside=self._is_inside):
                head = part[:_HEAD] if not self._head else ""
                self._head += head
                self._lines_dropped += part.count("\n") - head.count("\n")
            else:
                self._line += part.count("\n")
            self._start = done
        rows = text.count("\n", done)
        if len(text) - done > _LONG_LINE and rows > 1 and text[done:].isspace():
            text = f"{text[:done]}\n\n"
            self._lines_dropped += rows - 2
        keep = max(min(self._start, done) - 1, 0)
        self._text = text[keep:]
        self._start -= keep
        self._done -= keep

    # ------------------------------------------------------------------ looking

    def _walk(self, end: int) -> None:
        text, search = self._text, _MARKS.search
        self._events = [found.start() for found in _EVENT.finditer(text, self._done, end)]
        self._next_event = 0
        at = self._resumed(end)
        while (found := search(text, at, end)) is not None:
            kind = found.lastgroup
            self._look_at_gap(found.start())
            at = found.end()
            if kind == "tag":
                at = self._tag(found, end)
            elif kind == "comment":
                self._in_tags = False
                self._has_moves = True
                at = self._comment(found.start(), end)
            elif kind == "skipped":
                self._in_row = at == end
            elif kind == "open":
                self._depth += 1
            elif kind == "close":
                self._depth = max(self._depth - 1, 0)
            elif kind == "end" and self._depth == 0:
                self._has_moves = self._is_over = True
                self._in_tags = False
            elif kind == "anew" and self._has_moves:
                self._cut(found.end())
            self._done = max(self._done, at)
        self._look_at_gap(end)

    def _resumed(self, end: int) -> int:
        """Return where marks are looked for: behind a remark that an earlier part left open."""
        at = self._done
        if self._in_row:
            line = self._text.find("\n", at, end)
            self._in_row = line < 0
            at = end if line < 0 else line
        elif self._in_comment:
            at = self._comment(at, end)
        self._done = at
        return at

    def _look_at_gap(self, end: int) -> None:
        """Take note of the movetext before `end` that no mark stands for."""
        text, done = self._text, self._done
        space = _SPACE.match(text, done)
        at = space.end() if space else done
        if at < end:
            if self._is_over and (_MOVE_ONE.match(text, at) or _EMPTY_ROW.search(text, done, at)):
                self._cut(at)
            self._in_tags = self._is_over = False  # moves behind a result are the reader's to tell
            self._has_moves = True
        self._done = max(done, end)

    def _tag(self, found: re.Match[str], end: int) -> int:
        name = found[0].strip(' \t["“„')
        is_event = name == "Event"
        if not self._in_tags or (is_event and self._has_event):
            if self._has_moves or self._has_event or self._is_over:
                self._cut(found.start())
            self._in_tags = True
        self._has_event = self._has_event or is_event
        whole = TAG.match(self._text, found.start(), end)
        if whole is not None:
            return whole.end()
        rest = self._text.find("\n", found.end(), end)
        self._in_row = rest < 0
        return end if rest < 0 else rest

    def _comment(self, start: int, end: int) -> int:
        """Return where the comment that begins here, or goes on here, ends."""
        close = self._text.find("}", start, end)
        while self._next_event < len(self._events) and self._events[self._next_event] < start:
            self._next_event += 1
        self._in_comment = False
        if self._next_event < len(self._events):
            event = self._events[self._next_event]
            if close < 0 or event < close:
                return event
        self._in_comment = close < 0
        return end if close < 0 else close + 1


def split_games(text: str, *, first_line: int = 1) -> Iterator[RawGame]:
    """Yield the games of a text whose line ends are LF, in order; space and remarks go along.

    No character is lost: the games together are the text, less what stands before the first one
    when that is only space and escaped lines. Of a game that is too long to be read only the
    beginning is given.
    """
    yield from Splitter(first_line=first_line).take(text, is_last=True)


def _is_empty(part: str, *, is_inside: bool) -> bool:
    """Return whether a part holds nothing but space, escaped lines and remarks to the line end."""
    first, *rest = part.split("\n")
    if first.strip() and not first.startswith(";" if is_inside else ("%", ";")):
        return False
    return all(not row.strip() or row[0] in "%;" for row in rest)
