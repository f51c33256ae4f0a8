"""The Laws of Chess (FIDE, in force since 2023): what may be written, what may be played.

Appendix C allows more than PGN does: zeros for castling, long moves, no sign for a capture or a
check. A lesson must hold the one PGN spelling, so each of these is recognised, reported, and
answered with that spelling, never taken over in silence. Values in `laws.json`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from outside.playing import numbered, play

LAWS: Final[dict[str, Any]] = json.loads(
    Path(__file__).with_name("laws.json").read_text(encoding="utf-8")
)
NOTATION: Final = LAWS["notation"]
SAME: Final = [row for row in NOTATION if row["written"] == row["san"]]
OTHER: Final = [row for row in NOTATION if row["written"] != row["san"]]
APART: Final = [row for row in OTHER if " " in row["written"]]
IN_ONE: Final = [row for row in OTHER if " " not in row["written"]]
POSITIONS: Final = LAWS["castling"] + LAWS["pins"]


def name(row: dict[str, Any]) -> str:
    """Return the id of a row: article, as written, as SAN."""
    return f"{row['article']} {row['written']} - {row['san']}"


@pytest.mark.parametrize("row", SAME, ids=name)
def test_a_spelling_that_the_laws_and_pgn_share_is_taken(row: dict[str, Any]) -> None:
    line, faults = play(numbered([row["written"]], fen=row["fen"]), fen=row["fen"])
    assert faults == ()
    assert line.plies[0].san == row["san"]


@pytest.mark.parametrize("row", IN_ONE, ids=name)
def test_a_spelling_of_the_laws_alone_is_answered_with_the_pgn_spelling(
    row: dict[str, Any],
) -> None:
    _, faults = play(numbered([row["written"]], fen=row["fen"]), fen=row["fen"])
    assert [fault.code for fault in faults] in (["not-canonical"], ["missing-mark"])
    assert faults[0].repair is not None
    assert faults[0].repair.text == row["san"]
    assert faults[0].help == (f"write `{row['san']}`",)


@pytest.mark.parametrize("row", APART, ids=name)
def test_a_remark_that_the_laws_allow_behind_a_move_is_blamed_itself(row: dict[str, Any]) -> None:
    movetext = numbered([row["written"]], fen=row["fen"])
    line, faults = play(movetext, fen=row["fen"])
    assert [ply.san for ply in line.plies] == [row["san"]]
    assert [fault.span.column for fault in faults] == [movetext.rindex(" ") + 2]


@pytest.mark.parametrize("row", APART, ids=name)
def test_a_remark_that_the_laws_allow_behind_a_move_is_answered(row: dict[str, Any]) -> None:
    _, faults = play(numbered([row["written"], "Kd7"], fen=row["fen"]), fen=row["fen"])
    assert [fault.code for fault in faults] == ["not-canonical"]
    assert faults[0].help


def test_en_passant_is_refused_for_the_king_it_would_bare() -> None:
    row = next(row for row in LAWS["pins"] if "exd6" in row["illegal"])
    _, faults = play(numbered(["exd6"], fen=row["fen"]), fen=row["fen"])
    told = " ".join(faults[0].notes)
    assert "king on a5" in told
    assert "rook on h5" in told


def test_the_sample_game_of_appendix_c_is_played_in_pgn_spelling() -> None:
    game = LAWS["sample_game"]
    line, faults = play("\n".join(game["movetext"]))
    assert faults == ()
    assert len(line.plies) == game["plies"]


def test_the_sample_game_of_appendix_c_is_not_taken_as_the_laws_print_it() -> None:
    _, faults = play("\n".join(LAWS["sample_game"]["written"]))
    assert faults


@pytest.mark.parametrize(
    ("row", "san"),
    [
        pytest.param(row, san, id=f"{row['article']} {row['name']} - {san}")
        for row in POSITIONS
        for san in row["legal"]
    ],
)
def test_a_move_that_articles_3_8_and_3_9_allow_is_legal(row: dict[str, Any], san: str) -> None:
    line, _ = play(numbered([san], fen=row["fen"]), fen=row["fen"])
    assert [ply.san.rstrip("+#") for ply in line.plies] == [san]


@pytest.mark.parametrize(
    ("row", "san"),
    [
        pytest.param(row, san, id=f"{row['article']} {row['name']} - {san}")
        for row in POSITIONS
        for san in row["illegal"]
    ],
)
def test_a_move_that_articles_3_8_and_3_9_forbid_is_illegal(row: dict[str, Any], san: str) -> None:
    line, faults = play(numbered([san], fen=row["fen"]), fen=row["fen"])
    assert line.plies == ()
    assert [fault.code for fault in faults] == ["illegal-move"]
