"""The report of `check` as JSON, version 1. Lines and columns are 1-based, the end is excluded."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from plybook.diagnostics import Diagnostic, Report
from plybook.text.model import ExerciseDraft

if TYPE_CHECKING:  # `plybook --help` need not load the course
    from plybook.board import Opinion
    from plybook.course import Course

__all__ = ["as_json"]


def as_json(report: Report, course: Course | None) -> str:
    """Return the report as a JSON text with a line end."""
    document = {
        "version": 1,
        "diagnostics": [_row(found) for found in report.sorted()],
        "verdicts": verdict_rows(course),
        "exercises": exercise_rows(course),
        "summary": {"errors": report.errors, "warnings": report.warnings, **counts(course)},
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def verdict_rows(course: Course | None) -> list[dict[str, Any]]:
    """Return a row for each claim of the course, in reading order.

    `reach` says how far the verdict reaches (`to depth 5`), `counter` holds the moves that answer
    a false claim, as SAN with numbers. `opinion` is what an engine said of a claim that cannot be
    proved, or None.
    """
    rows = []
    for settled in course.verdicts.values() if course else ():
        verdict = settled.verdict
        rows.append(
            {
                "file": settled.claim.span.file,
                "line": settled.claim.span.line,
                "ref": str(settled.reference),
                "claim": settled.claim.text,
                "verdict": verdict.reach.value,
                "reach": "" if verdict.depth is None else f"to depth {verdict.depth}",
                "evidence": verdict.text,
                "counter": [move.label for move in verdict.counter],
                "opinion": _opinion_row(settled.opinion),
            }
        )
    return rows


def exercise_rows(course: Course | None) -> list[dict[str, Any]]:
    """Return a row for each exercise of the course that could be put to the board, in order.

    The verdict is that on the coach's answer; `findings` holds the codes of what was reported.
    """
    rows = []
    for lesson in course.lessons.values() if course else ():
        for block in lesson.draft.blocks:
            if not isinstance(block, ExerciseDraft) or not course:
                continue
            solved = course.exercises.get((lesson.slug, block.name))
            if solved is None:
                continue
            depth = solved.verdict.depth
            rows.append(
                {
                    "file": block.span.file,
                    "line": block.span.line,
                    "exercise": block.name,
                    "check": block.check,
                    "verdict": solved.verdict.reach.value,
                    "reach": "" if depth is None else f"to depth {depth}",
                    "evidence": solved.verdict.text,
                    "findings": [finding.code for finding in solved.findings],
                    "nodes": solved.nodes,
                }
            )
    return rows


def _opinion_row(opinion: Opinion | None) -> dict[str, Any] | None:
    """Return an opinion, its score from the view of the side to move, with its words."""
    if opinion is None:
        return None
    return {
        "engine": opinion.engine,
        "nodes": opinion.nodes,
        "side": opinion.mover,
        "score": opinion.score,
        "line": [move.label for move in opinion.line],
        "text": opinion.text,
    }


def counts(course: Course | None) -> dict[str, int]:
    """Return how much there is: lessons, lines and plies."""
    if course is None:
        return {"lessons": 0, "lines": 0, "plies": 0}
    lines = [line for lesson in course.lessons.values() for line in lesson.lines.values()]
    return {
        "lessons": len(course.lessons),
        "lines": len(lines),
        "plies": sum(len(line.plies) for line in lines),
    }


def _row(found: Diagnostic) -> dict[str, Any]:
    span = found.span
    return {
        "code": found.code,
        "severity": found.severity.value,
        "file": span.file,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
        "message": found.message,
        "notes": list(found.notes),
        "help": list(found.help),
    }
