"""Movetext as HTML: the flowing main line, lettered sidelines, remarks, and moves in prose.

A move of a line is a link to itself, with the fragment of its place as its id; the order of the
links is the order of the plies. A move in prose links to such a place.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Final

from markupsafe import Markup, escape

from plybook.board.model import Line, Ply
from plybook.site.wording.letters import move_html, move_text
from plybook.site.wording.tree import sideline_letters, walk
from plybook.site.wording.words import Words
from plybook.text.mentions import find_mentions
from plybook.text.model import Comment
from plybook.text.references import SAN_LIKE

__all__ = [
    "GLYPHS",
    "line_html",
    "move_link",
    "move_sign",
    "moves_in_letters",
    "plain_line_html",
    "replies_html",
    "text_html",
    "written_html",
]

#: The signs of the six suffixes (PGN standard, section 8.2.3.8) by their glyph numbers.
GLYPHS: Final = {1: "!", 2: "?", 3: "!!", 4: "??", 5: "!?", 6: "?!"}
_NARROW_SPACE: Final = "&#8239;"
_MOVE = re.compile(rf"(?<!\w){SAN_LIKE}(?!\w)")
_WRITTEN = re.compile(r"(?:([0-9]+)(\.\.\.|…|\.)\s*)?([^!?]+)([!?]*)")


def move_sign(ply: Ply, letters: str, *, has_number: bool = True) -> str:
    """Return a move as HTML: number if wanted, figurine, move, suffix sign."""
    number = ""
    if ply.mover == "white":
        number = f"{ply.number}.{_NARROW_SPACE}"
    elif has_number:
        number = f"{ply.number}…"
    suffix = ""
    for nag in ply.nags:
        suffix += GLYPHS.get(nag, "")
    return f"{number}{move_html(ply.san, letters)}{suffix}"


def move_link(ply: Ply, href: str, *, letters: str) -> Markup:
    """Return a move that stands in prose as a control for its place."""
    kind = "m s" if ply.depth else "m"
    sign = move_sign(ply, letters)
    return Markup(f'<a class="{kind}" href="{escape(href)}">{sign}</a>')


def written_html(text: str, letters: str) -> str:
    """Return a move as the coach wrote it, set like the others: `4...g6?` becomes `4…g6?`."""
    found = _WRITTEN.fullmatch(text)
    if not found:
        return str(escape(text))
    number, dots, san, suffix = found.groups()
    before = ""
    if number:
        before = f"{number}.{_NARROW_SPACE}" if dots == "." else f"{number}…"
    return f"{before}{move_html(san.strip(), letters)}{suffix}"


def text_html(text: str, letters: str) -> Markup:
    """Return a line of plain text with the numbered moves in it set as moves."""
    parts: list[str] = []
    done = 0
    for found in find_mentions(text):
        parts.append(str(escape(text[done : found.start])))
        parts.append(written_html(text[found.start : found.end], letters))
        done = found.end
    parts.append(str(escape(text[done:])))
    return Markup("".join(parts))


def moves_in_letters(text: str, letters: str) -> str:
    """Return a plain text with the numbered moves in it in a set of letters."""
    parts: list[str] = []
    done = 0
    for found in find_mentions(text):
        parts += (text[done : found.start], move_text(text[found.start : found.end], letters))
        done = found.end
    return "".join([*parts, text[done:]])


def replies_html(text: str, letters: str) -> str:
    """Return a part of a claim as HTML, with the moves that have no number set as moves."""
    return _MOVE.sub(lambda found: move_html(found[0], letters), str(escape(text)))


def line_html(
    line: Line,
    fragments: Sequence[str],
    *,
    letters: str,
    words: Words,
    remark: Callable[[Comment], str],
) -> Markup:
    """Return the moves of a line: paragraphs of the main line, and sidelines between them.

    `fragments` are those of the line's places; `remark` returns the HTML of a comment.
    """
    writer = _Writer(letters, words, remark, fragments)
    return Markup(writer.write(line, sideline_letters(line)))


def plain_line_html(
    line: Line, *, letters: str, words: Words, remark: Callable[[Comment], str]
) -> Markup:
    """Return the moves of a line that has no places on the page, such as an answer."""
    writer = _Writer(letters, words, remark, None)
    return Markup(writer.write_plainly(line))


class _Writer:
    """Writes one line from left to right."""

    def __init__(
        self,
        letters: str,
        words: Words,
        remark: Callable[[Comment], str],
        fragments: Sequence[str] | None,
    ) -> None:
        self._letters = letters
        self._words = words
        self._remark = remark
        self._fragments = fragments
        self._parts: list[str] = []
        self._needs_number = True

    def write(self, line: Line, sidelines: Mapping[int, str]) -> str:
        parts = self._parts
        depth = 0
        is_open = False  # a paragraph of the main line
        for closes, begins, ply in walk(line):
            if closes:
                self._close(_closing(closes, depth))
            if begins:
                if ply.depth == 1:
                    if is_open:
                        self._close("</p>\n")
                    parts.append(self._sideline_opening(sidelines[ply.index]))
                    is_open = False
                else:
                    parts.append('<span class="sub">(')
            elif ply.depth == 0 and not is_open:
                parts.append('<p class="mv">')
                is_open = True
            self._needs_number = self._needs_number or bool(closes or begins)
            self._write_ply(ply)
            depth = ply.depth
        if depth:
            self._close(_closing(depth, depth))
        elif is_open:
            self._close("</p>\n")
        return "".join(parts)

    def write_plainly(self, line: Line) -> str:
        """Return all moves as running text, variations in brackets."""
        depth = 0
        for closes, begins, ply in walk(line):
            if closes:
                self._close(")</span>" * closes + " ")
            if begins:
                self._parts.append('<span class="sub">(')
            self._needs_number = self._needs_number or bool(closes or begins)
            self._write_ply(ply)
            depth = ply.depth
        self._close(")</span>" * depth)
        return "".join(self._parts)

    def _close(self, end: str) -> None:
        """End a run of moves; the space behind its last part goes."""
        if self._parts:
            self._parts[-1] = self._parts[-1].rstrip(" ")
        self._parts.append(end)

    def _sideline_opening(self, letter: str) -> str:
        label = escape(self._words.sideline.format(letter=letter))
        return (
            f'<aside class="side" role="note" data-letter="{letter}" aria-label="{label}">'
            f'<span class="tag" aria-hidden="true">{letter}</span><p>'
        )

    def _write_ply(self, ply: Ply) -> None:
        parts = self._parts
        for comment in ply.comments_before:
            parts.append(f'<span class="c">{self._remark(comment)}</span> ')
            self._needs_number = True
        sign = move_sign(ply, self._letters, has_number=self._needs_number)
        if self._fragments is None:
            parts.append(f'<span class="mt">{sign}</span> ')
        else:
            fragment = self._fragments[ply.index]
            kind = "m s" if ply.depth else "m"
            parts.append(f'<a class="{kind}" id="{fragment}" href="#{fragment}">{sign}</a> ')
        self._needs_number = False
        for nag in ply.nags:
            if nag and nag not in GLYPHS:
                parts.append(f'<span class="n">{escape(self._words.nag(nag))}</span> ')
                self._needs_number = True
        for comment in ply.comments:
            parts.append(f'<span class="c">{self._remark(comment)}</span> ')
            self._needs_number = True


def _closing(count: int, depth: int) -> str:
    """Return the end of `count` variations, the innermost at `depth`; at depth 1 is an aside."""
    if count < depth:
        return ")</span>" * count + " "
    return ")</span>" * (depth - 1) + "</p></aside>\n"
