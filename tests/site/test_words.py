"""What is said: plies read aloud, positions man by man, captions, glyphs in words."""

from __future__ import annotations

import chess
import chess.pgn
import pytest

from plybook.board.model import Line, Mark
from plybook.site.wording.languages import ENGLISH, words_for
from plybook.site.wording.letters import move_html, move_text
from plybook.site.wording.words import (
    after,
    marks_words,
    men_words,
    position_words,
    spoken,
    turn_words,
    where,
)
from plybook.text.notation import LETTER_SETS
from site_lines import line_of, placement_of, position_of


def last_spoken(line: Line) -> str:
    return spoken(line.plies[-1], ENGLISH)


@pytest.mark.parametrize(
    ("fen", "san", "expected"),
    [
        pytest.param(chess.STARTING_FEN, "Nf3", "White knight, g1 to f3", id="quiet"),
        pytest.param(
            "4k3/8/8/3p4/4P3/8/8/4K3 w - - 0 2",
            "exd5",
            "White pawn, e4 to d5, takes a pawn",
            id="capture",
        ),
        pytest.param(
            "4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 2",
            "exd6",
            "White pawn, e5 to d6, takes the pawn on d5 in passing",
            id="in passing",
        ),
        pytest.param("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "O-O", "White castles short", id="short"),
        pytest.param(
            "r3k2r/8/8/8/8/8/8/3K4 b kq - 0 1",
            "O-O-O+",
            "Black castles long, check",
            id="long, with check",
        ),
        pytest.param(
            "1n2k3/P7/8/8/8/8/8/4K3 w - - 0 1",
            "axb8=N",
            "White pawn, a7 to b8, takes a knight, becomes a knight",
            id="promotion",
        ),
        pytest.param(
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1",
            "Ra8#",
            "White rook, a1 to a8, mate",
            id="mate",
        ),
        pytest.param(
            "7k/8/6K1/8/8/8/8/5Q2 w - - 0 1",
            "Qf7",
            "White queen, f1 to f7, stalemate",
            id="stalemate",
        ),
    ],
)
def test_a_ply_is_read_aloud(fen: str, san: str, expected: str) -> None:
    assert last_spoken(line_of(san, fen=fen)) == expected


def test_what_the_man_attacks_is_named_by_square_and_kind() -> None:
    board = chess.Board()
    for san in ("e4", "e5", "Nf3"):
        board.push_san(san)
    ply = line_of("e4", "e5", "Nf3").plies[-1]
    told = spoken(ply, ENGLISH, placement=placement_of(board), attacked=("e5",))
    assert told == "White knight, g1 to f3, attacks the e5 pawn"
    told = spoken(ply, ENGLISH, placement=placement_of(board), attacked=("e5", "d8"))
    assert told.endswith("attacks the e5 pawn and the d8 queen")


def test_a_position_in_words_names_every_man_once() -> None:
    board = chess.Board()
    text = men_words(placement_of(board), ENGLISH)
    assert text == (
        "White: king on e1, queen on d1, rooks on a1 and h1, bishops on c1 and f1, "
        "knights on b1 and g1, pawns on a2, b2, c2, d2, e2, f2, g2 and h2. "
        "Black: king on e8, queen on d8, rooks on a8 and h8, bishops on c8 and f8, "
        "knights on b8 and g8, pawns on a7, b7, c7, d7, e7, f7, g7 and h7."
    )


def test_a_side_without_men_is_said_to_have_none() -> None:
    placement = "." * 64
    assert men_words(placement, ENGLISH) == "White: no men. Black: no men."


def test_a_position_ends_with_the_side_to_move() -> None:
    board = chess.Board("4k3/8/8/8/8/8/8/4K3 b - - 0 1")
    assert position_words(position_of(board), ENGLISH).endswith(" Black to move.")
    assert turn_words(position_of(board), ENGLISH) == "Black to move"


def test_marks_are_said_with_their_squares() -> None:
    marks = (
        Mark(is_arrow=True, role="attack", squares=("c4", "f7")),
        Mark(is_arrow=True, role="pin", squares=("g4", "f3", "d1")),
        Mark(is_arrow=False, role="weak", squares=("f7",)),
    )
    assert marks_words(marks, ENGLISH) == "c4 attacks f7. g4 pins f3 to d1. f7 is a weak square."


def test_a_place_is_named_by_the_move_before_it() -> None:
    white, black = line_of("e4", "Nf6").plies
    assert after(white, ENGLISH, letters="figurine") == "After 1.e4"
    assert after(black, ENGLISH, letters="german") == "After 1…Sf6"
    assert after(None, ENGLISH, letters="figurine") == "The start"
    assert where(black, ENGLISH, letters="english") == "after 1…Nf6"
    assert where(None, ENGLISH, letters="english") == "at the start"


def test_every_glyph_of_the_standard_beyond_the_six_signs_has_words() -> None:
    # PGN standard, section 10: 0 says nothing, 1 to 6 are signs, 7 to 139 have a meaning
    told = {number: ENGLISH.nag(number) for number in range(7, 140)}
    assert len(set(told.values())) == len(told)
    assert not any("$" in words or "{" in words for words in told.values())
    assert told[chess.pgn.NAG_FORCED_MOVE] == "forced move"
    assert told[chess.pgn.NAG_WHITE_DECISIVE_ADVANTAGE].startswith("White")
    assert told[chess.pgn.NAG_BLACK_ZUGZWANG] == "Black is in zugzwang"
    assert told[chess.pgn.NAG_BLACK_SEVERE_TIME_PRESSURE] == "Black is very short of time"


def test_a_glyph_without_a_meaning_is_shown_as_its_number() -> None:
    assert [ENGLISH.nag(number) for number in (140, 146, 255)] == ["$140", "$146", "$255"]


def test_a_language_without_a_catalogue_is_spoken_in_english() -> None:
    assert words_for("xx") is ENGLISH
    assert words_for("en-GB") is ENGLISH


# Section 17 of the PGN standard: the letters of some languages
@pytest.mark.parametrize(
    ("letters", "shown"),
    [
        pytest.param("english", "Nbd7 e8=Q+ O-O Kxe2", id="english"),
        pytest.param("german", "Sbd7 e8=D+ O-O Kxe2", id="german"),
        pytest.param("french", "Cbd7 e8=D+ O-O Rxe2", id="french"),
        pytest.param("russian", "Кbd7 e8=Ф+ O-O Крxe2", id="russian"),  # from memory
        pytest.param("hungarian", "Hbd7 e8=V+ O-O Kxe2", id="hungarian"),
    ],
)
def test_a_move_is_shown_in_the_letters_of_a_language(letters: str, shown: str) -> None:
    moves = ("Nbd7", "e8=Q+", "O-O", "Kxe2")
    assert " ".join(move_text(san, letters) for san in moves) == shown
    assert " ".join(move_html(san, letters) for san in moves) == shown


def test_a_figurine_is_an_element_that_holds_the_english_letter() -> None:
    assert move_html("Nbd7", "figurine") == "<i>N</i>bd7"
    assert move_html("exd8=Q#", "figurine") == "exd8=<i>Q</i>#"
    assert move_html("O-O-O", "figurine") == "O-O-O"
    assert move_text("Nbd7", "figurine") == "Nbd7"


def test_there_is_a_letter_set_for_every_language_of_the_standard() -> None:
    assert len(LETTER_SETS) == 20  # figurines, the page's own, 17 languages, Russian
    assert {"figurine", "english", "czech", "swedish"} <= set(LETTER_SETS)
