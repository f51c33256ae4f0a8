"""Whatever stands in a file, it is read or rejected: no other error, no lost game, bounded work."""

from __future__ import annotations

import random
import time
from typing import Final

import chess
import pytest

from importing.twin import chance_game, ours
from plybook.board import games_in

_SOUP: Final = (
    *("e4", "e5", "Nf3", "Nc6", "O-O", "exd5", "e8=Q", "1.", "1...", "12.", "best", "e.p.", "N"),
    *("(", ")", "{", "}", ";", "%", "$1", "$999", "!", "??", "+-", "=", "--", "Z0", "x"),
    *("1-0", "*", "1/2-1/2", '[Event "a"]', '[FEN "x"]', "[", "]", "[%cal Ga1b2]", '"', "\\"),
    *("\n", "\n\n", "\t", "é", "\u2028", "\x00", "\ufeff"),
)


def replayed(game: games_in.ReadGame) -> None:
    """Play a game's moves again from nothing but its squares."""
    boards = {0: chess.Board() if game.fen is None else chess.Board(game.fen)}
    for number, moved in enumerate(game.moves, start=1):
        board = boards[moved.parent].copy(stack=False)
        move = chess.Move(moved.origin, moved.target, moved.promotion or None)
        assert board.is_legal(move)
        board.push(move)
        boards[number] = board


def looked_at(text: str) -> int:
    """Read a text, look at what was read, and return how many games were whole."""
    assert "".join("".join(raw.text.split()) for raw in games_in.split_games(text)) in "".join(
        text.split()
    ) or any(row[:1] in "%;" for row in text.split("\n"))
    whole = 0
    for game in ours(text):
        assert 1 <= game.line <= text.count("\n") + 1
        if isinstance(game, games_in.ReadGame):
            whole += 1
            replayed(game)
            line, places = games_in.line_of(game, name="a")
            assert len(places) == len(game.moves) + 1
            assert line.is_whole
        else:
            assert game.line <= game.at <= text.count("\n") + 1
            assert game.reason
    return whole


def test_any_soup_of_tokens_is_read_or_rejected() -> None:
    source = random.Random(31)
    for _ in range(500):
        separator = source.choice((" ", " ", "", "\n"))
        looked_at(separator.join(source.choices(_SOUP, k=source.randrange(1, 30))))


def test_any_slip_in_a_game_is_read_or_rejected_and_the_next_game_is_read() -> None:
    source = random.Random(37)
    last = '\n\n[Event "last"]\n\n1. e4 e5 *\n'
    for _ in range(150):
        text = str(chance_game(source, plies=14))
        at = source.randrange(len(text))
        drop = source.choice((0, 1))
        text = text[:at] + source.choice(("", *_SOUP, "x", "(", "{")) + text[at + drop :]
        games = ours(text + last)
        assert isinstance(games[-1], games_in.ReadGame), text
        assert games[-1].tags == {"Event": "last"}, text
        looked_at(text + last)


@pytest.mark.parametrize(
    "text",
    [
        "(" * 100_000,
        "1. e4 " + "(1. d4 " * 20_000,
        "1. e4 " + "(1. d4) " * 20_000 + "*",
        "1. e4 {" + "x" * 500_000,
        "{x}" * 100_000,
        '[Event "a"]\n' * 20_000,
        '[Event "' * 20_000,
        "1. e4 $" + "9" * 200_000,
        "1" * 400_000,
        "[%cal " * 60_000,
        "1. e4 {" + "[%cal " * 60_000 + "} *",
        "\n" * 400_000 + "1. e4 *",
        "1. e4" + " \n" * 100_000 + "x",
        "1. e4" + "\n" * 200_000 + "x",
        "% x\n" * 100_000,
        "\\" * 200_000 + '"',
        '[a "' + '\\"' * 100_000,
        "1. e4 " + "9. " * 170_000,
        "1. e4 " + "{a}" * 170_000,
        "1. e4 " + "$1" * 250_000,
        "1. e4 " + "{[%cal Ge2e4]}" * 35_000,
        "1. e4 " + "(1. e4) " * 20_000,
        "1. e4 " + "\n;a" * 170_000,
        '[A "b"]\n' * 60_000 + "1. e4 *",
    ],
)
def test_a_heap_of_one_thing_takes_time_in_proportion(text: str) -> None:
    """All are below the limit of a game, so that the reader has to look at them."""
    start = time.process_time()
    list(map(type, ours(text)))
    assert time.process_time() - start < 8
