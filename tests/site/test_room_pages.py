"""The room view: short steps, in the order of the lesson, and nothing given away."""

from __future__ import annotations

import json
from typing import Any, Final

import chess
import pytest
from bs4 import BeautifulSoup, Tag

from plybook.diagnostics import Report
from plybook.site.wording.prose import Setting, render_prose
from plybook.site.wording.sentences import part_of, passages_of
from plybook.text.markdown import read_prose
from plybook.text.source import excerpt_of_file
from small_course import one, soup_of


@pytest.fixture(scope="module")
def room(site: dict[str, bytes]) -> BeautifulSoup:
    return soup_of(site, "room/forks.html")


def data(room: BeautifulSoup) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(one(room, "#room-data").get_text())
    return found


def told(step: Tag) -> tuple[str, str]:
    return str(step["data-kind"]), " ".join(step.get_text(" ").split())


def test_a_line_is_shown_move_by_move(room: BeautifulSoup) -> None:
    steps = [told(step) for step in room.select(".step.line, .step.move")]
    assert [text for _, text in steps][:5] == [
        "White to move Centre <pawns>",
        "Centre <pawns> 1. e4 The “first” step, at last .",
        "Centre <pawns> 1…d5",
        "Sideline A 1…e5",
        "Sideline A 2. N f3",
    ]
    assert len(steps) == 1 + 10  # the line of the small course has ten plies


def test_each_step_shows_the_position_after_its_move(room: BeautifulSoup) -> None:
    """Held against python-chess for the main line."""
    steps = room.select(".step")
    shown = data(room)
    board = chess.Board()
    wanted = []
    for san in ("e4", "d5", "exd5", "Qxd5", "Nc3"):
        board.push_san(san)
        wanted.append(
            "".join(
                piece.symbol() if (piece := board.piece_at(square)) else "."
                for square in chess.SQUARES
            )
        )
    main = [
        shown["boards"][shown["steps"][at][0]]
        for at, step in enumerate(steps)
        if "move" in step["class"] and "in-side" not in step["class"]
    ]
    assert main == wanted


def test_a_diagram_stands_without_its_marks_first(room: BeautifulSoup) -> None:
    rows = data(room)["steps"]
    looks = [
        rows[at] for at, step in enumerate(room.select(".step")) if step["data-kind"] == "look"
    ]
    assert (looks[0][3], looks[1][3] != "") == ("", True)
    assert looks[0][0] == looks[1][0]


def test_the_answer_comes_after_the_task_and_its_hints(room: BeautifulSoup) -> None:
    kinds = [told(step) for step in room.select(".step")]
    at = next(index for index, (kind, _) in enumerate(kinds) if kind == "task")
    assert [kind for kind, _ in kinds[at : at + 3]] == ["task", "hint", "answer"]
    assert "Nc3" not in kinds[at][1]
    assert kinds[at + 2][1] == "Answer 3. N c3"


def test_a_card_asks_before_it_answers(room: BeautifulSoup) -> None:
    kinds = [told(step) for step in room.select(".step")]
    assert kinds[-2:] == [("card", "What now?"), ("answer", "Answer Take it.")]


def test_every_step_is_hidden_until_it_is_asked_for(room: BeautifulSoup) -> None:
    assert all(step.has_attr("hidden") for step in room.select(".step"))


def test_the_coachs_notes_are_not_shown_to_the_room(site: dict[str, bytes]) -> None:
    assert b"SECRET" not in site["room/forks.html"]


def test_a_lesson_leads_to_its_room_view_and_back(site: dict[str, bytes]) -> None:
    (there,) = soup_of(site, "lessons/forks.html").select(".to-room a")
    assert there["href"] == "../room/forks.html"
    backs = soup_of(site, "room/forks.html").select("a[href='../lessons/forks.html']")
    assert len(backs) == 2  # for the coach, and without JavaScript


def test_a_lesson_without_a_board_has_no_room_view(site: dict[str, bytes]) -> None:
    assert "room/bare.html" not in site
    assert not soup_of(site, "lessons/bare.html").select(".to-room")


def test_nothing_in_the_steps_can_be_pressed(room: BeautifulSoup) -> None:
    assert not room.select(".step a, .step button, .step summary")


# ---------------------------------------------------------------------- the passages


LONG: Final = "A sentence of a hundred and thirty characters " + "and more " * 9 + "ends."


def passages(text: str) -> list[str]:
    """Return the passages of a paragraph as text."""
    prose, _ = read_prose(excerpt_of_file("x.md", text), has_mentions=False, report=Report())
    (inline,) = (token for token in prose.tokens if token.type == "inline")
    setting = Setting(
        mention=lambda _, text: text,
        anchor=lambda _: None,
        picture=lambda _: None,
        block=lambda _: "",
        quotes=None,
        top_heading=None,
    )
    return [
        str(render_prose(part_of(prose, [passage]), setting).striptags())
        for passage in passages_of(inline)
    ]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("First one. Second one.", ["First one. Second one."]),
        ("Two pawns up. May it castle?", ["Two pawns up. May it castle?"]),
        ("May it castle? No. Count.", ["May it castle?", "No. Count."]),
        ("May it castle? And why? No.", ["May it castle? And why?", "No."]),
        ("Is it “so?” Yes it is.", ["Is it “so?”", "Yes it is."]),
        ("Is it *so?* Yes it is.", ["Is it so?", "Yes it is."]),
        ("Ask: is it so? or not. Yes.", ["Ask: is it so? or not. Yes."]),
        (f"{LONG} {LONG} Why? {LONG}", [LONG, f"{LONG} Why?", LONG]),
        (f"With 3.5 e.g. here. {LONG} {LONG}", [f"With 3.5 e.g. here. {LONG}", LONG]),
        (f"With *a stop. {LONG} Here* it goes on.", [f"With a stop. {LONG} Here it goes on."]),
        (f"{LONG} **Goal.** {LONG}", [LONG, f"Goal. {LONG}"]),
        ("No end at all", ["No end at all"]),
    ],
)
def test_a_paragraph_is_shown_whole_in_passages(text: str, wanted: list[str]) -> None:
    """Nothing of it is lost, and a question stands before what may answer it."""
    assert [" ".join(one.split()) for one in passages(text)] == wanted


def test_a_note_stays_out_of_the_passages() -> None:
    text = "A note.[^n] More.\n\n[^n]: The answer."
    prose, _ = read_prose(excerpt_of_file("x.md", text), has_mentions=False, report=Report())
    inline = next(token for token in prose.tokens if token.type == "inline")
    (passage,) = passages_of(inline)
    assert all(child.type != "footnote_ref" for child in passage.children)
    assert [child.content for child in passage.children] == ["A note.", " ", "More."]
