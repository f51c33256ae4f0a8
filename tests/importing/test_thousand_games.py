"""A file of 1,000 games of which many are spoilt on purpose, each in a known way."""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from pathlib import Path
from typing import Final

import chess
import chess.pgn
import pytest

from diagnostics.run import plybook
from importing.twin import chance_game, our_tree, ours, their_tree
from plybook.board import games_in
from plybook.desk.importing.scan import Counted, Task, look_through

_GAMES: Final = 1000
_EVERY: Final = 10  # each tenth game has a fault

Fault = Callable[[str], str]


def _after_tags(text: str, change: Fault) -> str:
    head, gap, moves = text.partition("\n\n")
    return f"{head}{gap}{change(moves)}"


def _at_the_end(addition: str) -> Fault:
    return lambda text: _after_tags(text, lambda moves: moves.rsplit(" ", 1)[0] + f" {addition} *")


def _first(old: str, new: str) -> Fault:
    return lambda text: _after_tags(text, lambda moves: moves.replace(old, new, 1))


#: Faults for which a game cannot be read, by a word of the reason that must be told.
FATAL: Final[tuple[tuple[str, Fault], ...]] = (
    ("unknown", _at_the_end("best")),
    ("unknown", _at_the_end("Nf33")),
    ("unknown", _at_the_end("♘f3")),
    ("unknown", _at_the_end("Сf6")),
    ("unknown", _at_the_end("!!!")),
    ("unknown", _at_the_end("]")),
    ("unknown", _at_the_end('"')),
    ("illegal", _at_the_end("Rh5h4")),
    ("null move", _at_the_end("--")),
    ("null move", _at_the_end("Z0")),
    ("remark is not closed", _at_the_end("{ never closed")),
    ("closes no remark", _at_the_end("}")),
    ("closes no variation", _at_the_end(")")),
    ("variation is not closed", _at_the_end("(")),
    ("without a move that it could", _first("1. ", "( 1. e4 ) 1. ")),
    ("tag is not written", lambda text: text.replace('"]', "]", 1)),
    ("tag is not written", lambda text: text.replace('"', "“", 1)),
    ("start cannot be read", lambda text: f'[FEN "nonsense"]\n{text}'),
    ("start cannot be read", lambda text: f'[FEN "8/8/8/8/8/8/8/8 w - - 0 1"]\n{text}'),
    ("another game than chess", lambda text: f'[Variant "Atomic"]\n{text}'),
    ("no moves", lambda text: _after_tags(text, lambda moves: "*")),
)

#: Faults that are put right, by the kind that must be told.
MENDED: Final[tuple[tuple[str, Fault], ...]] = (
    ("move-number", _first("2. ", "7. ")),
    ("command", _first("1. ", "{[%emt 0:1:2]} 1. ")),
    ("line-remark", _first("1. ", "; to the end\n1. ")),
    ("line-left-out", _first("1. ", "% hidden\n1. ")),
    ("sign-left-out", _first("1. ", "$7 1. ")),
    ("result-missing", lambda text: _after_tags(text, lambda moves: moves.rsplit(" ", 1)[0])),
    ("tag-twice", lambda text: f'[Event "By chance"]\n[Site "a"]\n[Site "b"]\n{_less(text)}'),
)


def _less(text: str) -> str:
    """Return a game without its tags Event and Site."""
    rows = text.split("\n")
    return "\n".join(row for row in rows if not row.startswith(("[Event", "[Site")))


def made() -> tuple[str, dict[int, tuple[str, bool]], dict[int, chess.pgn.Game]]:
    """Return the file, what is wrong with which game (and whether it is fatal), and the others."""
    source = random.Random(23)
    planted: dict[int, tuple[str, bool]] = {}
    fair: dict[int, chess.pgn.Game] = {}
    texts = []
    for number in range(1, _GAMES + 1):
        game = chance_game(source, plies=12)
        text = str(game)
        if number % _EVERY == 0:
            count = number // _EVERY
            is_fatal = count % 4 != 0
            table = FATAL if is_fatal else MENDED
            told, spoil = table[count // 4 % len(table) if not is_fatal else count % len(table)]
            text = spoil(text)
            planted[number] = (told, is_fatal)
        else:
            fair[number] = game
        texts.append(text)
    return "\n\n".join(texts) + "\n", planted, fair


@pytest.fixture(scope="module")
def spoilt() -> tuple[str, dict[int, tuple[str, bool]], dict[int, chess.pgn.Game]]:
    """Make the file once."""
    return made()


Spoilt = tuple[str, dict[int, tuple[str, bool]], dict[int, chess.pgn.Game]]


def test_read_is_imported_and_rejected_and_every_planted_fault_is_told(spoilt: Spoilt) -> None:
    text, planted, _ = spoilt
    games = ours(text)
    assert len(games) == _GAMES
    for number, (told, is_fatal) in planted.items():
        game = games[number - 1]
        if is_fatal:
            assert isinstance(game, games_in.Rejected), (number, told)
            assert told in game.reason
        else:
            assert isinstance(game, games_in.ReadGame), (number, game)
            assert told in {one.kind for one in game.changes}, number
    rejected = [at for at, one in enumerate(games, 1) if isinstance(one, games_in.Rejected)]
    assert rejected == [number for number, (_, is_fatal) in planted.items() if is_fatal]


def test_the_other_games_come_back_as_they_were(spoilt: Spoilt) -> None:
    """Against python-chess's own tree, after its export and our import."""
    text, _, fair = spoilt
    games = ours(text)
    for number, game in fair.items():
        mine = games[number - 1]
        assert isinstance(mine, games_in.ReadGame)
        read_back = chess.pgn.read_game(io.StringIO(str(game)))
        assert read_back is not None
        assert our_tree(mine) == their_tree(read_back)
        assert mine.tags["White"] == "Amber"


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("jobs", [1, 2])
def test_pieces_and_processes_change_nothing(
    line_end: str, jobs: int, spoilt: Spoilt, tmp_path: Path
) -> None:
    text, planted, _ = spoilt
    path = tmp_path / "games.pgn"
    path.write_bytes(text.replace("\n", line_end).encode())
    parts = list(look_through(path, Task(encoding="utf-8"), jobs=jobs))
    assert len(parts) > 1
    whole = Counted(read=sum(part.read for part in parts))
    found = [one.number for part in parts for one in part.found]
    bad = [one.number for part in parts for one in part.bad]
    assert whole.read == _GAMES == len(found) + len(bad)
    assert found == sorted(found)
    assert bad == [number for number, (_, is_fatal) in planted.items() if is_fatal]
    assert parts[-1].end == path.stat().st_size
    lines = text.split("\n")
    for one in (one for part in parts for one in part.found):
        assert lines[one.line - 1].startswith(("[", "%", ";")), one


def test_the_command_counts_and_names_what_it_rejects(spoilt: Spoilt, tmp_path: Path) -> None:
    text, planted, _ = spoilt
    path = tmp_path / "games.pgn"
    path.write_text(text, encoding="utf-8")
    ran = plybook("import", path, "--jobs", "1")
    fatal = sum(is_fatal for _, is_fatal in planted.values())
    assert ran.code == 1
    assert ran.out.count("\n") == _GAMES - fatal
    assert ran.err.count(" is left out: ") == fatal
    last = ran.err.rstrip().split("\n")[-1]
    assert last.startswith(f"read {_GAMES} as utf-8: imported {_GAMES - fatal} (")
    assert last.endswith(f"rejected {fatal}")
    assert "#" not in ran.err.replace("game", "")  # no bar in a pipe
