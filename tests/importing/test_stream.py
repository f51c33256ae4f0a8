"""A file of any size is read in pieces of a bounded size that hold whole games."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from plybook.board import games_in
from plybook.desk.importing.scan import Task, look_through

_BOUND: Final = 8 << 20
_MANY: Final = 6000


def texts(path: Path) -> list[str]:
    pieces = list(games_in.pieces_of(path))
    assert max(len(piece.content) for piece in pieces) <= _BOUND
    assert pieces[-1].end == path.stat().st_size
    assert b"".join(piece.content for piece in pieces) == path.read_bytes()
    return [piece.text("utf-8")[0] for piece in pieces]


def games(path: Path) -> list[games_in.ReadGame | games_in.Rejected]:
    found: list[games_in.ReadGame | games_in.Rejected] = []
    for piece in games_in.pieces_of(path):
        text, _ = piece.text("utf-8")
        found += map(games_in.read_game, games_in.split_games(text, first_line=piece.line))
    return found


@pytest.mark.parametrize("first_tag", ["Event", "White"])
def test_pieces_end_between_games_and_lines_count_on(first_tag: str, tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    game = f'[{first_tag} "a"]\n[Site "b"]\n\n1. e4 {{{"remark " * 60}}} 1... e5 *\n\n'
    path.write_text(game * _MANY, encoding="utf-8")
    assert len(texts(path)) > 2 if first_tag == "Event" else len(texts(path)) >= 1
    found = games(path)
    assert len(found) == _MANY
    assert [one.line for one in found] == [1 + 5 * at for at in range(_MANY)]
    assert all(isinstance(one, games_in.ReadGame) for one in found)


def test_a_remark_that_is_never_closed_takes_one_game_alone(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    good = '[Event "a"]\n\n1. e4 e5 *\n\n'
    bad = '[Event "b"]\n\n1. e4 { never closed\n\n'
    path.write_text(good * 3000 + bad + good * 30000, encoding="utf-8")
    assert len(texts(path)) > 2
    found = games(path)
    assert len(found) == 33001
    assert [at for at, one in enumerate(found) if isinstance(one, games_in.Rejected)] == [3000]


def test_a_game_without_an_end_is_rejected_and_the_next_ones_are_read(tmp_path: Path) -> None:
    path = tmp_path / "games.pgn"
    row = "more and more words without a tag\n"
    good = '[Event "a"]\n\n1. e4 e5 *\n\n'
    path.write_text(f'[Event "b"]\n\n1. e4 {{{row * 300_000}' + good * 10, encoding="utf-8")
    assert len(texts(path)) > 2
    found = games(path)
    assert sum(isinstance(one, games_in.ReadGame) for one in found) == 10


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

    def counted(path: Path) -> Iterator[games_in.Piece]:
        nonlocal taken
        for at in range(200):
            taken += 1
            yield games_in.Piece(b'[Event "a"]\n\n1. e4 *\n\n', 1 + 4 * at, 25 * (at + 1))

    monkeypatch.setattr(games_in, "pieces_of", counted)
    parts = look_through(tmp_path / "games.pgn", Task(encoding="utf-8"), jobs=jobs)
    for done, part in enumerate(parts, start=1):
        assert part.found[0].number == done
        assert taken <= done + 10
