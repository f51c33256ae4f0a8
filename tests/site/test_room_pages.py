"""The room view: short steps, in the order of the lesson, and nothing given away."""

from __future__ import annotations

import json
from typing import Any

import chess
import pytest
from bs4 import BeautifulSoup, Tag

from plybook.diagnostics import Report
from plybook.site.wording.prose import Setting, render_prose
from plybook.site.wording.sentences import key_sentences, part_of
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


# ---------------------------------------------------------------------- the sentences


def sentences(text: str) -> list[str]:
    """Return the key sentences of a paragraph as text."""
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
        str(render_prose(part_of(prose, [sentence]), setting).striptags())
        for sentence in key_sentences(inline)
    ]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("First one. Second one.", ["First one."]),
        ("Said plainly. **This carries it.** And more.", ["This carries it."]),
        ("One **bold** here. Nothing. Two **bold** here!", ["One bold here. Two bold here!"]),
        ("**Goal.** You can count. Later more.", ["Goal. You can count."]),
        ("It is 3.5 pawns, e.g. here. Then on.", ["It is 3.5 pawns, e.g. here."]),
        ("Is it “so?” Yes it is.", ["Is it “so?”"]),
        ("With *a stop. Inside* it goes on. End.", ["With a stop. Inside it goes on."]),
        ("No end at all", ["No end at all"]),
        ("A note.[^n] More.\n\n[^n]: The answer.", ["A note."]),
    ],
)
def test_the_sentences_that_carry_a_paragraph(text: str, wanted: list[str]) -> None:
    if "[^n]" in text:
        prose, _ = read_prose(excerpt_of_file("x.md", text), has_mentions=False, report=Report())
        inline = next(token for token in prose.tokens if token.type == "inline")
        assert all(
            child.type != "footnote_ref"
            for sentence in key_sentences(inline)
            for child in sentence.children
        )
        return
    assert [" ".join(one.split()) for one in sentences(text)] == wanted
