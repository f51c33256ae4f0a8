"""Hints in steps, the solution shown, answers in words, and what the browser remembers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import chess
import pytest
from playwright.sync_api import Browser

from browser.exercise_course import POSITIONS
from browser.reader import Reader, reading
from browser.tries import Trying

STORE = "plybook:tries:work"
DAY = (
    "Math.floor(Date.UTC(...((now) => [now.getFullYear(), now.getMonth(), now.getDate()])"
    "(new Date())) / 86400000)"
)


def board_after(name: str, *sans: str) -> str:
    board = chess.Board(POSITIONS[name])
    for san in sans:
        board.push_san(san)
    return board.board_fen()


# ---------------------------------------------------------------------- help


def test_hints_come_one_after_the_other(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    hints = here.section.locator(".hint summary")
    assert [hint.is_visible() for hint in hints.all()] == [True, False]
    hints.nth(0).click()
    assert [hint.is_visible() for hint in hints.all()] == [True, True]


def test_a_solution_after_a_hint_was_helped(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.section.locator(".hint summary").first.click()
    here.press("a1", "a8")
    assert here.told == "Right. Solved, with help."
    assert here.mark == "solved with help"
    assert here.kept()[3] == 1


def test_wrong_tries_are_no_help(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1", "a4")
    here.press("a1", "a8")
    assert here.mark == "solved"
    assert here.kept()[3] == 0


def test_the_solution_is_played_move_by_move(tries: Reader) -> None:
    here = Trying(tries, "ladder")
    assert not here.section.locator(".sol").is_visible()
    told = []
    here.button("Show the solution").click()
    told.append((here.told, here.fen))
    for _ in range(2):
        here.button("Next move").click()
        told.append((here.told, here.fen))
    assert [said for said, _ in told] == [
        "1. Ra7.",
        "1…Kg8.",
        "2. Rb8#. That was the solution.",
    ]
    line = ("Ra7", "Kg8", "Rb8#")
    assert [fen for _, fen in told] == [board_after("ladder", *line[:n]) for n in (1, 2, 3)]
    assert here.kept()[3] == 1
    assert here.section.locator(".sol").is_visible()
    assert not here.button("Show the solution").is_visible()


def test_the_solution_goes_on_from_where_the_pupil_stands(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f7", "f8")
    here.button("rook").click()
    here.button("Show the solution").click()
    assert here.fen == board_after("arrival", "f8=R", "Kh6", "Rh8#")


def test_a_wrong_try_is_taken_back_before_the_solution(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("g1", "g2")
    here.button("Show the solution").click()
    assert here.fen == board_after("corridor", "Ra8#")


def test_a_pupil_may_go_on_alone_after_a_shown_move(tries: Reader) -> None:
    here = Trying(tries, "ladder")
    here.button("Show the solution").click()
    here.press("b3", "b8")  # the reply has not been played: nobody moves
    assert here.fen == board_after("ladder", "Ra7")
    here.button("Next move").click()
    here.press("b3", "b8")
    assert here.told == "Right. Solved, with help."


def test_the_focus_stays_with_the_pupil_when_the_solution_ends(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.button("Show the solution").focus()
    tries.press("Enter")
    assert here.focus == "Start again"


# ---------------------------------------------------------------------- answers in words


def test_a_statement_is_answered_by_true_or_false(tries: Reader) -> None:
    here = Trying(tries, "pinned")
    here.button("False").click()
    assert here.told == "Right. Solved."
    assert "The bishop attacks it." in here.section.locator(".sol").inner_text()


def test_the_other_one_of_two_answers_was_no_knowledge(tries: Reader) -> None:
    here = Trying(tries, "pinned")
    here.button("True").click()
    assert here.told == "Not so. Look again."
    assert here.kept() is None
    here.button("False").click()
    assert here.told == "Right. Solved, with help."
    assert here.kept()[3] == 1


def test_a_word_is_typed(tries: Reader) -> None:
    here = Trying(tries, "counted")
    here.section.locator("input").fill("four")
    here.button("Answer").click()
    assert here.told == "Not so. Look again."
    here.section.locator("input").fill(" One. ")
    here.button("Answer").click()
    assert here.told == "Right. Solved."
    assert here.kept()[3] == 0
    again = Trying(tries, "counted")
    again.section.locator("input").fill("1")
    again.section.locator("input").press("Enter")
    assert again.told == "Right. Solved."


def test_an_answer_in_words_may_be_shown(tries: Reader) -> None:
    here = Trying(tries, "counted")
    here.button("Show the solution").click()
    assert here.section.locator(".sol").inner_text().endswith("1")
    assert here.kept()[3] == 1


# ---------------------------------------------------------------------- what is remembered


def test_what_is_solved_is_known_after_a_reload(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    assert here.mark == ""
    here.press("a1", "a8")
    day = tries.all(DAY)
    again = Trying(tries, "corridor", is_fresh=False)
    assert again.mark == "solved"
    assert again.kept() == [day, day, 0, 0]
    assert again.fen == board_after("corridor")
    assert Trying(tries, "ladder", is_fresh=False).mark == ""


@pytest.mark.parametrize("kept", ["", "{", "[]", '{"v":1,"items":{"tries/corridor":[5,4,0,0]}}'])
def test_a_spoilt_store_is_an_empty_one(tries: Reader, kept: str) -> None:
    here = Trying(tries, "corridor")
    tries.all("([key, kept]) => localStorage.setItem(key, kept)", [STORE, kept])
    here = Trying(tries, "corridor", is_fresh=False)
    assert here.mark == ""
    here.press("a1", "a8")
    assert here.mark == "solved"


def test_it_can_be_solved_where_nothing_may_be_kept(browser: Browser, tries_site: Path) -> None:
    with reading(browser, tries_site) as reader:
        reader.page.add_init_script(
            "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })"
        )
        reader.open("lessons/tries.html")
        section = reader.page.locator("#x-corridor")
        for square in (chess.A1, chess.A8):
            section.locator(f'.sq[data-s="{square}"]').click()
        assert section.locator("output").inner_text() == "Right. Solved."
        assert reader.all("plybook.progress.isKept()") is False


# ---------------------------------------------------------------------- the store itself


def keep(reader: Reader, items: Mapping[str, list[int]]) -> None:
    reader.open("lessons/tries.html")
    reader.all(
        "([key, kept]) => localStorage.setItem(key, JSON.stringify(kept))",
        [STORE, {"v": 1, "items": items}],
    )


def ask(reader: Reader, script: str, given: object = None) -> Any:  # JSON of any form
    return reader.all(f"(given) => {{ const p = plybook.progress; return {script}; }}", given)


@pytest.mark.parametrize(("step", "weeks"), [(0, 1), (1, 3), (2, 8), (3, None)])
def test_what_was_solved_is_due_after_the_weeks_of_its_step(
    tries: Reader, step: int, weeks: int | None
) -> None:
    """1, 3 and 8 weeks, then it is done (the default of a course)."""
    keep(tries, {"a/b": [100, 200, step, 0]})
    due = ask(tries, "p.due(given).length", 200 + 7 * (weeks or 1000))
    early = ask(tries, "p.due(given).length", 200 + 7 * (weeks or 1000) - 1)
    assert (due, early) == ((1, 0) if weeks else (0, 0))


def test_a_recall_that_went_well_takes_the_next_step(tries: Reader) -> None:
    tries.open("lessons/tries.html")
    day = tries.all(DAY)
    keep(
        tries,
        {"a/due": [5, day - 7, 0, 1], "a/early": [5, day - 6, 0, 1], "a/helped": [5, 9, 2, 0]},
    )
    assert ask(tries, "p.record('a/due', false)") == [5, day, 1, 0]
    assert ask(tries, "p.record('a/early', false)") == [5, day - 6, 0, 0]  # its date stays
    assert ask(tries, "p.record('a/helped', true)") == [5, day, 0, 1]
    assert ask(tries, "p.fail('a/due')") == [5, day, 0, 1]
    assert ask(tries, "p.record('a/new', false)") == [day, day, 0, 0]


def test_work_travels_as_text(tries: Reader) -> None:
    items = {"a/x": [100, 200, 1, 0], "a/y": [150, 150, 0, 1]}
    keep(tries, items)
    text = ask(tries, "p.exportText()")
    assert text.startswith("plybook work 1 tries\na/x 100 200 1 0\na/y 150 150 0 1\nsum ")
    ask(tries, "p.clear()")
    assert ask(tries, "p.load()") == {}
    read = ask(tries, "p.readText(given)", text.replace("\n", "\r\n"))
    assert read == {"items": items}
    assert ask(tries, "p.merge(given)", read["items"]) == 2
    assert ask(tries, "p.load()") == items


def test_the_later_of_two_is_kept_and_nothing_is_lost(tries: Reader) -> None:
    keep(tries, {"a/x": [100, 200, 1, 0], "a/own": [1, 2, 0, 0]})
    assert ask(tries, "p.merge(given)", {"a/x": [90, 150, 0, 1], "a/z": [7, 7, 0, 0]}) == 1
    assert ask(tries, "p.load()") == {
        "a/x": [90, 200, 1, 0],
        "a/own": [1, 2, 0, 0],
        "a/z": [7, 7, 0, 0],
    }


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda text: "hello", "not-ours"),
        (lambda text: text.replace("tries", "other"), "other-course"),
        (lambda text: text.replace(" 200 ", " 201 "), "damaged"),
        (lambda text: re.sub(r"sum .*", "", text), "damaged"),
        (lambda text: text.replace("a/x", "a/__proto__"), "damaged"),
    ],
)
def test_a_text_that_is_not_whole_is_refused(tries: Reader, change: Any, fault: str) -> None:
    keep(tries, {"a/x": [100, 200, 1, 0]})
    text = ask(tries, "p.exportText()")
    assert ask(tries, "p.readText(given)", change(text)) == {"fault": fault}
