"""How a game of a file is called in lists: the coach's own screen, never a page."""

from __future__ import annotations

from collections.abc import Mapping

from plybook.diagnostics import shown

__all__ = ["title_of"]


def title_of(tags: Mapping[str, str]) -> str:
    """Return the tags that tell one game from another, without those that are empty or unknown."""
    players = [tags.get(tag, "?") for tag in ("White", "Black")]
    known = [" against ".join(players)] if players != ["?", "?"] else []
    known += [tags.get("Event", ""), tags.get("Date", "")[:4]]
    return shown(", ".join(part for part in known if part.strip("?.")), limit=90)
