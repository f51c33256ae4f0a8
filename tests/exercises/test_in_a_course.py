"""Exercises of a course: every fault once, at its place; one fault does not hide behind another."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import HEAD, LESSON, check, marked, place, write
from plybook.desk.as_json import exercise_rows
from plybook.desk.work import CHECK, Work, run

FEN: Final = "6k1/5ppp/8/8/8/8/5PPP/3RR1K1 w - - 0 1"
START: Final = f"{HEAD}```moves rooks\nfrom: fen {FEN}\n```\n\n"


def exercise(rows: str, *, name: str = "one", board: str = "rooks@start") -> str:
    """Return an exercise block."""
    return f"```exercise {name}\nboard: {board}\n{rows}\n```\n\n"


@pytest.mark.parametrize(
    ("code", "rows"),
    [
        ("exercise-cooked", "task: Mate.\ncheck: «only mate in 1»\nanswer: 1. Rd8#"),
        ("answer-fails", "task: Mate.\ncheck: only mate in 1\nanswer: 1. «Rd7»"),
        ("answer-fails", "task: Mate.\ncheck: «only mate in 1»\nanswer: The rook mates."),
        (
            "answer-fails",
            "task: Mate.\ncheck: only mate in 1\nanswer: 1. Rd8#\nanswer: 1. Re8#\n"
            "answer: 1. «Rd7»",
        ),
        ("exercise-short", "task: Mate.\ncheck: mate in 2\nanswer: 1. «Rd8#»"),
        (
            "wrong-try-works",
            "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8#\nwrong: 1. h3 | Slow.\n"
            "wrong: 1. «Re8#» | No.",
        ),
        (
            "hint-gives-away",
            "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8#\nhint: Look at the last rank.\n"
            "hint: «Put the rook to d8.»",
        ),
        ("false-exercise", "task: True or false? d1 is hanging\ncheck: «true»"),
        ("false-exercise", "task: Is it?\ncheck: «true»\nclaim: d1 is hanging"),
        ("no-claim", "task: Is it so?\ncheck: «true»"),
        ("no-claim", "task: Is it so?\ncheck: true\nclaim: «e4 is hanging»"),
        ("unknown-claim", "task: Is it so?\ncheck: true\nclaim: «it is so»"),
        ("twin-agrees", "task: True or false? d1 is hanging\ncheck: false\ntwin: «rooks@start»"),
        ("bad-value", "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8#\nclaim: «d1 is hanging»"),
        ("unreadable-move", "task: Mate.\ncheck: only mate in 1\nanswer: 1. «Rd9x»"),
        ("illegal-move", "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8#\nwrong: 1. «Rh8#» | No."),
        ("unknown-line", "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8#\ntwin: «ghost@start»"),
    ],
)
def test_a_fault_is_told_once_at_its_place(code: str, rows: str, tmp_path: Path) -> None:
    files, where = marked({LESSON: START + exercise(rows)})
    found = check(write(tmp_path, files))
    assert [(fault.code, place(fault)) for fault in found] == [(code, where)]


def test_every_exercise_is_told_of_its_own(tmp_path: Path) -> None:
    rows = "task: Mate.\ncheck: only mate in 1\nanswer: 1. Rd8#"
    text = START + exercise(rows) + exercise(rows, name="two")
    assert [fault.code for fault in check(write(tmp_path, {LESSON: text}))] == [
        "exercise-cooked",
        "exercise-cooked",
    ]


def test_a_course_knows_its_exercises_by_lesson_and_name(tmp_path: Path) -> None:
    rows = "task: Mate.\ncheck: mate in 1\nanswer: 1. Rd8# {Well done.}\nwrong: 1. h3 | *Slow*."
    folder = write(tmp_path, {LESSON: START + exercise(rows)})
    course = run(CHECK, Work(folder=folder)).course
    assert course is not None
    solved = course.exercises["example", "one"]
    said = {each.move.san: each.feedback for each in solved.turns[0].choices if each.feedback}
    assert said == {"Rd8#": "Well done.", "h3": "*Slow*."}
    (row,) = exercise_rows(course)
    assert (row["exercise"], row["verdict"], row["findings"]) == ("one", "proved", [])


def test_drafts_are_tested_and_stay_out_of_the_course(tmp_path: Path) -> None:
    rows = "task: Mate.\ncheck: only mate in 1\nanswer: 1. Rd8#"
    text = START.replace("title: Example\n", "title: Example\ndraft: true\n") + exercise(rows)
    folder = write(tmp_path, {LESSON: text})
    work = run(CHECK, Work(folder=folder))
    assert work.course is not None
    assert "exercise-cooked" in [fault.code for fault in work.report]
    assert not work.course.exercises
