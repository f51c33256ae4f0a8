"""What the template of the room view receives."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from plybook.site.pages.views import LegendView

__all__ = ["RoomStepView", "RoomView"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomStepView:
    """What one press of the key shows. Empty values are not shown."""

    kind: str  # title, part, text, line, move, look, task, hint, answer, card
    part: str  # the heading it stands under
    over: str  # small, above: the line, "Sideline A", "Answer"
    depth: int  # of the move: 0 in a main line, 1 in a sideline, 2 in a sideline of that
    begins: bool  # the move is the first of its sideline
    move: Markup  # very large
    turn: str
    turn_side: str  # white, black
    text: Markup
    size: str  # short, middle, long: the more text, the smaller, and never below 28 px
    legend: tuple[LegendView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomView:
    """A lesson for the projector."""

    number: int
    slug: str
    title: str
    steps: tuple[RoomStepView, ...]
    board: Markup  # the SVG that the script moves
    data: Markup  # JSON, safe in a script element
