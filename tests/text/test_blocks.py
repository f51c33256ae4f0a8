"""Blocks line by line: what each becomes, and where its words stand in the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import FILE, check_lesson, codes, lesson, moves, under
from plybook.diagnostics import Report
from plybook.text.lesson import read_lesson
from plybook.text.model import (
    Block,
    CardsDraft,
    ClaimsDraft,
    CoachDraft,
    DiagramDraft,
    ExerciseDraft,
    FenText,
    MovesDraft,
    Reference,
    TagsDraft,
)


def read(block: str) -> tuple[Block | None, str, list[str]]:
    """Return the only block of a lesson, the lesson's text, and the codes reported."""
    text, report = lesson(f"\n{block}\n"), Report()
    draft = read_lesson(text, slug="a", file=FILE, report=report)
    assert draft is not None
    (only,) = draft.blocks
    return only, text, codes(report.sorted())


def test_a_moves_block_is_a_head_a_blank_line_and_moves() -> None:
    block, text, found = read(
        "```moves trap\ntitle: A trap: five moves\nfrom: other@4...g6\nview: black\n"
        "source: Someone,\n  somewhere, 1750\nletters: german\nat 5.Nxe5: mark loose g4 d1\n\n"
        "5. Nxe5\n```"
    )
    assert not found
    assert isinstance(block, MovesDraft)
    assert (block.name, block.title, block.view) == ("trap", "A trap: five moves", "black")
    assert block.source == "Someone, somewhere, 1750", "an indented line goes on"
    assert isinstance(block.start, Reference)
    assert under(block.start.span, text) == str(block.start) == "other@4...g6"
    (placed,) = block.drawings
    assert str(placed.place) == "trap@5.Nxe5"
    assert [under(drawing.span, text) for drawing in placed.drawings] == ["g4", "d1"]
    assert [under(ply.span, text) for ply in block.movetext.main.plies] == ["Nxe5"]
    assert under(block.span, text) == "```moves trap"


@pytest.mark.parametrize(
    "body",
    ["1. e4 e5", "\n\n1. e4 e5\n", "view: white\n\n1. e4\n\ne5", "view: white\n \t\n1. e4 e5"],
    ids=["no-head", "blank-first", "blank-inside", "blank-with-spaces"],
)
def test_a_blank_line_ends_the_head_and_no_game(body: str) -> None:
    block, _, found = read(f"```moves a\n{body}\n```")
    assert not found
    assert isinstance(block, MovesDraft)
    assert [ply.text for ply in block.movetext.main.plies] == ["e4", "e5"]


@pytest.mark.parametrize("word", ["fen ", "FEN ", ""])
def test_a_start_may_be_a_fen(word: str) -> None:
    fen = "4k3/8/8/8/8/8/8/4K3 w - - 0 1"
    block, text, found = read(f"```moves a\nfrom: {word}{fen}\n```")
    assert not found
    assert isinstance(block, MovesDraft)
    assert isinstance(block.start, FenText)
    assert block.start.fen == under(block.start.span, text) == fen


def test_a_diagram_has_a_place_words_and_drawings() -> None:
    block, text, found = read(
        "```diagram b/trap@5.Nxe5\ncaption: the *point*: 5.Nxe5\nalt: a board\nview: white\n"
        "arrow attack: c4 f7, e5-f7\narrow pin g4 f3 d1\nmark flight: e7, d7\n```"
    )
    assert not found
    assert isinstance(block, DiagramDraft)
    assert under(block.place.span, text) == str(block.place) == "b/trap@5.Nxe5"
    assert block.caption is not None
    assert block.caption_text == "the *point*: 5.Nxe5"
    assert [under(one.span, text) for one in block.caption.mentions] == ["5.Nxe5"]
    assert [(one.is_arrow, one.role, one.squares) for one in block.drawings] == [
        (True, "attack", ("c4", "f7")),
        (True, "attack", ("e5", "f7")),
        (True, "pin", ("g4", "f3", "d1")),
        (False, "flight", ("e7",)),
        (False, "flight", ("d7",)),
    ]
    assert [under(one.span, text) for one in block.drawings][:2] == ["c4 f7", "e5-f7"]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("arrow attack: c4", "bad-square"),
        ("arrow attack: c4 f7 e8", "bad-square"),
        ("arrow attack: c4 c4", "bad-square"),
        ("arrow attack:", "bad-square"),
        ("arrow pin: g4 f3", "bad-square"),
        ("mark loose: i9", "bad-square"),
        ("arrow attak: c4 f7", "unknown-role"),
        ("arrow loose: c4 f7", "unknown-role"),
        ("view: left", "bad-value"),
        ("view: white\nview: black", "duplicate-key"),
        ("captoin: x", "bad-block-line"),
    ],
)
def test_each_line_is_understood_or_reported(line: str, code: str) -> None:
    assert read(f"```diagram a@start\n{line}\n```")[2] == [code]


def test_claims_are_sentences_one_a_line() -> None:
    block, text, found = read(
        "```claims a@4...g6\nbelieve: this is good\n\n  believe: so is this\n```"
    )
    assert not found
    assert isinstance(block, ClaimsDraft)
    assert [under(one.span, text) for one in block.claims] == [
        "believe: this is good",
        "believe: so is this",
    ]


def test_tags_say_a_move_a_verb_and_a_principle() -> None:
    block, text, found = read(
        "```tags game\n4...Bxf3? breaks piece-twice\n"
        '1.e4>2.Nf3 obeys men-out anyway "a reason"\n```'
    )
    assert not found
    assert isinstance(block, TagsDraft)
    one, two = block.tags
    assert (str(one.place), one.verb, one.principle) == ("game@4...Bxf3", "breaks", "piece-twice")
    assert (str(two.place), two.reason) == ("game@1.e4>2.Nf3", "a reason")
    assert under(one.principle_span, text) == "piece-twice"


def test_cards_have_two_sides_and_a_board_on_either() -> None:
    block, text, found = read("```cards\na@4...g6 What now? | 5.Nxe5\nWhy? | b/c@end Because.\n```")
    assert not found
    assert isinstance(block, CardsDraft)
    one, two = block.cards
    assert (one.question, one.answer) == ("What now?", "5.Nxe5")
    assert one.question_board is not None
    assert under(one.question_board.span, text) == "a@4...g6"
    assert (two.question_board, two.answer) == (None, "Because.")
    assert str(two.answer_board) == "b/c@end"


def test_an_exercise_accepts_several_answers_and_keeps_its_hints_in_order() -> None:
    block, text, found = read(
        "```exercise find\nboard: a@5.Nxe5\ntask: Find it.\ncheck: mate in 2\n"
        "answer: 6. Bxf7+ Ke7 7. Nd5#\nanswer: 6. Qf3\nwrong: 6. Nxd1 | too slow\n"
        "hint: first\nhint: second\n```"
    )
    assert not found
    assert isinstance(block, ExerciseDraft)
    assert [len(answer.main.plies) for answer in block.answers] == [3, 1]
    assert [(one.move.main.plies[0].text, one.feedback) for one in block.wrong] == [
        ("Nxd1", "too slow")
    ]
    assert block.hints == ("first", "second")
    assert under(block.answers[0].main.plies[2].span, text) == "Nd5#"


def test_the_coach_speaks_unread() -> None:
    block, _, found = read("```coach\n5.Nf9 <b> [x](nowhere)\n```")
    assert not found
    assert isinstance(block, CoachDraft)
    assert block.text == "5.Nf9 <b> [x](nowhere)"


def test_a_fence_of_another_word_is_printed_as_it_stands() -> None:
    report = Report()
    draft = read_lesson(lesson("\n```python\nx\n```\n"), slug="a", file=FILE, report=report)
    assert draft is not None
    assert draft.blocks == ()
    assert not report.sorted()


def test_two_blocks_of_one_name_are_one_too_many() -> None:
    text, report = lesson("\n```moves a\n1. e4\n```\n" * 2), Report()
    draft = read_lesson(text, slug="a", file=FILE, report=report)
    assert draft is not None
    assert [block is None for block in draft.blocks] == [False, True]
    assert codes(report.sorted()) == ["duplicate-block"]


@pytest.mark.parametrize(
    "value", ["maybe", "mate", "wins 3", "none", "none because", "only mate in 0", "only mate"]
)
def test_a_check_of_no_known_form_is_named_with_the_forms(tmp_path: Path, value: str) -> None:
    head = "board: line@start\ntask: Find it."
    block = f"\n```exercise find\n{head}\ncheck: {value}\nanswer: 1. e4\n```\n"
    found = check_lesson(tmp_path, moves("line", "1. e4 e5") + block)
    assert found.codes == ["bad-value"]
    assert found.under("bad-value") == value
    assert "only mate in 2" in " ".join(found.the("bad-value").help)
