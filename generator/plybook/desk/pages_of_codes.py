"""What `plybook explain` prints: the pages of the diagnostic codes and of a lesson's blocks."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from plybook.codes import CODES
from plybook.diagnostics import UsageError, near_miss

__all__ = ["TOPICS", "explained_codes", "explained_topics", "explanation"]

_PACKAGE = Path(__file__).resolve().parents[1]

#: How a lesson is written, in the order in which a coach meets it; what is kept back, last.
TOPICS: Final = (
    "lesson",
    "moves",
    "diagram",
    "references",
    "claims",
    "tags",
    "exercise",
    "cards",
    "coach",
    "privacy",
)


def explanation(name: str) -> str:
    """Return the page of a code or topic as Markdown. An unknown name is a UsageError."""
    if name in TOPICS:
        page = (_PACKAGE / "topics" / f"{name}.md").read_text(encoding="utf-8")
        return page + _sentences() if name == "claims" else page
    if name not in CODES:
        near = near_miss(name, [*CODES, *TOPICS])
        hint = f"did you mean `{near}`?" if near else "`plybook explain` lists what there is"
        raise UsageError(f"there is no page `{name}`; {hint}")
    return (_PACKAGE / "explain" / f"{name}.md").read_text(encoding="utf-8")


def _sentences() -> str:
    from plybook.text.claim_patterns import ENGLISH

    return "\n" + "".join(f"    {pattern.example}\n" for pattern in ENGLISH.patterns)


def explained_topics() -> tuple[tuple[str, str], ...]:
    """Return every topic with the first sentence of its page, in the order of TOPICS."""
    return tuple((name, _first_sentence(name)) for name in TOPICS)


def explained_codes() -> tuple[tuple[str, str], ...]:
    """Return every code with the first sentence of its page, in alphabetical order."""
    return tuple((code, _first_sentence(code)) for code in sorted(CODES))


def _first_sentence(name: str) -> str:
    paragraphs = explanation(name).split("\n\n")
    return " ".join(paragraphs[1].split()).split(". ")[0].rstrip(".")
