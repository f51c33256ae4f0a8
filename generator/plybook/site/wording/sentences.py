"""Running text cut into sentences, and put together into passages for a wall.

A cut is made between sentences of plain text alone: inside bold, italics or a link there is none.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

from plybook.text.model import Prose

__all__ = ["length_of", "part_of", "passages_of", "tables_of", "without_notes"]

#: A sentence ends with one of these, perhaps in a quotation, and the next begins with a capital, a
#: figure or a sign that opens.
_END = re.compile(r"[.!?…][\"'”’»)]?(\s+)(?=[^\W_a-zà-ÿ]|[\"'“‘«(])")
_ENDED = re.compile(r"[.!?…][\"'”’»)]?$")
_STOPPED = re.compile(r"[.!?…][\"'”’»)]?\s+$")
_ASKED = re.compile(r"\?[\"'”’»)]?$")
_BEGINS = re.compile(r"\s+(?=[^\W_a-zà-ÿ]|[\"'“‘«(])")
_LABEL: Final = 2  # words, all bold: "**Goal.**" is no sentence of its own
_ROWS: Final = 5  # of a table at once
_TABLE: Final = 120  # characters of its rows at once, for they stand in narrow columns
_MOST: Final = 240  # characters that are shown at once


def part_of(prose: Prose, tokens: Sequence[Any]) -> Prose:
    """Return some tokens of a page's prose as prose of its own."""
    return replace(prose, tokens=tuple(tokens))


def length_of(tokens: Sequence[Any]) -> int:
    """Return how many characters of text some tokens hold."""
    return sum(length_of(token.children or ()) + len(token.content) for token in tokens)


def passages_of(token: Any) -> tuple[Any, ...]:
    """Return an `inline` token as passages, tokens of the same kind: all its text but the notes.

    Sentences come together as long as they are short. A question ends its passage, for what
    follows may answer it.
    """
    found: list[list[Any]] = []
    for sentence in _joined(list(_sentences(token.children or ()))):
        is_open = found and (_asks(sentence) or not _asks(found[-1]))
        if is_open and length_of(found[-1]) + length_of(sentence) < _MOST:
            found[-1] = [*found[-1], *sentence]
        else:
            found.append(sentence)
    return tuple(_with_children(token, children) for children in found)


def tables_of(tokens: Sequence[Any]) -> tuple[tuple[Any, ...], ...]:
    """Return a table as tables of a few rows each, every one with the heads of the columns.

    `tokens` go from `table_open` to `table_close`.
    """
    starts = [at for at, token in enumerate(tokens) if token.type == "tr_open"][1:]
    if not starts:
        return (tuple(tokens),)
    head, foot = tokens[: starts[0]], [one for one in tokens[-2:] if one.nesting < 0]
    end = len(tokens) - len(foot)
    rows = [tokens[a:b] for a, b in pairwise([*starts, end])]
    found: list[list[Any]] = []
    count = 0  # of the rows in the last table
    for row in rows:
        if found and count < _ROWS and length_of(found[-1]) + length_of(row) < _TABLE:
            found[-1] += row
            count += 1
        else:
            found.append([*row])
            count = 1
    return tuple((*head, *body, *foot) for body in found)


def without_notes(token: Any) -> Any:
    """Return an `inline` token without the signs of footnotes."""
    children = token.children or ()
    return _with_children(token, [child for child in children if child.type != "footnote_ref"])


def _with_children(token: Any, children: list[Any]) -> Any:
    """Return a copy of an inline token; tokens of a draft are never changed."""
    part = copy.copy(token)
    part.children = children
    part.content = ""
    return part


def _sentences(children: Sequence[Any]) -> Iterator[list[Any]]:
    """Yield the children sentence by sentence; signs of footnotes are left out."""
    current: list[Any] = []
    depth = 0
    has_ended = False  # what was read last ends a sentence
    for child in children:
        if child.type == "footnote_ref":
            continue
        depth += child.nesting
        if child.type != "text" or depth:
            current.append(child)
            if child.content:
                # A move may end with `!` in the middle of a sentence.
                has_ended = child.type == "text" and bool(_ENDED.search(child.content))
            continue
        content = child.content
        if has_ended and current and _BEGINS.match(content):
            yield [*current, _text(child, " ")]
            current = []
            content = content.lstrip()
        *whole, rest = _cut(content)
        for text in whole:
            yield [*current, _text(child, f"{text} ")]
            current = []
        if rest:
            current.append(_text(child, rest))
        if _STOPPED.search(rest):  # what follows is bold, a link or a move, and begins anew
            yield current
            current = []
        has_ended = bool(_ENDED.search(rest))
    if current:
        yield current


def _cut(text: str) -> list[str]:
    """Return the sentences of a text, the last one with no end perhaps, possibly empty."""
    pieces, start = [], 0
    for end in _END.finditer(text):
        pieces.append(text[start : end.start(1)])
        start = end.end()
    return [*pieces, text[start:]]


def _text(token: Any, content: str) -> Any:
    part = copy.copy(token)
    part.content = content
    return part


def _joined(sentences: list[list[Any]]) -> list[list[Any]]:
    """Return the sentences, a mere label with the one that it stands before."""
    found: list[list[Any]] = []
    label: list[Any] = []
    for sentence in sentences:
        if _is_label(sentence):
            label = [*label, *sentence]
        else:
            found.append([*label, *sentence])
            label = []
    if label:
        found.append(label)
    return found


def _asks(sentence: Sequence[Any]) -> bool:
    """Return whether a sentence ends as a question; a `?` behind a move is the move's."""
    last = next((token for token in reversed(sentence) if token.content.strip()), None)
    return last is not None and last.type == "text" and bool(_ASKED.search(last.content.strip()))


def _is_label(sentence: Sequence[Any]) -> bool:
    words = [token for token in sentence if token.type != "text" or token.content.strip()]
    if not words:
        return False
    is_bold = words[0].type == "strong_open" and words[-1].type == "strong_close"
    return is_bold and sum(len(token.content.split()) for token in words) <= _LABEL
