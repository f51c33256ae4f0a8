"""The PGN standard of 1994-03-12 (S. J. Edwards), section by section, as far as lessons use it.

The values are in `pgn_standard.json`; README.md says which were read and which are from memory.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from outside.playing import numbered, play
from plybook.board import open_place, read_fen
from plybook.diagnostics import Report, Span
from plybook.text.model import FenText

STANDARD: Final[dict[str, Any]] = json.loads(
    Path(__file__).with_name("pgn_standard.json").read_text(encoding="utf-8")
)
GAME: Final = STANDARD["sample_game"]
FIVE_FENS: Final = STANDARD["fens"]
TELLING_APART: Final = STANDARD["disambiguation"]
FOREIGN: Final = {name: row for name, row in STANDARD["letters"].items() if name != "English"}
MEN: Final = ("knight", "bishop", "rook", "queen", "king")

#: One move of each man from one quiet position: English letter first, no two men to one square.
MEN_AT_WORK: Final = "4k3/1p6/8/8/8/8/1P6/R1BQK2N w - - 0 1"
ONE_MOVE_EACH: Final = {"N": "Ng3", "B": "Be3", "R": "Ra5", "Q": "Qd5", "K": "Kf2"}


def test_the_sample_game_of_section_2_3_is_played_without_a_fault() -> None:
    line, faults = play("\n".join(GAME["movetext"]))
    assert faults == ()
    assert line.is_whole
    assert len(line.plies) == GAME["plies"] == 85
    assert line.result == GAME["tags"]["Result"]
    assert open_place(line, len(line.plies)).fen == GAME["final_fen"]


def test_the_sample_game_numbers_its_moves_to_43() -> None:
    line, _ = play("\n".join(GAME["movetext"]))
    assert [(ply.number, ply.mover) for ply in (line.plies[0], line.plies[-1])] == [
        (1, "white"),
        (43, "white"),
    ]


@pytest.mark.parametrize(
    ("row", "uci", "san"),
    [
        pytest.param(row, uci, san, id=f"{row['name']} - {san}")
        for row in TELLING_APART
        for uci, san in row["moves"].items()
    ],
)
def test_a_move_is_written_as_section_8_2_3_4_disambiguates_it(
    row: dict[str, Any], uci: str, san: str
) -> None:
    line, faults = play(numbered([san], fen=row["fen"]), fen=row["fen"])
    assert faults == ()
    assert (line.plies[0].origin, line.plies[0].target) == (uci[:2], uci[2:])


@pytest.mark.parametrize(
    ("row", "uci", "san"),
    [
        pytest.param(row, uci, san, id=f"{row['name']} - {san}")
        for row in TELLING_APART
        for uci, san in row["moves"].items()
        if san != san[0] + uci
    ],
)
def test_more_letters_than_section_8_2_3_4_asks_for_are_named_with_the_right_spelling(
    row: dict[str, Any], uci: str, san: str
) -> None:
    _, faults = play(numbered([san[0] + uci], fen=row["fen"]), fen=row["fen"])
    assert [fault.code for fault in faults] == ["not-canonical"]
    assert faults[0].repair is not None
    assert faults[0].repair.text == san


@pytest.mark.parametrize(
    "row", [row for row in TELLING_APART if len(row["moves"]) > 1], ids=lambda row: row["name"]
)
def test_a_move_that_two_men_can_make_is_refused_without_its_letter(row: dict[str, Any]) -> None:
    san = next(iter(row["moves"].values()))
    _, faults = play(numbered([san[0] + san[-2:]], fen=row["fen"]), fen=row["fen"])
    assert [fault.code for fault in faults] == ["ambiguous-move"]


@pytest.mark.parametrize(
    ("row", "uci"),
    [pytest.param(row, uci, id=uci) for row in TELLING_APART for uci in row["illegal"]],
)
def test_the_pinned_knight_of_section_8_2_3_4_cannot_be_named(
    row: dict[str, Any], uci: str
) -> None:
    _, faults = play(numbered([f"N{uci[0]}{uci[2:]}"], fen=row["fen"]), fen=row["fen"])
    assert [fault.code for fault in faults] == ["illegal-move"]
    assert any("pinned" in note for note in faults[0].notes)


@pytest.mark.parametrize(
    "row",
    [row for row in FIVE_FENS if row["moves"] is not None],
    ids=[" ".join(row["moves"]) or "start" for row in FIVE_FENS if row["moves"] is not None],
)
def test_a_fen_of_section_16_1_4_is_reached_by_its_moves(row: dict[str, Any]) -> None:
    """The standard writes an en passant square after every double step; we write it only where the
    capture is legal (Laws of Chess, article 9.2.3), so that field is left out here."""
    line, faults = play(numbered(row["moves"]))
    assert faults == ()
    reached = open_place(line, len(line.plies)).fen.split()
    expected = row["fen"].split()
    assert (reached[:3], reached[4:]) == (expected[:3], expected[4:])


@pytest.mark.parametrize("row", FIVE_FENS, ids=[row["fen"].split()[0] for row in FIVE_FENS])
def test_a_fen_of_section_16_1_4_is_read(row: dict[str, Any]) -> None:
    report = Report()
    text = FenText(fen=row["fen"], span=Span.of_file("lessons/line.md"))
    position = read_fen(text, is_partial=False, report=report)
    assert position is not None
    assert report.sorted() == ()
    assert position.fen.split()[:3] == row["fen"].split()[:3]


@pytest.mark.parametrize(("glyph", "nag"), STANDARD["suffixes"].items())
def test_a_glyph_of_section_8_2_3_8_is_its_nag(glyph: str, nag: int) -> None:
    by_glyph, _ = play(f"1. e4{glyph}")
    by_number, faults = play(f"1. e4 ${nag}")
    assert faults == ()
    assert by_glyph.plies[0].nags == by_number.plies[0].nags == (nag,)


@pytest.mark.parametrize("number", [0, 139, 255])
def test_a_nag_of_section_8_2_4_is_read(number: int) -> None:
    line, faults = play(f"1. e4 ${number}")
    assert faults == ()
    assert line.plies[0].nags == (number,)


def test_a_nag_above_255_is_refused() -> None:
    _, faults = play("1. e4 $256")
    assert [(fault.code, fault.span.column) for fault in faults] == [("bad-nag", 7)]


@pytest.mark.parametrize("result", ["1-0", "0-1", "1/2-1/2", "*"])
def test_a_termination_marker_of_section_8_2_6_is_read(result: str) -> None:
    line, faults = play(f"1. e4 e5 {result}")
    assert faults == ()
    assert line.result == result


@pytest.mark.parametrize(
    ("language", "letter", "english"),
    [
        pytest.param(language, letter, english, id=f"{language} {MEN[at]} {letter}")
        for language, letters in FOREIGN.items()
        for at, (letter, english) in enumerate(zip(letters[1:], "NBRQK", strict=True))
        if letter not in "PNBRQK"
    ],
)
def test_a_piece_letter_of_section_17_is_named_with_its_language(
    language: str, letter: str, english: str
) -> None:
    san = ONE_MOVE_EACH[english]
    _, faults = play(f"1. {letter}{san[1:]}", fen=MEN_AT_WORK)
    assert [(fault.code, fault.span.column) for fault in faults] == [("foreign-letter", 4)]
    assert any(language in note for note in faults[0].notes)
    assert any(san in text for text in faults[0].help)


@pytest.mark.parametrize(
    ("language", "letter", "english"),
    [
        pytest.param(language, letter, english, id=f"{language} {MEN[at]} {letter}")
        for language, letters in FOREIGN.items()
        for at, (letter, english) in enumerate(zip(letters[1:], "NBRQK", strict=True))
        if letter in "PNBRQK" and letter != english
    ],
)
def test_a_letter_that_is_another_man_in_english_is_never_guessed(
    language: str, letter: str, english: str
) -> None:
    """`Rf2` may be a French king: read as English it is another move, or none."""
    san = ONE_MOVE_EACH[english]
    line, faults = play(f"1. {letter}{san[1:]}", fen=MEN_AT_WORK)
    assert line.plies == ()
    assert [fault.span.column for fault in faults] == [4]
