"""The command `ledger`: a lesson's lines, a PGN file's games, the list of facts."""

from __future__ import annotations

import json
from pathlib import Path

import chess.pgn
import pytest

from diagnostics.folder import HEAD, LESSON, PRINCIPLE, body, write
from diagnostics.run import plybook
from plybook.board import games_in, ledger

LINES = body(
    "```moves open\ntitle: Two knights\n\n1. e4 e5 2. Nf3 Nc6 (2... Nf6) 3. Bc4 Nf6\n```\n\n"
    "```moves on\nfrom: open@3...Nf6\n\n4. Bd5\n```\n"
)

GAMES = """[Event "Club evening"]
[White "Amber"]
[Black "Birch"]
[Date "1901.??.??"]

1. e4 e5 2. Nf3 (2. Bc4 Nf6) (2. Bc4 Bc5) 2... Nc6 {a comment} 3. Bb5 a6 1/2-1/2

[Event "A slip"]

1. e4 e5 2. Ke3 1-0

1.d4 d5
"""


def pgn(folder: Path, text: str = GAMES, *, encoding: str = "utf-8") -> Path:
    path = folder / "games.pgn"
    path.write_text(text, encoding=encoding)
    return path


# ---------------------------------------------------------------------- a lesson


def test_every_line_of_a_lesson_is_told_under_its_title(tmp_path: Path) -> None:
    ran = plybook("ledger", write(tmp_path, LINES) / LESSON)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("open: Two knights\nmove ")
    assert "\non\nmove " in ran.out


def test_a_line_knows_the_game_before_it(tmp_path: Path) -> None:
    ran = plybook("ledger", write(tmp_path, LINES) / LESSON, "--line", "on")
    assert "the bishop moves again" in ran.out
    assert "Two knights" not in ran.out


def test_drafts_can_be_looked_at(tmp_path: Path) -> None:
    draft = str(LINES[LESSON]).replace("title: Example\n", "title: Example\ndraft: true\n")
    ran = plybook("ledger", write(tmp_path, {LESSON: draft}) / LESSON)
    assert ran.code == 0
    assert "4.Bd5" in ran.out


def test_the_file_may_be_named_from_where_one_stands(tmp_path: Path) -> None:
    folder = write(tmp_path, LINES)
    assert plybook("ledger", "01-example.md", within=folder / "lessons").code == 0


def test_a_faulty_line_is_told_as_far_as_it_goes(tmp_path: Path) -> None:
    ran = plybook("ledger", write(tmp_path, body("```moves a\n1. e4 e5 2. Ke3\n```\n")) / LESSON)
    assert ran.code == 1
    assert "1...e5" in ran.out
    assert "plybook check" in ran.err


# ---------------------------------------------------------------------- a PGN file


def test_every_game_is_read_or_rejected_with_its_number(tmp_path: Path) -> None:
    ran = plybook("ledger", pgn(tmp_path))
    assert ran.code == 1
    assert "Game 1: Amber against Birch, Club evening, 1901\n" in ran.out
    assert "Game 3\n" in ran.out
    assert ran.err == "game 2 (A slip) is left out: `Ke3` is an illegal move, line 10\n"


def test_a_game_is_chosen_by_its_number(tmp_path: Path) -> None:
    ran = plybook("ledger", pgn(tmp_path), "--line", "3")
    assert "1.d4" in ran.out
    assert "1.e4" not in ran.out


def test_a_move_given_twice_keeps_both_continuations(tmp_path: Path) -> None:
    out = plybook("ledger", pgn(tmp_path), "--line", "1").out
    assert out.count("2.Bc4") == 1
    assert "2...Nf6" in out
    assert "2...Bc5" in out


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1"])
def test_a_name_is_read_in_any_usual_encoding(encoding: str, tmp_path: Path) -> None:
    text = GAMES.replace("Amber", "Ängström")
    assert "Ängström" in plybook("ledger", pgn(tmp_path, text, encoding=encoding)).out


def read(text: str) -> games_in.ReadGame | games_in.Rejected:
    """Return the only game of a text."""
    (raw,) = games_in.split_games(text)
    return games_in.read_game(raw)


def nested(depth: int) -> str:
    """Return a game with a sideline of a sideline and so on, each a move long."""
    game = chess.pgn.Game()
    node: chess.pgn.GameNode = game
    for _ in range(depth):
        first, second, *_ = node.board().legal_moves
        node.add_variation(first)
        node = node.add_variation(second)
    return f"{game}\n"


def test_a_game_may_be_nested_as_deep_as_a_lesson() -> None:
    game = read(nested(16))
    assert isinstance(game, games_in.ReadGame)
    line, _ = games_in.line_of(game, name="game")
    assert max(ply.depth for ply in line.plies) == 16


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('[Event "x"]\n\n*\n', "no moves"),
        ("hello\n", "the word `hello` is unknown"),
        ("1. e4 -- 2. d4 *\n", "null move"),
        ('[Variant "Atomic"]\n\n1. e4 e5 *\n', "another game"),
        ('[Variant "No such game"]\n\n1. e4 e5 *\n', "No such game"),
        ('[SetUp "1"]\n[FEN "nonsense"]\n\n1. e4 *\n', "cannot be read"),
        ('[FEN "8/8/8/8/8/8/8/K6R w - - 0 1"]\n\n1. Rh8 *\n', "no king"),
        ("1. e4 e5 2. Ke3 *\n", "illegal"),
        ("1. Nf3 a6 2. Nc3 a5 3. Nd4 a4 4. Nb5 *\n", "ambiguous"),
        (nested(17), "deeper than 16"),
    ],
)
def test_what_is_no_game_of_chess_is_rejected(text: str, reason: str) -> None:
    game = read(text)
    assert isinstance(game, games_in.Rejected)
    assert reason in game.reason


def test_a_game_from_a_position_begins_there() -> None:
    text = '[SetUp "1"]\n[FEN "4k3/8/8/8/8/8/4P3/4K3 b - - 0 30"]\n\n30... Ke7 31. e4 *\n'
    game = read(text)
    assert isinstance(game, games_in.ReadGame)
    line, _ = games_in.line_of(game, name="game")
    assert [ply.label for ply in line.plies] == ["30...Ke7", "31.e4"]


# ---------------------------------------------------------------------- JSON and facts


def test_json_holds_every_line_and_what_was_left_out(tmp_path: Path) -> None:
    document = json.loads(plybook("ledger", pgn(tmp_path), "--format", "json").out)
    assert list(document) == ["version", "lines", "unread"]
    assert [line["line"] for line in document["lines"]] == ["1", "3"]
    assert document["lines"][1]["entries"][1]["move"] == "1.d4"
    assert len(document["unread"]) == 1


def test_the_list_of_facts_is_the_vocabulary() -> None:
    text = plybook("ledger", "--facts").out
    assert "centre-pawn\n  one more own pawn stands on d4, e4, d5 or e5 after the move\n" in text
    facts = json.loads(plybook("ledger", "--facts", "--format", "json").out)["facts"]
    assert [row["name"] for row in facts] == [kind.value for kind in ledger.FactKind]
    assert facts[0]["can"] == ["keep", "justify"]


# ---------------------------------------------------------------------- wrong usage


def test_2_for_a_file_that_is_none_of_ours(tmp_path: Path) -> None:
    folder = write(tmp_path / "course", LINES)
    (tmp_path / "alone.md").write_text(HEAD)
    (tmp_path / "empty.pgn").write_text("")
    for arguments in (
        ("ledger",),
        ("ledger", folder / "course.yaml"),
        ("ledger", folder / PRINCIPLE),
        ("ledger", folder / "lessons" / "02-no.md"),
        ("ledger", tmp_path / "alone.md"),
        ("ledger", tmp_path / "empty.pgn"),
        ("ledger", tmp_path / "no.pgn"),
        ("ledger", folder / LESSON, "--line", "opne"),
    ):
        ran = plybook(*arguments)
        assert (ran.code, ran.out) == (2, ""), arguments
        assert ran.err.count("\n") == 1, arguments
