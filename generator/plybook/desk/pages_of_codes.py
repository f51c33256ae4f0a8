"""The pages that explain the diagnostic codes, as shipped in explain/."""

from __future__ import annotations

from pathlib import Path

from plybook.codes import CODES
from plybook.diagnostics import UsageError, near_miss

__all__ = ["explained_codes", "explanation"]

_FOLDER = Path(__file__).resolve().parents[1] / "explain"


def explanation(code: str) -> str:
    """Return the page of a code as Markdown. An unknown code is a UsageError."""
    if code not in CODES:
        near = near_miss(code, CODES)
        hint = f"did you mean `{near}`?" if near else "`plybook explain` lists them"
        raise UsageError(f"no diagnostic is called `{code}`; {hint}")
    return (_FOLDER / f"{code}.md").read_text(encoding="utf-8")


def explained_codes() -> tuple[tuple[str, str], ...]:
    """Return every code with the first sentence of its page, in alphabetical order."""
    rows = []
    for code in sorted(CODES):
        paragraphs = explanation(code).split("\n\n")
        rows.append((code, " ".join(paragraphs[1].split()).split(". ")[0].rstrip(".")))
    return tuple(rows)
