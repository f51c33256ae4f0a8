"""The kinds of pages, one of each, by course."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final

__all__ = ["DEMO_KINDS", "TRIAL_KINDS", "pages_of"]

#: By kind: a page of the demo course.
DEMO_KINDS: Final[Mapping[str, str]] = {
    "front": "index.html",
    "lesson": "lessons/centre-first.html",
    "principles": "principles/index.html",
    "principle": "principles/centre-first.html",
    "lines": "lines.html",
    "search": "search.html",
    "sources": "sources.html",
    "work": "my-work.html",
    "warm-up": "warm-up.html",
    "plan": "plan.html",
    "room": "room/centre-first.html",
}
#: What the trial course adds: nested sidelines, an exercise and cards; a page without a board.
TRIAL_KINDS: Final[Mapping[str, str]] = {
    "special": "lessons/special.html",
    "words": "lessons/words.html",
}


def pages_of(site: Path) -> list[str]:
    """Return the addresses of every page of a site, in order."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
