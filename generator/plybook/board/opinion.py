"""Second opinions: what a chess engine of the coach's choice thinks where nothing is proved.

An engine is any program that speaks UCI. Its opinion is printed as such: it never overrules a
proof and no build needs it. With one thread, a fixed hash, a fixed number of positions and a new
game for every question, the same engine gives the same answer again.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import chess

from plybook.board.claims.model import MoveSaid
from plybook.board.claims.words import colour, say_line
from plybook.board.model import Side
from plybook.board.positions import side_name
from plybook.diagnostics import UsageError, shown

if TYPE_CHECKING:  # it takes longer to load than a small course takes to check
    import asyncio

    import chess.engine

__all__ = [
    "MOST_MOVES",
    "NODES",
    "Doubt",
    "Opinion",
    "ask_engine",
    "is_plain",
    "opinion_of",
]

#: Positions an engine may look at for one answer: about a quarter of a second.
NODES: Final = 200_000
#: Moves of a best line that are kept.
MOST_MOVES: Final = 8
_HASH: Final = 16  # megabytes
_THREADS: Final = 1
_NAME: Final = 80  # characters of an engine's name that are kept
_PATIENCE: Final = 120.0  # seconds without an answer after which a program is taken for dead
_FAREWELL: Final = 5.0  # seconds a program has to leave when asked to


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A sentence that is believed or not settled, and the FEN of its position."""

    position: str
    question: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """What an engine thinks of a position.

    `score` is from the view of the side to move: pawns with one decimal (`+1.3`), `mate in 3` or
    `mated in 3`. `nodes` is how many positions the engine could look at.
    """

    engine: str  # name and version, as the program calls itself
    nodes: int
    score: str
    line: tuple[MoveSaid, ...]
    mover: Side

    @property
    def line_text(self) -> str:
        """The best line: `8...d6 9.c3 Be6`."""
        return " ".join(map(str, self.line))

    @property
    def text(self) -> str:
        """The opinion in words, labelled as one."""
        return (
            f"opinion, no proof ({self.engine}, {self.nodes:,} positions): "
            f"{colour(self.mover == 'white')} to move {self.score}, best {self.line_text}"
        )


def opinion_of(
    board: chess.Board, *, engine: str, nodes: int, score: str, moves: Iterable[chess.Move]
) -> Opinion:
    """Return the opinion on a position. The moves are legal and follow one another."""
    return Opinion(
        engine=engine,
        nodes=nodes,
        score=score,
        line=say_line(board, list(moves)[:MOST_MOVES]),
        mover=side_name(board.turn),
    )


def ask_engine(
    program: str, doubts: Sequence[Doubt], *, nodes: int = NODES, patience: float = _PATIENCE
) -> dict[Doubt, Opinion]:
    """Return what the engine `program` thinks of each position, asked once a position.

    Positions that cannot be played on are left out. `patience` (seconds) only guards against a
    dead program: no answer depends on it. Raises UsageError when the program is no UCI engine,
    leaves, falls silent or answers nonsense.
    """
    # imported here: few runs ask an engine, and the import takes longer than they do
    import asyncio
    import logging
    from concurrent.futures import ThreadPoolExecutor

    import chess.engine

    # what a broken engine prints is told in one message of ours, not line by line
    logging.getLogger(chess.engine.__name__).addHandler(logging.NullHandler())
    boards = {}
    for doubt in doubts:
        board = chess.Board(doubt.position)
        if board.is_valid() and any(board.legal_moves):
            boards[doubt.position] = board
    try:
        # In a thread of its own: whoever asks may have an event loop running already.
        with ThreadPoolExecutor(max_workers=1) as pool:
            opinions = pool.submit(asyncio.run, _talk(program, boards, nodes, patience)).result()
    except TimeoutError:  # an OSError too, so it comes first
        raise _refusal(program, f"gave no answer in {patience:g} seconds") from None
    except OSError as error:
        raise _refusal(program, f"cannot be started: {error.strerror}") from None
    except chess.engine.EngineTerminatedError:
        raise _refusal(program, "has left without an answer") from None
    except chess.engine.EngineError as error:
        raise _refusal(program, f"answered nonsense: {shown(str(error), limit=60)}") from None
    return {doubt: opinions[doubt.position] for doubt in doubts if doubt.position in opinions}


def _refusal(program: str, fault: str) -> UsageError:
    return UsageError(f"{shown(program, limit=200)} {fault}; --engine takes a UCI engine")


async def _talk(
    program: str, boards: Mapping[str, chess.Board], nodes: int, patience: float
) -> dict[str, Opinion]:
    """Return the opinion on each board by its FEN; the program is gone when this returns."""
    import asyncio

    import chess.engine

    transport, engine = await chess.engine.UciProtocol.popen(
        program, stderr=asyncio.subprocess.DEVNULL
    )
    try:
        async with asyncio.timeout(patience):
            await engine.initialize()
            await engine.configure(_settings(engine))
        name = _plain(str(engine.id.get("name", ""))) or "an engine without a name"
        opinions = {}
        for position, board in boards.items():
            async with asyncio.timeout(patience):
                score, moves = await _answer(engine, board, nodes)
            opinions[position] = opinion_of(
                board, engine=name, nodes=nodes, score=score, moves=moves
            )
        return opinions
    finally:
        await _dismiss(transport, engine, min(patience, _FAREWELL))


def _settings(engine: chess.engine.UciProtocol) -> dict[str, Any]:
    """Return the settings that make answers repeatable, as far as the engine has them."""
    wanted = {"Threads": _THREADS, "Hash": _HASH}
    settings = {}
    for name, value in wanted.items():
        option = engine.options.get(name)
        if option is not None:
            low, high = option.min, option.max
            value = max(value, low) if low is not None else value
            settings[name] = min(value, high) if high is not None else value
    return settings


async def _answer(
    engine: chess.engine.UciProtocol, board: chess.Board, nodes: int
) -> tuple[str, list[chess.Move]]:
    """Return the last score an engine gives that is no bound, with the line that belongs to it."""
    import chess.engine

    last: tuple[str, list[chess.Move]] | None = None
    limit = chess.engine.Limit(nodes=nodes)
    wanted = chess.engine.INFO_SCORE | chess.engine.INFO_PV
    # a new game object makes the engine forget what it found in the position before
    with await engine.analysis(board, limit, multipv=1, game=object(), info=wanted) as analysis:
        async for info in analysis:
            score, moves = info.get("score"), info.get("pv")
            is_bound = info.get("lowerbound") or info.get("upperbound")
            if score is not None and moves and not is_bound:
                last = _score_text(score.relative), moves
    if last is None:
        raise chess.engine.EngineError("no score with a line of legal moves")
    return last


def _score_text(score: chess.engine.Score) -> str:
    moves = score.mate()
    if moves is not None:
        return f"mate in {moves}" if moves > 0 else f"mated in {-moves}"
    pawns = f"{(score.score() or 0) / 100:+.1f}"
    return "0.0" if pawns in {"+0.0", "-0.0"} else pawns


def is_plain(name: str) -> bool:
    """Return whether a name is one that may be printed: one short line of letters and signs."""
    return bool(name) and name == _plain(name)


def _plain(name: str) -> str:
    """Return a name without control characters and in one line, cut to a bearable length."""
    kept = "".join(sign if unicodedata.category(sign)[0] != "C" else " " for sign in name)
    return " ".join(kept.split())[:_NAME].strip()


async def _dismiss(
    transport: asyncio.SubprocessTransport, engine: chess.engine.UciProtocol, patience: float
) -> None:
    """Ask the program to leave, and end it when it does not."""
    import asyncio

    if not engine.returncode.done():
        with suppress(TimeoutError):
            async with asyncio.timeout(patience):
                await engine.quit()
    if not engine.returncode.done():
        transport.kill()
        with suppress(TimeoutError):
            async with asyncio.timeout(patience):
                await asyncio.shield(engine.returncode)
    transport.close()
