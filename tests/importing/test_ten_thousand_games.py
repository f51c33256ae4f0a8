"""A file of 10,000 games with 500 planted faults of 50 kinds: none is missed, no game is hurt.

The games are 200 of chance, each many times with its own number as the event.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Final

from importing.test_thousand_games import FATAL, MENDED, Fault, _at_the_end
from importing.twin import chance_game, our_tree
from plybook.board import games_in

_GAMES: Final = 10_000
_EVERY: Final = 20
_BASES: Final = 200
#: Words that no reader of chess knows, or that may not stand at the end of a game.
_WORDS: Final = (
    *("Nf9", "e9", "½", "2-0", "@@@@", "0000", "<e5>", "“e5”", "e8=K", "[", "#", "x", "~", "1-0"),
    *("Zz", "OO", "e.p.x", "$", "best move", "1-O", "♔", "Ñf3"),
)
_KINDS: Final[tuple[tuple[str, Fault, bool], ...]] = (
    *((told, spoil, True) for told, spoil in FATAL),
    *((told, spoil, False) for told, spoil in MENDED),
    *(("", _at_the_end(word), True) for word in _WORDS),
)


def test_500_faults_of_50_kinds_are_told_and_9500_games_come_back(tmp_path: Path) -> None:
    assert len(_KINDS) == 50
    source = random.Random(53)
    bases = [str(chance_game(source, plies=8)) for _ in range(_BASES)]
    trees = []
    for text in bases:
        (raw,) = games_in.split_games(text)
        base = games_in.read_game(raw)
        assert isinstance(base, games_in.ReadGame)
        trees.append(our_tree(base))
    path = tmp_path / "games.pgn"
    with path.open("w", encoding="utf-8") as file:
        for number in range(_GAMES):
            text = bases[number % _BASES].replace("By chance", f"Game {number}")
            if number % _EVERY == 0:
                text = _KINDS[number // _EVERY % 50][1](text)
            file.write(f"{text}\n\n")
    found = [
        games_in.read_game(raw)
        for piece in games_in.pieces_of(path, encoding="utf-8")
        for raw in piece.games
    ]
    assert len(found) == _GAMES
    for number, game in enumerate(found):
        if number % _EVERY:
            assert isinstance(game, games_in.ReadGame), number
            assert game.tags["Event"] == f"Game {number}"
            assert our_tree(game) == trees[number % _BASES]
            continue
        told, _, is_fatal = _KINDS[number // _EVERY % 50]
        if is_fatal:
            assert isinstance(game, games_in.Rejected), (number, told)
            assert told in game.reason
        else:
            assert isinstance(game, games_in.ReadGame), (number, game)
            assert told in {one.kind for one in game.changes}
