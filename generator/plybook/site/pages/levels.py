"""Levels as pages show them: stars, which tell the order, and the coach's name."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup, escape

from plybook.site.drawing.stars import stars
from plybook.site.pages.edition import Edition
from plybook.site.wording.words import Words
from plybook.text.model import Located

__all__ = ["level_html", "levels_html"]

_HIGH: Final = 0.9  # of the letters beside them


def level_html(edition: Edition, level: Located | None, words: Words) -> Markup:
    """Return a level by its name in a head, empty where none is said.

    A name that the course does not have stands alone.
    """
    if level is None:
        return Markup()
    levels = edition.course.file.levels
    if level.value not in levels:
        return escape(level.value)
    return _shown(levels.index(level.value) + 1, levels, words)


def levels_html(edition: Edition, words: Words) -> tuple[Markup, ...]:
    """Return the levels of the course from easy to hard."""
    levels = edition.course.file.levels
    return tuple(_shown(number, levels, words) for number in range(1, len(levels) + 1))


def _shown(number: int, levels: tuple[str, ...], words: Words) -> Markup:
    total = len(levels)
    label = words.say("level {number} of {total}", number=number, total=total)
    row = stars(number, total, high=_HIGH, unit="em", label=label)
    return row + " " + levels[number - 1]
