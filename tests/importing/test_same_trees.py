"""What two readers make of the same games: ours, and python-chess where it reports no error.

The published games are those of tests/outside and tests/ledger, whose sources stand there. Where
the readers differ on purpose, the case stands in `DIFFERENCES` with its reason.
"""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Final

import pytest

from importing.twin import chance_game, our_tree, ours, their_games, their_tree
from ledger.games import CENTRE_GAME, LASKER_BD5, PARIS_1858, SCANDINAVIAN
from plybook.board import games_in

OUTSIDE: Final = Path(__file__).resolve().parents[1] / "outside"
STANDARD: Final = json.loads((OUTSIDE / "pgn_standard.json").read_text(encoding="utf-8"))
SHORT: Final = json.loads((OUTSIDE / "short_games.json").read_text(encoding="utf-8"))
PUBLISHED: Final = (
    "\n".join(STANDARD["sample_game"]["movetext"]),
    PARIS_1858,
    LASKER_BD5,
    CENTRE_GAME,
    SCANDINAVIAN,
    *(game["moves"] for game in SHORT),
)


#: Tournament games as files spread them (tests/outside/README.md names the source).
TOURNAMENT: Final = (OUTSIDE / "tournament_games.pgn").read_text(encoding="utf-8")


def test_the_games_of_a_published_file_have_one_tree_each() -> None:
    theirs = their_games(TOURNAMENT)
    games = ours(TOURNAMENT)
    assert len(games) == len(theirs) == 9
    for number, (mine, yours) in enumerate(zip(games, theirs, strict=True), start=1):
        assert yours.errors == []
        if number == 7:  # a variation passes the move with `Z0`, which no rule of chess allows
            assert isinstance(mine, games_in.Rejected)
            assert mine.reason == "`Z0` is a null move"
            continue
        assert isinstance(mine, games_in.ReadGame), mine
        assert our_tree(mine) == their_tree(yours)
        assert mine.result == yours.headers["Result"]


@pytest.mark.parametrize("movetext", PUBLISHED)
def test_a_published_game_has_one_tree(movetext: str) -> None:
    (theirs,) = their_games(movetext)
    (game,) = ours(movetext)
    assert theirs.errors == []
    assert isinstance(game, games_in.ReadGame)
    assert our_tree(game) == their_tree(theirs)


def test_all_published_games_in_one_file_are_told_apart() -> None:
    text = "\n\n".join(f'[Event "{at}"]\n\n{moves}' for at, moves in enumerate(PUBLISHED))
    games = ours(text)
    assert len(games) == len(PUBLISHED)
    assert all(isinstance(game, games_in.ReadGame) for game in games)


def test_games_with_variations_remarks_and_nags_have_one_tree() -> None:
    source = random.Random(11)
    text = "\n\n".join(str(chance_game(source, plies=50)) for _ in range(60))
    theirs = their_games(text)
    games = ours(text)
    assert len(games) == len(theirs) == 60
    for mine, yours in zip(games, theirs, strict=True):
        assert isinstance(mine, games_in.ReadGame), mine
        assert our_tree(mine) == their_tree(yours)
        assert mine.result == yours.headers["Result"]


#: Text that both read without an error, and otherwise: the reason, and what we make of it.
DIFFERENCES: Final = {
    "1. e4 the pawn on e5 is weak *": "a word is no move, and nothing is skipped",
    "1. nf3 d5 *": "small n is no piece; they read the pawn move f3",
    "1. e4 e5 {never closed": "a remark that is never closed hides what follows",
    "1. e4 e5 ) 2. d4 *": "a bracket that closes nothing",
    "1. e4 -- 2. d4 *": "a null move is no move of the game",
    "[FEN “8/8/8/8/8/8/8/K1k5 w - - 0 1”]\n\n1. e4 *": "a tag they skip, and with it the position",
    '[Variant "Antichess"]\n\n1. e4 e5 *': "another game than chess",
}


@pytest.mark.parametrize("text", DIFFERENCES)
def test_what_they_pass_over_in_silence_we_reject_with_a_reason(text: str) -> None:
    (theirs, *_) = their_games(text)
    assert theirs.errors == []
    (game, *rest) = ours(text)
    assert isinstance(game, games_in.Rejected)
    assert rest == []


def test_an_empty_line_in_the_moves_ends_the_game_for_them_alone() -> None:
    """PGN standard, section 3.2.1: any white space may part the tokens of movetext."""
    text = "1. e4 e5\n\n2. Nf3 Nc6 *"
    assert len(their_games(text)[0].variations[0].variations[0].variations) == 0
    (game,) = ours(text)
    assert isinstance(game, games_in.ReadGame)
    assert len(game.moves) == 4


def test_remarks_to_the_line_end_are_kept_by_us_alone() -> None:
    text = "1. e4 ; the king's pawn\n1... e5 *"
    (game,) = ours(text)
    assert isinstance(game, games_in.ReadGame)
    assert game.after == {1: ("the king's pawn",)}
    assert their_games(text)[0].variations[0].comment == ""
