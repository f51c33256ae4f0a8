"""The plan of recall: which cards and exercises come back in which week."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import Checked, check_course, lesson
from plybook.course.recall import items_of, plan_recall

LINE = "```moves main\n1. e4 e5\n```\n"
EXERCISE = (
    "```exercise {}\nboard: main@end\ntask: Find it.\ncheck: none because it is a test\n"
    "answer: 2. Nf3\n```\n"
)
CARDS = "```cards\nHow many? | Four.\nmain@1.e4 Which? | One.\nmain@end Which? | Two.\n```\n"


def course(folder: Path, lessons: int, *, head: str = "", text: str = "") -> Checked:
    files = {
        f"lessons/{number:02d}-lesson-{number}.md": lesson(text or LINE + CARDS)
        for number in range(1, lessons + 1)
    }
    return check_course(folder, {"course.yaml": f"title: A course\n{head}", **files})


def planned(checked: Checked) -> list[tuple[int, str | None, list[tuple[int, str]]]]:
    return [
        (week.number, week.lesson, [(one.weeks, one.lesson) for one in week.returns])
        for week in plan_recall(checked.course)
    ]


def test_a_lesson_comes_back_one_three_and_eight_weeks_later(tmp_path: Path) -> None:
    """The default of the design: next week, and 3 and 8 weeks later."""
    assert planned(course(tmp_path, 1)) == [
        (1, "lesson-1", []),
        (2, None, [(1, "lesson-1")]),
        (4, None, [(3, "lesson-1")]),
        (9, None, [(8, "lesson-1")]),
    ]


def test_lessons_of_several_weeks_meet_the_longest_ago_first(tmp_path: Path) -> None:
    weeks = planned(course(tmp_path, 3, head="recall: [1, 2]\n"))
    assert weeks == [
        (1, "lesson-1", []),
        (2, "lesson-2", [(1, "lesson-1")]),
        (3, "lesson-3", [(2, "lesson-1"), (1, "lesson-2")]),
        (4, None, [(2, "lesson-2"), (1, "lesson-3")]),
        (5, None, [(2, "lesson-3")]),
    ]


def test_each_item_comes_back_once_a_gap(tmp_path: Path) -> None:
    checked = course(tmp_path, 5, head="recall: [2, 5, 9, 20]\n")
    returned = [
        item.ident
        for week in plan_recall(checked.course)
        for one in week.returns
        for item in one.items
    ]
    assert len(returned) == 5 * 3 * 4
    assert all(returned.count(ident) == 4 for ident in returned)


def test_a_lesson_without_cards_and_exercises_does_not_come_back(tmp_path: Path) -> None:
    assert planned(course(tmp_path, 1, text="Words.\n")) == [(1, "lesson-1", [])]


def test_lessons_come_in_the_order_of_the_parts(tmp_path: Path) -> None:
    parts = "parts:\n- {title: A, lessons: [lesson-2]}\n- {title: B, lessons: [lesson-1]}\n"
    checked = course(tmp_path, 2, head=parts)
    assert [week.lesson for week in plan_recall(checked.course)][:2] == ["lesson-2", "lesson-1"]


def test_an_item_is_named_by_its_question_alone(tmp_path: Path) -> None:
    before = course(tmp_path / "a", 1)
    text = LINE + "```cards\nNew? | Yes.\n" + CARDS.removeprefix("```cards\n")
    after = course(tmp_path / "b", 1, text=text)
    names = [item.name for item in items_of(before.course.lessons["lesson-1"])]
    assert names == [item.name for item in items_of(after.course.lessons["lesson-1"])][1:]
    # sha256 of "How many?" and of "Which?", the first eight digits, by coreutils' sha256sum
    assert names == ["card-ba352e24", "card-f04329d6", "card-f04329d6-2"]


def test_cards_and_exercises_are_counted_apart(tmp_path: Path) -> None:
    text = LINE + EXERCISE.format("one") + CARDS + EXERCISE.format("two")
    items = items_of(course(tmp_path, 1, text=text).course.lessons["lesson-1"])
    assert [(item.name, item.number) for item in items if "card" not in item.name] == [
        ("one", 1),
        ("two", 2),
    ]
    assert [item.number for item in items if "card" in item.name] == [1, 2, 3]


@pytest.mark.parametrize(
    ("value", "code", "there", "message"),
    [
        ("[1, 8, 3]", "bad-value", "3", "the weeks of `recall` must rise: 3 stands after 8"),
        ("[2, 2]", "bad-value", "2", "the weeks of `recall` must rise: 2 stands after 2"),
        ("[0, 3]", "bad-value", "0", "an item of `recall` must be a whole number >= 1"),
        ("[1, 105]", "bad-value", "105", "an item of `recall` must be a whole number <= 104"),
        ("[]", "bad-value", "[]", "`recall` must not be empty"),
        ("[1, 2, 3, 4, 5, 6, 7]", "bad-value", None, "`recall` may hold 6 values at most"),
        ("[1, soon]", "wrong-type", "soon", "an item of `recall` must be a whole number, not text"),
        ("3", "wrong-type", "3", "`recall` must be a list, not a whole number"),
    ],
)
def test_gaps_that_cannot_be_are_reported(
    tmp_path: Path, value: str, code: str, there: str | None, message: str
) -> None:
    checked = course(tmp_path, 1, head=f"recall: {value}\n")
    assert checked.codes == [code]
    assert checked.found[0].message == message
    if there is not None:
        assert checked.under(code) == there


def test_a_repair_is_offered_in_rising_order(tmp_path: Path) -> None:
    checked = course(tmp_path, 1, head="recall: [8, 1, 3, 3]\n")
    assert checked.found[0].help == ("write `recall: [1, 3, 8]`",)


def test_rising_gaps_are_quiet(tmp_path: Path) -> None:
    checked = course(tmp_path, 1, head="recall: [2, 6, 104]\n")
    assert not checked.found
    assert checked.course.file.recall == (2, 6, 104)
