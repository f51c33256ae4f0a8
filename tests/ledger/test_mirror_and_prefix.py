"""Colours may be exchanged, lines cut, sidelines taken out: the ledger says the same."""

from __future__ import annotations

import dataclasses
import random
from typing import Any, Final

import chess
import pytest

from ledger.games import PARIS_1858, kept
from ledger.test_recount import game
from plybook.board import Line
from plybook.board.ledger import Ledger, LedgerSettings, Stone, ledger_of
from site_lines import Builder, random_builders

FOREVER: Final = LedgerSettings(opening_plies=1000)


def mirrored(line: Line) -> Line:
    """Return the line with the colours exchanged and the board turned upside down."""
    builder = Builder(chess.Board(line.start.fen).mirror().fen())
    places = {0: 0}
    for ply in line.plies:
        move = chess.Move.from_uci(f"{ply.origin}{ply.target}{ply.promotion or ''}")
        turned = chess.Move(
            chess.square_mirror(move.from_square),
            chess.square_mirror(move.to_square),
            move.promotion,
        )
        places[ply.index] = builder.add(places[ply.parent], turned, depth=ply.depth)
    return builder.line()


SIDES: Final = {"white": "black", "black": "white"}


def flat(value: Any, labels: dict[str, str], *, turn: bool) -> Any:
    """Return a record as plain data in an order that does not depend on the colours.

    With `turn`, sides and squares are those of the mirrored board. A move stands by its place.
    """
    if isinstance(value, Stone):
        value = (SIDES[value.side] if turn else value.side, value.man, value.square)
        return (*value[:2], flat(value[2], labels, turn=turn))
    if isinstance(value, str):
        if value in labels:
            return labels[value]
        if turn and value in SIDES:
            return SIDES[value]
        if turn and value in chess.SQUARE_NAMES:
            return chess.square_name(chess.square_mirror(chess.parse_square(value)))
        return value
    if isinstance(value, tuple):
        return sorted((flat(each, labels, turn=turn) for each in value), key=repr)
    if dataclasses.is_dataclass(value):
        return {
            field.name: flat(getattr(value, field.name), labels, turn=turn)
            for field in dataclasses.fields(value)
        }
    return value


def labels_of(line: Line) -> dict[str, str]:
    """Return the places of the moves of a line without sidelines, by label."""
    return {ply.label: f"#{ply.index}" for ply in line.plies}


def assert_mirrored(line: Line, ledger: Ledger, other_line: Line, other: Ledger) -> None:
    """Check two ledgers entry by entry, the second turned."""
    labels, turned = labels_of(line), labels_of(other_line)
    for entry, twin in zip(ledger.entries, other.entries, strict=True):
        assert flat(entry.white, labels, turn=False) == flat(twin.black, turned, turn=True)
        assert flat(entry.black, labels, turn=False) == flat(twin.white, turned, turn=True)
        facts = [_of_one_side(fact, labels, turn=False) for fact in entry.facts]
        others = [_of_one_side(fact, turned, turn=True) for fact in twin.facts]
        assert sorted(facts, key=repr) == sorted(others, key=repr)
        assert entry.is_opening == twin.is_opening


def _of_one_side(fact: Any, labels: dict[str, str], *, turn: bool) -> Any:
    """Return a fact flat, without what depends on the order of the squares: of equal captures the
    first is told, and of several mates one."""
    found = flat(fact, labels, turn=turn)
    if fact.kind.value in {"threatens", "threatens-mate"}:
        found["man"] = found["moves"] = found["squares"] = None
    if fact.kind.value == "was-attacked":
        found["others"] = None
    found["reasons"] = [_of_one_side(each, labels, turn=turn) for each in fact.reasons]
    return found


@pytest.mark.parametrize("batch", range(4))
def test_mirrored_colours_give_a_mirrored_ledger(batch: int) -> None:
    for seed in range(9000 + batch * 30, 9000 + (batch + 1) * 30):
        line = game(seed, plies=26)
        other = mirrored(line)
        assert_mirrored(
            line, ledger_of(line, settings=FOREVER), other, ledger_of(other, settings=FOREVER)
        )


def test_the_mirrored_game_of_paris_is_mirrored() -> None:
    """The mirrored game starts with Black's first move, which is ply 2 of a game: one ply more."""
    line = kept(PARIS_1858).line
    other = mirrored(line)
    one_more = LedgerSettings(opening_plies=25)
    assert_mirrored(line, ledger_of(line), other, ledger_of(other, settings=one_more))


def cut(line: Line, count: int) -> Line:
    """Return the first plies of a line, in the order of the movetext."""
    return dataclasses.replace(line, plies=line.plies[:count])


@pytest.mark.parametrize("seed", range(3))
def test_the_ledger_of_a_line_is_the_beginning_of_its_longer_lines(seed: int) -> None:
    chance = random.Random(seed)
    for builder in random_builders(20, seed=seed + 70):
        line = builder.line()
        whole = ledger_of(line)
        count = chance.randint(0, len(line.plies))
        assert ledger_of(cut(line, count)).entries == whole.entries[: count + 1]


@pytest.mark.parametrize("seed", range(3))
def test_a_sideline_has_the_ledger_of_the_same_moves_as_a_main_line(seed: int) -> None:
    """No prefix is played again for a sideline, and still nothing of its neighbours leaks in."""
    for builder in random_builders(12, seed=seed + 80):
        line = builder.line()
        whole = ledger_of(line)
        for place in range(7, len(line.plies) + 1, 23):
            path = line.path(place)
            alone = Builder(line.start.fen)
            for index in path:
                ply = line.plies[index - 1]
                move = chess.Move.from_uci(f"{ply.origin}{ply.target}{ply.promotion or ''}")
                alone.add(len(alone.boards) - 1, move, depth=0)
            single = ledger_of(alone.line())
            for at, index in enumerate((0, *path)):
                entry, twin = whole.entries[index], single.entries[at]
                assert (entry.facts, entry.white, entry.black) == (
                    twin.facts,
                    twin.white,
                    twin.black,
                )


def test_a_partial_board_has_no_ledger() -> None:
    line = kept("1. e4").line
    start = dataclasses.replace(line.start, is_partial=True)
    assert ledger_of(dataclasses.replace(line, start=start, plies=())).entries == ()
