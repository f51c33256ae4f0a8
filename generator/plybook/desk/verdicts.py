"""The command `verdicts`: every claim of a course, and how it is known."""

from __future__ import annotations

import json
from itertools import groupby
from pathlib import Path
from typing import Any

import click

from plybook.desk.as_json import verdict_rows
from plybook.desk.printing import FAULTS
from plybook.desk.work import CHECK, Work, find_course, run

__all__ = ["list_verdicts"]

#: How a verdict is called in the list.
_WORDS = {
    "proved": "proved",
    "holds": "holds",
    "false": "FALSE",
    "cannot-be-asked": "no meaning here",
    "coachs-word": "coach's word",
    "not-settled": "not settled",
}
_WIDTH = max(map(len, _WORDS.values())) + len(" to depth 9")


def list_verdicts(course: Path | None, *, form: str, jobs: int, engine: str | None) -> int:
    """Print the list and return the exit code: 1 when a claim is false or has no meaning."""
    work = run(
        CHECK, Work(folder=find_course(course), jobs=jobs, engine=engine, shows_progress=True)
    )
    rows = verdict_rows(work.course)
    if form == "html":
        from plybook.desk.verdicts_page import verdicts_page

        click.echo(verdicts_page(work.course, rows), nl=False)
    elif form == "json":
        document = {"version": 1, "verdicts": rows}
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(_as_text(rows)))
    return FAULTS if any(row["verdict"] in {"false", "cannot-be-asked"} for row in rows) else 0


def _as_text(rows: list[dict[str, Any]]) -> list[str]:
    lines = []
    for file, of_file in groupby(rows, key=lambda row: row["file"]):
        lines.append(click.style(file, bold=True))
        for reference, of_place in groupby(of_file, key=lambda row: row["ref"]):
            lines.append(f"  {reference}")
            for row in of_place:
                known = f"{_WORDS[row['verdict']]} {row['reach']}".strip()
                lines.append(f"    {known:<{_WIDTH}}  {row['claim']}")
                if row["verdict"] not in {"proved", "holds", "coachs-word"}:
                    lines.append(f"    {'':<{_WIDTH}}  {row['evidence']}")
                if row["opinion"]:
                    lines.append(f"    {'':<{_WIDTH}}  {row['opinion']['text']}")
    return [*lines, _sum(rows)]


def _sum(rows: list[dict[str, Any]]) -> str:
    found = {word: sum(row["verdict"] == word for row in rows) for word in _WORDS}
    parts = [f"{number} {_WORDS[word]}" for word, number in found.items() if number]
    return f"{len(rows)} claims: {', '.join(parts)}" if rows else "no claims"
