"""The room view of a lesson: one huge board and short steps, for a projector."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from plybook.board.model import Mark
from plybook.site.drawing.diagram import plate_svg
from plybook.site.pages.edition import Edition
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.room_steps import RoomStep, Shown, room_steps
from plybook.site.pages.room_views import RoomView
from plybook.site.wording.stepper import json_for_script
from plybook.site.wording.words import Words

__all__ = ["room_files"]


def room_files(edition: Edition, slug: str) -> dict[str, bytes]:
    """Return the room view of a lesson, by path; nothing for a lesson without a board."""
    lesson = edition.course.lessons[slug]
    draft = lesson.draft
    text = Hypertext(edition, file=draft.file, root="../", language=draft.language, lesson=lesson)
    steps = room_steps(edition, lesson, text)
    first = next((step.shown for step in steps if step.shown), None)
    if first is None or first.place is None:
        return {}
    sets = _mark_sets(steps)
    view = RoomView(
        number=lesson.number,
        slug=slug,
        title=draft.title,
        steps=tuple(step.view for step in steps),
        board=plate_svg(
            edition.position(first.place),
            seen_from="black" if first.is_turned else "white",
            mark_sets={name: (placement, marks) for (placement, marks), name in sets.items()},
            label=text.words.say("Board"),
        ),
        data=Markup(json_for_script(_data(steps, first, sets, text.words))),
    )
    page = edition.page(
        "room.html",
        kind="room",
        title=text.words.say("{lesson} in the room", lesson=draft.title),
        root="../",
        language=draft.language,
        has_boards=True,
        parts=("room",),
        room=view,
    )
    return {f"room/{slug}.html": page}


_Sets = Mapping[tuple[str, tuple[Mark, ...]], str]


def _mark_sets(steps: Sequence[RoomStep]) -> _Sets:
    """Return a name for each position with marks."""
    found: dict[tuple[str, tuple[Mark, ...]], str] = {}
    for step in steps:
        if step.shown and step.shown.marks:
            key = (step.shown.placement, step.shown.marks)
            found.setdefault(key, f"s{len(found)}")
    return found


def _data(steps: Sequence[RoomStep], first: Shown, sets: _Sets, words: Words) -> dict[str, Any]:
    """Return what the page script reads.

    `boards` are placements; a step is the number of its board, the squares of the last move, 1 if
    seen from Black's side, the name of its marks and its caption, or 0 where the board stays.
    """
    boards: dict[str, int] = {first.placement: 0}
    rows: list[Any] = []
    for step in steps:
        shown = step.shown
        if shown is None:
            rows.append(0)
            continue
        placement = shown.placement
        board = boards.setdefault(placement, len(boards))
        last = "".join(shown.last or ())
        marks = sets.get((placement, shown.marks), "")
        rows.append([board, last, int(shown.is_turned), marks, shown.caption])
    return {
        "boards": list(boards),
        "steps": rows,
        "text": {
            "board": words.say("Board. {caption}.", caption="{caption}"),
            "count": words.say("{at} of {count}", at="{at}", count="{count}"),
            "hint": words.say("next: a hint"),
            "answer": words.say("next: the answer"),
            "side": words.say("next: a sideline"),
            "empty": words.say("Empty board"),
        },
    }
