"""The faults of a course as a slip on its pages: what is wrong, where, and what mends it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from plybook.diagnostics import Diagnostic, Severity, Span
from plybook.site.pages.edition import Edition

__all__ = ["Fault", "Row", "Slip", "faults_of", "slip_html"]

_WIDEST: Final = 120  # characters of a row that are shown
_MOST: Final = 40  # faults on one slip: who has more mends the first ones first

#: A text in pieces, those that stood between backquotes marked.
Pieces = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a file, the fault in it marked."""

    before: str
    marked: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A diagnostic as the slip shows it. `href` leads to the page of its file, "" for none."""

    file: str
    code: str
    severity: str
    place: str
    href: str
    step: str  # the address of the line that refutes a claim, "" without one
    line: int
    message: Pieces
    row: Row | None
    notes: tuple[Pieces, ...]
    help: tuple[Pieces, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """What the slip of one page shows."""

    title: str
    notice: str
    is_clean: bool
    is_open: bool
    faults: tuple[Fault, ...]
    more: str


def faults_of(
    found: Sequence[Diagnostic],
    sources: Mapping[str, str],
    pages: Mapping[str, str],
    refuted: Mapping[Span, str],
) -> tuple[Fault, ...]:
    """Return the diagnostics for the slip.

    `pages` are addresses by file, `refuted` the names of lines that refute a claim by its place.
    """
    return tuple(
        Fault(
            file=one.span.file,
            code=one.code,
            severity=one.severity.value,
            place=f"{one.span.file}:{one.span.line}:{one.span.column}",
            href=pages.get(one.span.file, ""),
            step=f"{pages[one.span.file]}#l-{refuted[one.span]}" if one.span in refuted else "",
            line=one.span.line,
            message=_pieces(one.message),
            row=_row(one, sources),
            notes=tuple(map(_pieces, one.notes)),
            help=tuple(map(_pieces, one.help)),
        )
        for one in found
    )


def slip_html(
    edition: Edition, faults: Sequence[Fault], *, file: str | None, is_draft: bool, is_old: bool
) -> str:
    """Return the slip for the page of a file, "" where there is nothing to say.

    The faults of that file come first. `is_old` says that the page is that of an earlier state.
    """
    errors = sum(fault.severity == Severity.ERROR.value for fault in faults)
    words = edition.words()
    notices = []
    if is_old:
        notices.append(words.say("The page shows the last state without a fault."))
    if is_draft:
        notices.append(words.say("A draft: pupils do not see this lesson."))
    if not faults and not notices:
        return ""
    if errors:
        title = words.count("{number} fault", "{number} faults", errors)
    elif faults:
        title = words.count("{number} remark", "{number} remarks", len(faults))
    else:
        title = words.say("No fault")
    ranked = sorted(faults, key=lambda fault: (fault.file != file, fault.severity != "error"))
    hidden = len(ranked) - _MOST
    slip = Slip(
        title=title,
        notice=" ".join(notices),
        is_clean=not errors,
        is_open=bool(errors),
        faults=tuple(ranked[:_MOST]),
        more=words.count("and {number} more", "and {number} more", hidden) if hidden > 0 else "",
    )
    return edition.document("slip.html", slip=slip)


def _pieces(text: str) -> Pieces:
    """Return a message divided at its backquotes; one without a partner is a sign like another."""
    parts = text.split("`")
    if len(parts) % 2 == 0:
        parts[-2:] = ["`".join(parts[-2:])]
    return tuple((part, at % 2 == 1) for at, part in enumerate(parts) if part)


def _row(found: Diagnostic, sources: Mapping[str, str]) -> Row | None:
    span = found.span
    rows = sources.get(span.file, "").split("\n")
    if span.line > len(rows) or not rows[span.line - 1].strip():
        return None
    text = rows[span.line - 1].replace("\t", " ")
    start = min(span.column - 1, len(text))
    end = span.end_column - 1 if span.end_line == span.line else len(text)
    end = max(min(end, len(text)), start)
    first = max(0, start - _WIDEST // 3)
    last = min(len(text), first + _WIDEST)
    end = min(end, last)
    return Row(
        before=("…" if first else "") + text[first:start],
        marked=text[start:end] or " ",
        after=text[end:last] + ("…" if last < len(text) else ""),
    )
