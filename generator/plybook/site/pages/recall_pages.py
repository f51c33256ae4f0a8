"""The pages that bring lessons back: my work, the warm-up, the plan of the weeks.

Nothing of a pupil is known here. What was solved stands in the store of the browser, and the page
scripts fill it in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from markupsafe import Markup

from plybook.course.recall import RecallItem, Week, course_order, items_of, plan_recall
from plybook.site.pages.edition import Edition
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.lesson_page import lesson_link
from plybook.site.pages.recall_items import ItemWriter, plain_question
from plybook.site.pages.recall_views import (
    LessonWorkView,
    PlanItemView,
    PlanLessonView,
    PlanWeekView,
    ReturnView,
    WorkItemView,
)
from plybook.site.pages.stock import data_script
from plybook.site.wording.stepper import json_for_script
from plybook.site.wording.words import Words
from plybook.text.model import CardDraft, ExerciseDraft

__all__ = ["recall_files"]

_GAP: Final = re.compile(r"\{(\w+)\}")
_TASK_LENGTH: Final = 90  # characters of a task in the name of a mark


def recall_files(edition: Edition) -> dict[str, bytes]:
    """Return the three pages and the data of the warm-up, by path; nothing where nothing recurs."""
    if not edition.view.has_recall:
        return {}
    path, content = _warm_up_data(edition)
    return {
        "my-work.html": _my_work_page(edition),
        "warm-up.html": _warm_up_page(edition, data=path),
        "plan.html": _plan_page(edition),
        path: content,
    }


def _items(edition: Edition, slug: str) -> tuple[RecallItem, ...]:
    return items_of(edition.course.lessons[slug])


def _divided(
    items: Sequence[RecallItem],
) -> tuple[tuple[RecallItem, ...], tuple[RecallItem, ...]]:
    """Return the exercises and the cards."""
    exercises = tuple(item for item in items if isinstance(item.block, ExerciseDraft))
    cards = tuple(item for item in items if isinstance(item.block, CardDraft))
    return exercises, cards


# ---------------------------------------------------------------- my work


def _my_work_page(edition: Edition) -> bytes:
    words = edition.words()
    lessons = []
    for slug in course_order(edition.course):
        exercises, cards = _divided(_items(edition, slug))
        if exercises or cards:
            lessons.append(
                LessonWorkView(
                    number=edition.course.lessons[slug].number,
                    link=lesson_link(edition, slug, folder="lessons/"),
                    exercises=tuple(_mark(item, words) for item in exercises),
                    cards=tuple(_mark(item, words) for item in cards),
                )
            )
    return edition.page(
        "my_work.html",
        kind="work",
        title=words.say("My work"),
        root="",
        has_boards=False,
        parts=("progress", "recall", "my-work"),
        lessons=lessons,
        gaps=_gaps_words(edition, words),
        words=Markup(json_for_script(_my_work_words(words))),
    )


def _mark(item: RecallItem, words: Words) -> WorkItemView:
    question = " ".join(plain_question(item).split())
    if len(question) > _TASK_LENGTH:
        question = question[:_TASK_LENGTH].rsplit(" ", 1)[0] + "…"
    if isinstance(item.block, ExerciseDraft):
        name = words.say("Exercise {number}: {task}", number=item.number, task=question)
        anchor = f"x-{item.name}"
    else:
        name = words.say("Card {number}: {question}", number=item.number, question=question)
        anchor = item.name
    return WorkItemView(
        ident=item.ident,
        number=item.number,
        href=f"lessons/{item.lesson}.html#{anchor}",
        name=name,
    )


def _gaps_words(edition: Edition, words: Words) -> str:
    """Return "1, 3 and 8 weeks": from one recall to the next."""
    *first, last = edition.course.file.recall
    before = f"{', '.join(map(str, first))} {words.both} " if first else ""
    return before + words.count("{number} week", "{number} weeks", last)


def _open_phrases(words: Words) -> Callable[[str], str]:
    """Return a `say` that leaves the names in braces for the page script to fill in."""

    def say(message: str) -> str:
        names = _GAP.findall(message)
        return words.say(message, **{name: f"{{{name}}}" for name in names})

    return say


def _my_work_words(words: Words) -> Mapping[str, str]:
    say = _open_phrases(words)
    return {
        "open": say("not done yet"),
        "alone": say("without help"),
        "helped": say("with help"),
        "due": say("due today"),
        "next": say("comes back on {date}"),
        "settled": say("settled"),
        "named": say("{name} ({state})"),
        "today": say("Due today: {count}"),
        "later": say("Nothing is due today. The next question comes back on {date}."),
        "never": say("Nothing here yet. Solve an exercise, or say that you knew a card."),
        "finished": say("Everything you have done is settled."),
        "refused": say(
            "This browser keeps nothing for this page: perhaps it is a private window. You can "
            "still solve everything."
        ),
        "copied": say("Copied"),
        "file": say("my-work.txt"),
        "taken": say("Added. New: {new}. Replaced: {later}. Unchanged: {same}."),
        "not-ours": say("This text is not work from this site: that begins with “plybook work”."),
        "other-course": say("This is the work for another course. Nothing was changed."),
        "damaged": say("A part of the text is missing or was changed. Nothing was taken in."),
        "empty": say("Put the text into the box first, or choose the file."),
        "too-large": say("This file is too large to be work from this site."),
        "cleared": say("Everything in this browser is forgotten."),
    }


# ---------------------------------------------------------------- the warm-up


def _warm_up_data(edition: Edition) -> tuple[str, bytes]:
    """Return path and content of the script that holds the questions of the course."""
    lessons: list[dict[str, Any]] = []
    items: list[dict[str, Any]] = []
    for slug in course_order(edition.course):
        lesson = edition.course.lessons[slug]
        writer = ItemWriter(edition, lesson)
        found = items_of(lesson)
        for item in found:
            items.append({"id": item.ident, "l": len(lessons), **writer.data(item)})
        if found:
            entry = {"n": lesson.number, "s": slug, "t": lesson.draft.title}
            if lesson.draft.language:
                entry["lang"] = lesson.draft.language
            lessons.append(entry)
    value = {"items": items, "lessons": lessons}
    return data_script("warm-up-data", "window.plybookWarmUp=", value)


def _warm_up_page(edition: Edition, *, data: str) -> bytes:
    words = edition.words()
    return edition.page(
        "warm_up.html",
        kind="warm-up",
        title=words.say("Warm up"),
        root="",
        has_boards=True,
        data=(data,),
        parts=("progress", "recall", "warm-up"),
        lessons=[
            lesson_link(edition, slug, folder="lessons/")
            for slug in course_order(edition.course)
            if _items(edition, slug)
        ],
        gaps=_gaps_words(edition, words),
        words=Markup(json_for_script(_warm_up_words(words))),
    )


def _warm_up_words(words: Words) -> Mapping[str, object]:
    say = _open_phrases(words)
    return {
        **words.for_script,
        "due": say("Due today: {count}"),
        "more": say("Due today: {count}. This round takes the {part} that have waited longest."),
        "none": say("Nothing is due today. The next question comes back on {date}."),
        "never": say("Nothing has been solved in this browser yet, so nothing is due."),
        "finished": say("Everything you have done is settled: nothing is due."),
        "refused": say("This browser keeps nothing for this page, so it cannot tell what is due."),
        "round": say("{at} of {count}"),
        "show": say("Show the answer"),
        "from": say("From lesson {number}:"),
        "board_of": say("Board. {words}"),
        "score": say("Known: {known} of {count}"),
        "again": say("comes back on {date}"),
        "settled": say("settled"),
    }


# ---------------------------------------------------------------- the plan


def _plan_page(edition: Edition) -> bytes:
    words = edition.words()
    return edition.page(
        "plan.html",
        kind="plan",
        title=words.say("Recall plan"),
        root="",
        has_boards=False,
        parts=("recall",),
        weeks=[_week(edition, week, words) for week in plan_recall(edition.course)],
        lessons=[
            _plan_lesson(edition, slug)
            for slug in course_order(edition.course)
            if _items(edition, slug)
        ],
        gaps=_gaps_words(edition, words),
    )


def _week(edition: Edition, week: Week, words: Words) -> PlanWeekView:
    lessons = edition.course.lessons
    return PlanWeekView(
        number=week.number,
        lesson_number=lessons[week.lesson].number if week.lesson else 0,
        lesson=lesson_link(edition, week.lesson, folder="lessons/") if week.lesson else None,
        returns=tuple(
            ReturnView(
                number=lessons[one.lesson].number,
                title=lessons[one.lesson].draft.title,
                later=words.count("{number} week ago", "{number} weeks ago", one.weeks),
                items=_counted(one.items, words),
            )
            for one in week.returns
        ),
    )


def _counted(items: Sequence[RecallItem], words: Words) -> str:
    """Return "exercises 1–3, cards 1–5"; items are numbered from 1 without a gap."""
    exercises, cards = _divided(items)
    said = []
    if len(exercises) == 1:
        said.append(words.say("exercise 1"))
    elif exercises:
        said.append(words.say("exercises 1–{last}", last=len(exercises)))
    if len(cards) == 1:
        said.append(words.say("card 1"))
    elif cards:
        said.append(words.say("cards 1–{last}", last=len(cards)))
    return ", ".join(said)


def _plan_lesson(edition: Edition, slug: str) -> PlanLessonView:
    lesson = edition.course.lessons[slug]
    text = Hypertext(
        edition, file=lesson.draft.file, root="", language=lesson.draft.language, lesson=lesson
    )
    exercises, cards = (
        tuple(
            PlanItemView(number=item.number, question=text.text(plain_question(item)))
            for item in group
        )
        for group in _divided(items_of(lesson))
    )
    return PlanLessonView(
        number=lesson.number, title=lesson.draft.title, exercises=exercises, cards=cards
    )
