"""positions.lock: one line a `moves` block, so that a slip into another legal line is seen.

A line reads `lesson/line digest moves`: the digest covers every position of the block, the moves
are there to say what changed.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Iterable, Mapping
from functools import partial
from typing import Final

from plybook.board import START, Line
from plybook.diagnostics import Report, Span, shown
from plybook.kept import Kept
from plybook.text import LOCK_FILE

__all__ = ["compare_lock", "lock_text"]

_HEAD: Final = "# plybook positions 1\n"
_ROW = re.compile(r"([a-z0-9-]+/[a-z0-9-]+) ([0-9a-f]{32}) (.+)")
_CONTEXT: Final = 3  # moves shown on either side of the first difference


def lock_text(
    lines: Mapping[str, Iterable[Line]],
    *,
    broken: Collection[tuple[str, str]] = (),
    unread: Collection[str] = (),
    kept: str | None = None,
) -> str:
    """Return the text of a lock for the lines of each lesson.

    A line that could not be played to its end, or not at all (`broken`: lesson and name), keeps
    its row of the lock `kept`, if it has one; so do the lines of lessons that are `unread`.
    """
    old = dict(_rows(kept)) if kept else {}
    rows = [
        f"{ident} {digest} {moves}\n"
        for ident, (digest, moves, _) in old.items()
        if _is_unknown(ident, broken, unread)
    ]
    for slug, played in lines.items():
        for line in played:
            ident = f"{slug}/{line.name}"
            if line.is_whole:
                rows.append(f"{ident} {_digest(line)} {_moves(line)}\n")
            elif ident in old:
                rows.append(f"{ident} {old[ident][0]} {old[ident][1]}\n")
    return _HEAD + "".join(sorted(rows))


def compare_lock(
    lock: str,
    lines: Mapping[str, Iterable[Line]],
    *,
    broken: Collection[tuple[str, str]] = (),
    unread: Collection[str] = (),
    report: Report,
    kept: Kept | None = None,
) -> None:
    """Report every line whose positions differ from the lock, and rows that fit no line.

    `broken` are the lines that could not be played at all, `unread` the lessons that could not be
    read: nothing is said of them. A lock with an unreadable line is not compared.
    """
    kept = kept or Kept()
    if not _has_fair_form(lock, report):
        return
    rows = kept.take("lock", "", (lock,), lambda _: tuple(_rows(lock)), report=report)
    old = {ident: row for ident, row in rows if not _is_unknown(ident, broken, unread)}
    kept.only("digest", {(slug, line.name) for slug, played in lines.items() for line in played})
    for slug, played in lines.items():
        for line in played:
            row = old.pop(f"{slug}/{line.name}", None)
            if not line.is_whole:
                continue
            if row is None:
                report.add(
                    "positions-not-locked",
                    line.span,
                    f"`{line.name}` is not in {LOCK_FILE} yet",
                    help="look at the line once more, then run `plybook check --accept`",
                )
            elif row[0] != kept.take(
                "digest", (slug, line.name), (line,), partial(_digest, line), report=report
            ):
                _report_change(line, row[1], report)
    for ident, row in old.items():
        report.add(
            "positions-unused",
            Span(LOCK_FILE, int(row[2]), 1, int(row[2]), len(ident) + 1),
            f"`{shown(ident)}` is not in the course any more",
            help="run `plybook check --accept` to drop it",
        )


def _rows(lock: str) -> Iterable[tuple[str, tuple[str, str, str]]]:
    """Yield the rows of a lock: name, then digest, moves and line number."""
    for number, text in enumerate(lock.split("\n"), start=1):
        found = _ROW.fullmatch(text)
        if found:
            yield found[1], (found[2], found[3], str(number))


def _is_unknown(ident: str, broken: Collection[tuple[str, str]], unread: Collection[str]) -> bool:
    """Return whether nothing can be said of the line of a row, because it was not played."""
    slug, _, name = ident.partition("/")
    return slug in unread or (slug, name) in broken


def _has_fair_form(lock: str, report: Report) -> bool:
    """Report the first line that cannot be read; return whether there was none."""
    bad = [
        (number, text)
        for number, text in enumerate(lock.split("\n"), start=1)
        if text and not text.startswith("#") and not _ROW.fullmatch(text)
    ]
    if not bad:
        return True
    number, text = bad[0]
    more = f", and {len(bad) - 1} more" if len(bad) > 1 else ""
    report.add(
        "bad-lock",
        Span(LOCK_FILE, number, 1, number, len(text) + 1),
        f"line {number} of {LOCK_FILE} cannot be read{more}",
        notes=(
            "the file is written by `plybook check --accept`",
            "no line was compared with it",
        ),
        help="undo the edit; or delete the file and accept the positions anew",
    )
    return False


def _digest(line: Line, _: Report | None = None) -> str:
    """Return a digest of every position of a line and of how they hang together."""
    digest = hashlib.blake2b(line.start.key, digest_size=16)
    for ply in line.plies:
        digest.update(ply.parent.to_bytes(4, "little"))
        digest.update(ply.key)
    return digest.hexdigest()


def _moves(line: Line) -> str:
    """Return the moves without numbers, variations in brackets, after a FEN where one is needed."""
    words = [] if line.start.key == START.key else [f"[{line.start.fen}]"]
    depth = 0
    for ply in line.plies:
        while depth > ply.depth or (depth == ply.depth and _begins_anew(line, ply.index)):
            words[-1] += ")"
            depth -= 1
        if ply.depth > depth:
            words.append(f"({ply.san}")
            depth = ply.depth
        else:
            words.append(ply.san)
    return " ".join(words) + ")" * depth if words else "-"


def _begins_anew(line: Line, place: int) -> bool:
    """Return whether the ply at `place` begins a variation beside the one just written."""
    ply = line.plies[place - 1]
    return ply.depth > 0 and place > 1 and ply.parent != place - 1 and _is_first(line, place)


def _is_first(line: Line, place: int) -> bool:
    ply = line.plies[place - 1]
    return ply.parent == 0 or line.plies[ply.parent - 1].depth < ply.depth


def _report_change(line: Line, old: str, report: Report) -> None:
    before, after = old.split(), _moves(line).split()
    at = next(
        (at for at, (one, two) in enumerate(zip(before, after, strict=False)) if one != two),
        min(len(before), len(after)),
    )
    report.add(
        "positions-changed",
        line.span,
        f"`{line.name}` reaches other positions than {LOCK_FILE} says",
        notes=(f"before: {_around(before, at)}", f"after:  {_around(after, at)}"),
        help="if the change is meant, run `plybook check --accept`; if not, undo it",
    )


def _around(words: list[str], at: int) -> str:
    """Return a few moves around the first difference."""
    first, last = max(at - _CONTEXT, 0), at + _CONTEXT + 1
    shown = " ".join(words[first:last]) or "(nothing)"
    return ("… " if first else "") + shown + (" …" if last < len(words) else "")
