"""Looking through a PGN file piece by piece, on all processors, results in the file's order."""

from __future__ import annotations

import gc
from collections import deque
from collections.abc import Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from itertools import chain, islice
from multiprocessing import get_context
from pathlib import Path
from typing import Final

from plybook.board import Position, games_in
from plybook.course.candidates import Candidate, candidates_in
from plybook.desk.game_titles import title_of
from plybook.diagnostics import UsageError
from plybook.text.model import PrincipleDraft

__all__ = ["Bad", "Counted", "Found", "Places", "Task", "look_through", "pick"]

_PLIES: Final = 80  # of a game that are looked at for principles: openings are over by then
_AHEAD: Final = 3  # pieces that wait for each process
_KEPT_PLACES: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What to look for in every game; with neither, every game is listed."""

    encoding: str
    position: Position | None = None
    rules: Mapping[str, PrincipleDraft] | None = None
    within: int = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A game that is listed. `places` are those of a position, `candidates` those of principles."""

    number: int
    line: int
    title: str
    moves: int
    places: tuple[str, ...] = ()
    candidates: tuple[Candidate, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bad:
    """A game that was rejected, and the line of the file that is to blame."""

    number: int
    line: int
    title: str
    reason: str
    at: int


@dataclass(slots=True)
class Places:
    """How often something was put right, in how many games, and the first (game, line)."""

    times: int = 0
    games: int = 0
    first: list[tuple[int, int]] = field(default_factory=list)

    def add(self, other: Places, *, after: int) -> None:
        """Take over what was found in a later piece, `after` so many games."""
        self.times += other.times
        self.games += other.games
        room = _KEPT_PLACES - len(self.first)
        self.first += [(number + after, line) for number, line in other.first[:room]]


@dataclass(slots=True)
class Counted:
    """What a piece or a whole file held. Games are numbered from 1, here and in all parts."""

    read: int = 0
    put_right: int = 0
    found: list[Found] = field(default_factory=list)
    bad: list[Bad] = field(default_factory=list)
    changes: dict[tuple[str, str], Places] = field(default_factory=dict)
    end: int = 0  # bytes of the file that are done


def look_through(path: Path, task: Task, *, jobs: int) -> Iterator[Counted]:
    """Yield what each piece of a file holds, in order, games numbered through the file."""
    before = 0
    for counted in _looked(games_in.pieces_of(path, encoding=task.encoding), task, jobs):
        counted.found = [replace(one, number=one.number + before) for one in counted.found]
        counted.bad = [replace(one, number=one.number + before) for one in counted.bad]
        shifted = {}
        for key, places in counted.changes.items():
            shifted[key] = Places()
            shifted[key].add(places, after=before)
        counted.changes = shifted
        before += counted.read
        yield counted


def _looked(pieces: Iterator[games_in.Piece], task: Task, jobs: int) -> Iterator[Counted]:
    first = list(islice(pieces, 2))
    if jobs == 1 or len(first) < 2:
        for piece in chain(first, pieces):
            yield _look(piece, task)
        return
    # Each process is a fresh one, as everywhere here: nothing of ours is shared by accident.
    with ProcessPoolExecutor(max_workers=jobs, mp_context=get_context("spawn")) as pool:
        waiting: deque[Future[Counted]] = deque()
        for piece in chain(first, pieces):
            waiting.append(pool.submit(_look, piece, task))
            if len(waiting) > jobs * _AHEAD:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


def _look(piece: games_in.Piece, task: Task) -> Counted:
    """Return what one piece holds, its games numbered from 1."""
    counted = Counted(end=piece.end)
    if piece.single:
        counted.changes["line-ends", ""] = Places(piece.single, 1, [(1, piece.games[0].line)])
    for raw in piece.games:
        counted.read += 1
        game = games_in.read_game(raw)
        title = title_of(game.tags)
        if isinstance(game, games_in.Rejected):
            counted.bad.append(
                Bad(
                    number=counted.read,
                    line=game.line,
                    title=title,
                    reason=game.reason,
                    at=game.at,
                )
            )
            continue
        _note(counted, game)
        found = _row(game, task, number=counted.read, title=title)
        if found is not None:
            counted.found.append(found)
    gc.collect(0)  # the command runs without a collector, and a large file makes much to collect
    return counted


def _note(counted: Counted, game: games_in.ReadGame) -> None:
    counted.put_right += bool(game.changes)
    seen = set()
    for change in game.changes:
        key = change.kind, change.word
        places = counted.changes.setdefault(key, Places())
        places.times += 1
        if key not in seen:
            seen.add(key)
            places.games += 1
            if len(places.first) < _KEPT_PLACES:
                places.first.append((counted.read, change.line))


def _row(game: games_in.ReadGame, task: Task, *, number: int, title: str) -> Found | None:
    moves = sum(not moved.depth for moved in game.moves)
    found = Found(number=number, line=game.line, title=title, moves=(moves + 1) // 2)
    if task.position is not None:
        places = games_in.places_of(game, task.position)
        return replace(found, places=places) if places else None
    if task.rules is not None:
        line, _ = games_in.line_of(game, name=str(number), most=_PLIES)
        candidates = candidates_in(line, task.rules, within=task.within)
        return replace(found, candidates=candidates) if candidates else None
    return found


def pick(path: Path, number: int, *, encoding: str) -> games_in.ReadGame | games_in.Rejected:
    """Return the game of a number. Raises UsageError when the file has fewer."""
    before = 0
    for piece in games_in.pieces_of(path, encoding=encoding):
        if number <= before + len(piece.games):
            return games_in.read_game(piece.games[number - before - 1])
        before += len(piece.games)
    raise UsageError(f"no game {number} in {path}: it has {before}")
