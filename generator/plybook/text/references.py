"""References to positions: `[lesson/]line@place`."""

from __future__ import annotations

import re
from typing import Final

from plybook.diagnostics import Report, Span, shown
from plybook.text.addresses import is_external
from plybook.text.model import Reference, Step

__all__ = ["MOVE_DIGITS", "NAME", "SAN_LIKE", "looks_like_reference", "read_reference", "read_step"]

NAME: Final = r"[a-z0-9](?:[a-z0-9-]{0,78}[a-z0-9])?"
#: Digits of a move number wherever one is read: no game comes near move 1,000, a year does.
MOVE_DIGITS: Final = 3
#: The shape of a move in standard algebraic notation (PGN standard, section 8.2.3).
SAN_LIKE: Final = (
    r"(?:[KQRBN][a-h]?[1-8]?x?[a-h][1-8]|(?:[a-h]x)?[a-h][1-8](?:=[QRBN])?|O-O(?:-O)?)[+#]?"
)
#: How a position of its own comes to be named.
_OF_ITS_OWN: Final = (
    "make a `moves` block for it with the line `from: fen …` and no moves",
    "then write its name here: the block `moves problem` is `problem@start`",
)
_STEP = re.compile(rf"([0-9]{{1,{MOVE_DIGITS}}})(\.\.\.|\.) ?({SAN_LIKE})(?:[!?]{{1,2}})?")
_REFERENCE = re.compile(rf"(?:({NAME})/)?({NAME})@(.+)")


def looks_like_reference(text: str) -> bool:
    """Return whether a link target means a position rather than an address."""
    return "@" in text and not is_external(text) and ".md" not in text


def read_step(text: str) -> Step | None:
    """Return the step written in `text` (`4...g6`), or None when it is no numbered move."""
    found = _STEP.fullmatch(text)
    if not found:
        return None
    return Step(number=int(found[1]), is_white=found[2] == ".", san=found[3])


def read_reference(text: str, *, span: Span, report: Report) -> Reference | None:
    """Return the reference written in `text`, or None after a report."""
    found = _REFERENCE.fullmatch(text.strip())
    if not found:
        is_fen = text.lower().startswith("fen ") or text.count("/") == 7
        report.add(
            "bad-reference",
            span,
            f"`{shown(text)}` is not a reference to a position",
            help=_OF_ITS_OWN
            if is_fen
            else "write line@start, line@end or line@4...g6 (line is the name of a moves block)",
        )
        return None
    lesson, line, place = found.groups()
    if place in {"start", "end"}:
        return Reference(lesson=lesson, line=line, edge=place, span=span)
    steps = []
    for piece in place.split(">"):
        step = read_step(piece.strip())
        if step is None:
            report.add(
                "bad-reference",
                span,
                f"`{shown(piece.strip())}` is not a numbered move",
                help="write the number with one full stop for White, three for Black: `4...g6`",
            )
            return None
        steps.append(step)
    return Reference(lesson=lesson, line=line, edge=None, steps=tuple(steps), span=span)
