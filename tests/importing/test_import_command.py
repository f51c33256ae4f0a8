"""`plybook import` as a coach uses it: lists, positions, principles, a lesson begun from a game."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import chess
import pytest

from diagnostics.folder import LESSON, write
from diagnostics.run import Ran, plybook
from ledger.games import PARIS_1858

#: Our own lines. In the second the queen comes out and is chased at once; in the third the same
#: happens later in the game; in the fourth nothing is broken.
QUICK: Final = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Qf6 4. Nc3 Bc5 5. Nd5 Qg6 6. O-O *"
LATER: Final = "1. e4 e5 2. Nf3 Nc6 3. Bc4 d6 4. d3 Qf6 5. Nc3 Be6 6. h3 a6 7. Nd5 Qg6 *"
QUIET: Final = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 *"
FILE: Final = "\n\n".join(
    (
        f'[Event "Opera"]\n[Date "1858.??.??"]\n\n{PARIS_1858} 1-0',
        f'[Event "Later"]\n\n{LATER}',
        f'[Event "Quick"]\n\n{QUICK}',
        f'[Event "Quiet"]\n\n{QUIET}',
        '[Event "A slip"]\n\n1. e4 e5 2. Ke3 *',
    )
)
GENERATOR: Final = str(Path(__file__).resolve().parents[2] / "generator")
PRINCIPLE: Final = {
    "principles/queen-waits.md": "---\ntitle: The queen waits\nshort: Let her wait.\n"
    "broken_by: [queen-early]\npunished_by: [hits-queen]\n---\n\nText.\n"
}


@pytest.fixture
def pgn(tmp_path: Path) -> Path:
    """Return the file of games."""
    path = tmp_path / "games.pgn"
    path.write_text(FILE + "\n", encoding="utf-8")
    return path


@pytest.fixture
def course(tmp_path: Path) -> Path:
    """Return a course with one principle that can be broken and punished."""
    return write(tmp_path / "course", dict(PRINCIPLE))


def ask(*arguments: str | Path) -> Ran:
    return plybook("import", *arguments, "--jobs", "1")


# ---------------------------------------------------------------------- lists


def test_without_a_choice_the_games_are_listed_and_counted(pgn: Path) -> None:
    ran = ask(pgn)
    assert ran.code == 1
    rows = ran.out.rstrip().split("\n")
    assert rows[0] == "game 1: Opera, 1858 (17 moves, line 1)"
    assert len(rows) == 4
    assert "game 5 (A slip) is left out: `Ke3` is an illegal move, line 20" in ran.err
    assert "read 5 as utf-8: imported 4 (something put right in 0), rejected 1" in ran.err


def test_a_file_without_a_fault_leaves_with_0(tmp_path: Path) -> None:
    path = tmp_path / "one.pgn"
    path.write_text("1. e4 e5 *\n", encoding="utf-8")
    assert ask(path).code == 0


def test_latin_1_is_read_and_told(tmp_path: Path) -> None:
    path = tmp_path / "old.pgn"
    path.write_bytes('[Event "Züge"]\n1. e4 e5 *\n'.encode("latin-1"))
    ran = ask(path)
    assert "Züge" in ran.out
    assert "read 1 as latin-1" in ran.err


def test_a_position_is_found_whatever_the_order_of_the_moves(pgn: Path) -> None:
    board = chess.Board()
    for san in ["Nf3", "Nc6", "e4", "e5", "Bc4"]:  # another way to the same position
        board.push_san(san)
    ran = ask(pgn, "--position", board.fen())
    assert [row.rpartition("; ")[2] for row in ran.out.rstrip().split("\n")] == ["3.Bc4"] * 3


def test_a_position_in_a_variation_is_found(tmp_path: Path) -> None:
    path = tmp_path / "one.pgn"
    path.write_text("1. e4 e5 (1... c5 2. Nf3 (2. c3 d5) 2... d6) 2. Nf3 *\n", encoding="utf-8")
    for sans, place in (("e4 c5 c3 d5", "2...d5"), ("e4 c5 Nf3 d6", "2...d6"), ("", "start")):
        board = chess.Board()
        for san in sans.split():
            board.push_san(san)
        assert ask(path, "--position", board.fen()).out.rstrip().endswith(f"; {place}")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such file names for pipes")
@pytest.mark.parametrize("name", ["-", "/dev/stdin"])
def test_games_may_come_in_by_a_pipe(name: str, course: Path) -> None:
    def piped(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "plybook", "import", name, "--jobs", "1", *arguments],
            cwd=course,
            env={**os.environ, "PYTHONPATH": GENERATOR},
            input=FILE,
            encoding="utf-8",
            capture_output=True,
            timeout=60,
            check=False,
        )

    assert "read 5 as utf-8: imported 4" in piped().stderr
    assert piped("--game", "3").returncode == 0
    assert "3. Bc4 Qf6" in (course / "lessons" / "02-game-3.md").read_text(encoding="utf-8")
    none = piped("--game", "9").stderr
    assert none.endswith(f"no game 9 in {'standard input' if name == '-' else name}: it has 5\n")


# ---------------------------------------------------------------------- principles


@pytest.mark.parametrize("choice", [("--principle", "queen-waits"), ("--punished",)])
def test_breaches_that_are_punished_are_listed_the_best_first(
    choice: tuple[str, ...], pgn: Path, course: Path
) -> None:
    rows = ask(pgn, *choice, "--course", course).out.rstrip().split("\n")
    assert [row.partition(":")[0] for row in rows] == ["game 3 (Quick)", "game 2 (Later)"]
    assert "3...Qf6 breaks queen-waits (the queen comes out early" in rows[0]
    assert "3 plies later 5.Nd5 (" in rows[0]
    fen = rows[0].rpartition(": ")[2]
    assert chess.Board(fen).parse_san("Nd5")  # the position before the punishment


def test_fewer_plies_or_fewer_rows_may_be_asked_for(pgn: Path, course: Path) -> None:
    where = ("--punished", "--course", course)
    assert ask(pgn, *where, "--within", "2").out == ""
    assert ask(pgn, *where, "--within", "3").out.count("\n") == 1
    assert ask(pgn, *where, "--most", "1").out.count("\n") == 1


def test_a_search_that_finds_nothing_says_so_and_what_was_looked_for(
    pgn: Path, course: Path, tmp_path: Path
) -> None:
    ran = ask(pgn, "--punished", "--course", course, "--within", "2")
    assert "0 games found: no breach of `queen-waits` is punished within 2 half-moves" in ran.err
    assert "`--within 4`" in ran.err
    ran = ask(pgn, "--position", "8/8/8/8/8/4k3/4p3/4K3 w - - 0 1")
    assert "0 games found: none reaches this position" in ran.err


@pytest.mark.parametrize("choice", [("--principle", "bare"), ("--punished",)])
def test_a_principle_without_facts_is_answered_with_the_keys(
    choice: tuple[str, ...], pgn: Path, tmp_path: Path
) -> None:
    bare = {"principles/bare.md": "---\ntitle: Bare\nshort: Bare.\n---\n\nText.\n"}
    ran = ask(pgn, *choice, "--course", write(tmp_path / "bare", bare))
    assert ran.code == 2
    assert "`broken_by: [queen-early]`" in ran.err
    assert "`punished_by: [hits-queen]`" in ran.err
    assert "plybook ledger --facts" in ran.err


def test_json_has_games_rejected_and_the_sum(pgn: Path, course: Path) -> None:
    document = json.loads(ask(pgn, "--punished", "--course", course, "--format", "json").out)
    assert list(document) == ["version", "games", "rejected", "sum"]
    assert document["games"][0]["candidates"][0]["punishment"] == "5.Nd5"
    total = document["sum"]
    assert total["read"] == total["imported"] + total["rejected"] == 5
    assert document["rejected"][0]["number"] == 5


# ---------------------------------------------------------------------- a lesson


def test_a_game_becomes_a_draft_with_the_next_number(tmp_path: Path, course: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_text(
        '[ECO "C20"]\n[Opening "King\'s Pawn: a game"]\n[Date "1901.02.03"]\n\n'
        "1. e4 {[%csl Ge4][%cal Re4e5] *Both* [sides] <b>} e5 $1 $14 (1... c5 2. Nf3 (2. c3)) "
        "2. 0-0-0 *\n\n1. e4 {[%csl Ge4][%cal Re4e5] *Both* [sides] <b>} e5 $1 $14 "
        "(1... c5 2. Nf3 {[%csl Rd4]} (2. c3)) 2. Nf3 Nc6 1/2-1/2\n",
        encoding="utf-8",
    )
    ran = ask(path, "--game", "2", "--course", course, "--lesson", "from-a-game")
    assert ran.code == 0, ran.err
    text = (course / "lessons" / "02-from-a-game.md").read_text(encoding="utf-8")
    assert text.startswith('---\ntitle: "A game to work on"\ndraft: true\n---\n')
    assert "at 1.e4: mark target e4\nat 1.e4: arrow plan e4 e5\n" in text
    assert "at 1...c5>2.Nf3: mark target d4\n" in text
    assert r"1. e4 {\*Both\* \[sides\] &lt;b&gt;} 1... e5! $14 (1... c5 2. Nf3 (2. c3))" in text
    assert text.endswith("2. Nf3 Nc6 1/2-1/2\n```\n")
    checked = plybook("check", course)
    assert checked.code == 0
    published = text.replace("draft: true\n", "")
    (course / "lessons" / "02-from-a-game.md").write_text(published, encoding="utf-8")
    checked = plybook("check", course)
    assert (checked.code, "error" in checked.err) == (0, False), checked.err


def test_a_game_from_a_position_begins_there(tmp_path: Path, course: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_text('[FEN "4k3/8/8/8/8/8/4P3/4K3 b - - 0 30"]\n30... Ke7 31. e4 *\n')
    assert ask(path, "--game", "1", "--course", course).code == 0
    text = (course / "lessons" / "02-game-1.md").read_text(encoding="utf-8")
    assert "from: fen 4k3/8/8/8/8/8/4P3/4K3 b - - 0 30\n" in text
    assert "\n30... Ke7 31. e4\n" in text


def test_what_is_put_right_in_the_game_is_told_with_its_line(tmp_path: Path, course: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_text('[WhiteElo "1100"]\n\n1. e2-e4\ne5 2. Nf3 {[%clk 0:1:0]} *\n')
    ran = ask(path, "--game", "1", "--course", course)
    assert "  line 3: a move was written otherwise\n" in ran.out
    assert "  line 4: a command in a remark was left out `clk`\n" in ran.out
    assert "  tags left out: WhiteElo\n" in ran.out
    assert "1100" not in ran.out
    assert "Local law" in ran.out


def test_a_game_that_makes_no_lesson_is_told_in_one_line(tmp_path: Path, course: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_text(f"{'Nf3 Nf6 Ng1 Ng8 ' * 501} *\n", encoding="utf-8")
    ran = ask(path, "--game", "1", "--course", course)
    assert (ran.code, ran.err.count("\n")) == (2, 1)
    assert "game 1, line 1, makes no lesson" in ran.err


@pytest.mark.parametrize(
    "tags",
    [
        '[WHITE "Berg, Anna"]\n[black "Tal"]',
        '[White "Berg, Anna"]\n[White "?"]',
        '[White "?"]\n[Black "Berg, Anna"]\n[BLACK "?"]',
        '[Annotator "Berg, Anna"]\n[Annotator "?"]',
        '[ANNOTATOR "Anna Berg"]',
    ],
)
def test_a_name_is_known_however_its_tag_is_written(
    tags: str, tmp_path: Path, course: Path
) -> None:
    path = tmp_path / "games.pgn"
    path.write_text(f"{tags}\n\n1. e4 {{Anna Berg, well played, Anna}} *\n", encoding="utf-8")
    ran = ask(path, "--game", "1", "--course", course)
    assert ran.code == 0, ran.err
    text = (course / "lessons" / "02-game-1.md").read_text(encoding="utf-8")
    assert "well played" in text
    assert "Anna" not in text
    assert "Berg" not in text


# ---------------------------------------------------------------------- wrong usage


def test_2_for_what_cannot_be_done(pgn: Path, course: Path, tmp_path: Path) -> None:
    (tmp_path / "empty.pgn").write_text("")
    (tmp_path / "wide.pgn").write_bytes("1. e4 *".encode("utf-16"))
    at = ("--course", course)
    for arguments in (
        (tmp_path / "no.pgn",),
        (tmp_path / "empty.pgn",),
        (tmp_path / "wide.pgn",),
        (pgn, "--game", "99", *at),
        (pgn, "--game", "5", *at),
        (pgn, "--game", "1", "--punished", *at),
        (pgn, "--game", "1", "--format", "json", *at),
        (pgn, "--game", "1", "--lesson", "example", *at),
        (pgn, "--game", "1", "--lesson", "No Address", *at),
        (pgn, "--game", "1", "--consent", tmp_path / "no.yaml", *at),
        (pgn, "--game", "1", "--today", "tomorrow", *at),
        (pgn, "--position", "nonsense"),
        (pgn, "--principle", "quen-waits", *at),
        (pgn, "--principle", "centre", *at),
    ):
        ran = ask(*arguments)
        assert ran.code == 2, arguments
        assert "Traceback" not in ran.err
    assert sorted(path.name for path in (course / "lessons").iterdir()) == [Path(LESSON).name]
