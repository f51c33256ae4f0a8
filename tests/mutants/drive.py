"""The reader under test, asked two things of a movetext: what is wrong, and what it says."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from outside.playing import FILE, play
from plybook.board import Line
from plybook.diagnostics import Diagnostic, Report
from plybook.text.source import read_text

__all__ = ["Reading", "read"]

_LIMIT: Final = 512 * 1024


@dataclass(frozen=True, slots=True)
class Reading:
    """What the reader made of a movetext: its faults in reading order, and its tree.

    The tree holds what a student would see: moves, where each branches off, NAGs, comments and
    the result. It is None, as `line` is, when the file was refused before any move was read.
    """

    faults: tuple[Diagnostic, ...]
    tree: Any
    line: Line | None


def read(text: str, *, fen: str, folder: Path) -> Reading:
    """Return the reading of a movetext that starts at `fen`; `folder` is for the file it makes.

    The text goes through a file, as a lesson does, so that the characters a file may not hold are
    refused where they are refused for a coach.
    """
    report = Report()
    path = folder / "line.md"
    path.write_text(text, encoding="utf-8", newline="")
    found = read_text(path, file=FILE, limit=_LIMIT, report=report)
    if found is None:
        return Reading(report.sorted(), None, None)
    line, faults = play(found, fen=fen, report=report)
    plies = tuple(
        (
            ply.parent,
            ply.san,
            ply.nags,
            tuple(comment.text for comment in ply.comments_before),
            tuple(comment.text for comment in ply.comments),
        )
        for ply in line.plies
    )
    return Reading(faults, (plies, line.result), line)
