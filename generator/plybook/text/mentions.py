"""Numbered moves in running text: `4...g6`, `5.Nxe5!`, or a run `6.Bxf7+ Ke7 7.Nd5#`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from plybook.text.model import Step
from plybook.text.references import MOVE_DIGITS, SAN_LIKE

__all__ = ["Found", "find_mentions"]

_MOVE = re.compile(
    rf"(?<![\w.@/#])(?:([0-9]{{1,{MOVE_DIGITS}}})(\.\.\.|…|\.)[ \u00a0\u202f]?)?"
    rf"({SAN_LIKE})((?:[!?]{{1,2}})?)(?![\w=])"
)


@dataclass(frozen=True, slots=True)
class Found:
    """A move in a text, by 0-based offsets, end excluded."""

    step: Step
    start: int
    end: int
    optional: bool
    begins_run: bool


def find_mentions(text: str) -> Iterator[Found]:
    """Yield the numbered moves of `text` and the unnumbered replies that follow them at once."""
    if "." not in text and "…" not in text:
        return
    last: Found | None = None
    for found in _MOVE.finditer(text):
        follows = last is not None and text[last.end : found.start()].strip() == ""
        if found[1]:
            step = Step(number=int(found[1]), is_white=found[2] == ".", san=found[3])
            last = Found(step, found.start(), found.end(), False, not follows)
            yield last
        elif follows and last is not None and last.step.is_white and not last.optional:
            step = Step(number=last.step.number, is_white=False, san=found[3])
            last = Found(step, found.start(), found.end(), True, False)
            yield last
