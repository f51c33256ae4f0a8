"""A file of any size is read in pieces of a bounded size that hold whole games."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from plybook.board import games_in
from plybook.board.games_in import split
from plybook.board.games_in.split import Splitter
from plybook.desk.importing.scan import Task, look_through

_MANY: Final = 6000


def cut(path: Path) -> list[games_in.RawGame]:
    with path.open("rb") as stream:
        encoding = games_in.encoding_of(stream)
    pieces = list(games_in.pieces_of(path, encoding=encoding))
    assert pieces[-1].end == path.stat().st_size
    return [raw for piece in pieces for raw in piece.games]


def games(path: Path) -> list[games_in.ReadGame | games_in.Rejected]:
    return [games_in.read_game(raw) for raw in cut(path)]


@pytest.mark.parametrize("first_tag", ["Event", "White"])
def test_pieces_end_between_games_and_lines_count_on(first_tag: str, tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    game = f'[{first_tag} "a"]\n[Site "b"]\n\n1. e4 {{{"remark " * 60}}} 1... e5 *\n\n'
    path.write_text(game * _MANY, encoding="utf-8")
    found = games(path)
    assert len(found) == _MANY
    assert [one.line for one in found] == [1 + 5 * at for at in range(_MANY)]
    assert all(isinstance(one, games_in.ReadGame) for one in found)


def test_a_remark_that_is_never_closed_takes_one_game_alone(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    good = '[Event "a"]\n\n1. e4 e5 *\n\n'
    bad = '[Event "b"]\n\n1. e4 { never closed\n\n'
    path.write_text(good * 3000 + bad + good * 30000, encoding="utf-8")
    found = games(path)
    assert len(found) == 33001
    assert [at for at, one in enumerate(found) if isinstance(one, games_in.Rejected)] == [3000]


def test_a_game_without_an_end_is_rejected_and_the_next_ones_are_read(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    row = "more and more words without a tag\n"
    good = '[Event "a"]\n\n1. e4 e5 *\n\n'
    path.write_text(f'[Event "b"]\n\n1. e4 {{{row * 300_000}' + good * 10, encoding="utf-8")
    found = games(path)
    assert [isinstance(one, games_in.ReadGame) for one in found] == [False, *[True] * 10]
    assert found[0].line == 1
    assert [one.line for one in found[1:]] == [300_003 + 4 * at for at in range(10)]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        # White before Event: the section of tags belongs together.
        ('[White "a"]\n[Event "b"]\n\n1. e4 {' + "remark " * 60 + "} e5 *\n\n", 4000),
        # No tags at all, and moves over three rows.
        (f"1. e4 {{{'x' * 60}}}\n1... e5\n2. Nf3 *\n\n", 52_000),
        ("1. e4 e5 *\n", 30_000),
        ("1. e4 e5 1-0 ", 100_000),
    ],
)
def test_as_many_games_are_read_as_stand_in_the_file(text: str, count: int, tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_text(text * count, encoding="utf-8")
    found = cut(path)
    assert len(found) == count
    rows = text.count("\n")
    assert [one.line for one in found] == [1 + rows * at for at in range(count)]
    assert {" ".join(one.text.split()) for one in found} == {" ".join(text.split())}


@pytest.mark.parametrize("first_tag", ["", '[Event "a"]\n\n', '[White "a"]\n\n'])
@pytest.mark.parametrize("unit", ["more words ", "more\nwords\n", "x", "é"])
def test_a_game_with_a_very_long_remark_is_one_rejected_game(
    unit: str, first_tag: str, tmp_path: Path
) -> None:
    path = tmp_path / "games.pgn"
    good = f"{first_tag}1. e4 e5 *\n\n"
    remark = unit * (4_400_000 // len(unit.encode()))
    path.write_text(f"{good}{first_tag}1. e4 {{{remark}}} e5 *\n\n{good}", encoding="utf-8")
    found = games(path)
    assert [isinstance(one, games_in.ReadGame) for one in found] == [True, False, True]
    bad = found[1]
    assert isinstance(bad, games_in.Rejected)
    assert "more than 512 KiB" in bad.reason


def test_no_sign_is_cut_in_two_in_a_file_without_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    for shift in (0, 1):
        path.write_text("x" * shift + "é" * 2_300_000, encoding="utf-8")
        (game,) = games(path)
        assert isinstance(game, games_in.Rejected)


_SCRAPS: Final = (
    *("1. e4 e5", "2. Nf3", "1-0", "*", "1/2-1/2", "{", "}", "{a b}", "; 1-0", "%", "% 1-0", "("),
    *(")", '[Event "a"]', '[White "b"]', '[Site "c"', "]", "[Round", '"', "1. d4", "x", "é", "."),
    *("\n", "\n", "\n\n", " ", " \n \n", "\t", "\\"),
)


def test_what_is_cut_does_not_depend_on_where_the_parts_end() -> None:
    source = random.Random(43)
    for _ in range(4000):
        text = source.choice((" ", "")).join(source.choices(_SCRAPS, k=source.randrange(1, 40)))
        whole = list(games_in.split_games(text))
        splitter = Splitter()
        found, at = [], 0
        while at < len(text):
            size = source.randrange(1, 12)
            found += splitter.take(text[at : at + size])
            at += size
        assert found + splitter.take("", is_last=True) == whole, text


def test_what_is_held_of_a_file_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """Long lines, long games and long gaps, in the small: the games that fit are the same."""
    monkeypatch.setattr(split, "MOST_CHARACTERS", 400)
    monkeypatch.setattr(split, "_LONG_LINE", 200)
    source = random.Random(47)
    for _ in range(300):
        parts = [
            source.choice(
                (
                    '[Event "a"]\n\n1. e4 e5 *\n\n',
                    '[White "a"]\n[Event "b"]\n\n1. e4 {a ; b} e5 1-0\n\n',
                    "1. e4 e5 1-0\n\n",
                    f"1. e4 {{{'word ' * 300}}} e5 *\n\n",
                    f'[Event "a"]\n\n1. e4 {{{"word é" * 200}\n\n',
                    f"1. e4 {'Nf3 Nc6 ' * 200} *\n\n",
                    "\n" * 900,
                    f"1. e4 {' ' * 900} e5 *\n\n",
                )
            )
            for _ in range(12)
        ]
        text = "".join(parts)
        whole = list(games_in.split_games(text))
        splitter = Splitter()
        found, at = [], 0
        while at < len(text):
            size = source.randrange(1, 150)
            found += splitter.take(text[at : at + size])
            assert len(splitter._text) < 1000  # reaches inside: memory is what is promised
            at += size
        found += splitter.take("", is_last=True)
        assert [raw.line for raw in found] == [raw.line for raw in whole], text
        for mine, one in zip(found, whole, strict=True):
            assert len(one.text) > 400 if mine.is_cut else mine.text.split() == one.text.split()


def test_a_byte_order_mark_is_no_part_of_the_first_tag(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_bytes(b'\xef\xbb\xbf[Event "a"]\n\n1. e4 *\n')
    (game,) = games(path)
    assert isinstance(game, games_in.ReadGame)
    assert game.tags == {"Event": "a"}


@pytest.mark.parametrize(
    ("content", "encoding"),
    [
        (b"1. e4 *", "utf-8"),
        ("Zü".encode(), "utf-8"),
        ("Zü".encode("latin-1"), "latin-1"),
        (b"x" * (1 << 20) + "é".encode(), "utf-8"),  # the letter lies over the end of a block
        (b"x" * ((1 << 20) - 1) + "é".encode(), "utf-8"),
        (b"x" * (1 << 20) + b"\xc3", "latin-1"),
    ],
)
def test_a_file_is_utf_8_when_all_of_it_is(content: bytes, encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    path.write_bytes(content)
    with path.open("rb") as stream:
        assert games_in.encoding_of(stream) == encoding


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_file_is_not_read_far_ahead_of_what_is_done(
    jobs: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So the memory that a file takes does not grow with the file."""
    taken = 0

    def counted(path: Path, *, encoding: str) -> Iterator[games_in.Piece]:
        nonlocal taken
        for at in range(200):
            taken += 1
            yield games_in.Piece((games_in.RawGame("1. e4 *", 1 + 4 * at),), 0, 25 * (at + 1))

    monkeypatch.setattr(games_in, "pieces_of", counted)
    parts = look_through(tmp_path / "games.pgn", Task(encoding="utf-8"), jobs=jobs)
    for done, part in enumerate(parts, start=1):
        assert part.found[0].number == done
        assert taken <= done + 10
