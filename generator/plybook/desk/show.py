"""Diagnostics as text for a person: place, fault, the line with the fault marked, what to do."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from typing import Final

from plybook.diagnostics import Diagnostic, Severity

__all__ = ["Paint", "plain", "show"]

#: Colours a piece of text in a role: "error", "warning", "place", "quiet", "help".
Paint = Callable[[str, str], str]

_WIDTH: Final = 100


def plain(text: str, role: str) -> str:
    """Return the text without colour."""
    return text


def show(found: Diagnostic, sources: Mapping[str, str], *, paint: Paint = plain) -> str:
    """Return a diagnostic as lines of text, without a line end at the end."""
    span = found.span
    place = f"{span.file}:{span.line}:{span.column}:"
    kind = paint(f"{found.severity.value}[{found.code}]", found.severity.value)
    lines = [f"{paint(place, 'place')} {kind}: {found.message}"]
    lines += _excerpt(found, sources, paint)
    lines += [f"  note: {note}" for note in found.notes]
    lines += [f"  {paint('help:', 'help')} {advice}" for advice in found.help]
    return "\n".join(lines)


def _excerpt(found: Diagnostic, sources: Mapping[str, str], paint: Paint) -> list[str]:
    """Return the source line with carets under the fault; nothing when there is no such line."""
    span = found.span
    rows = sources.get(span.file, "").split("\n")
    if span.line > len(rows) or not rows[span.line - 1].strip():
        return []
    text = rows[span.line - 1]
    start = min(span.column - 1, len(text))
    end = span.end_column - 1 if span.end_line == span.line else len(text)
    text, start, end = _cut(text, start, max(end, start + 1))
    gutter = f"{span.line:>5}"
    role = "error" if found.severity is Severity.ERROR else "warning"
    carets = "^" * max(_columns(text[start:end]), 1)
    return [
        f"{paint(f'{gutter} |', 'quiet')} {text}",
        f"{paint(f'{chr(32) * len(gutter)} |', 'quiet')} "
        f"{' ' * _columns(text[:start])}{paint(carets, role)}",
    ]


def _cut(text: str, start: int, end: int) -> tuple[str, int, int]:
    """Return a window of a long line around the fault, and the fault's place in it."""
    text = text.replace("\t", " ").rstrip()
    if len(text) <= _WIDTH:
        return text, start, min(end, len(text) + 1)
    first = max(0, min(start - _WIDTH // 3, len(text) - _WIDTH))
    shown = text[first : first + _WIDTH]
    head = "…" if first else ""
    tail = "…" if first + _WIDTH < len(text) else ""
    shift = len(head) - first
    return head + shown + tail, start + shift, min(end + shift, len(head) + len(shown))


def _columns(text: str) -> int:
    """Return how many columns of a terminal a text takes."""
    return sum(
        0
        if unicodedata.combining(character)
        else 2
        if unicodedata.east_asian_width(character) in "WF"
        else 1
        for character in text
    )
