"""What an import says: games, one a line, what was put right, what was rejected, and the count."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
from typing import Any, Final

import click

from plybook.board import games_in
from plybook.course.candidates import Candidate
from plybook.desk.importing.scan import Bad, Counted, Found, Places
from plybook.desk.printing import counted

__all__ = ["Sum", "bad_row", "candidate_row", "found_row", "tell_json", "tell_sum"]

_KINDS: Final = tuple(games_in.CHANGES)


class Sum:
    """The count over a whole file. Read is always imported and rejected together."""

    def __init__(self, encoding: str) -> None:
        self.encoding = encoding
        self.read = 0
        self.rejected = 0
        self.put_right = 0
        self.changes: dict[tuple[str, str], Places] = {}

    def add(self, piece: Counted) -> None:
        """Count a piece whose games are numbered through the file."""
        self.read += piece.read
        self.rejected += len(piece.bad)
        self.put_right += piece.put_right
        for key, places in piece.changes.items():
            self.changes.setdefault(key, Places()).add(places, after=0)

    @property
    def imported(self) -> int:
        """The games that were read whole."""
        return self.read - self.rejected

    def rows(self) -> list[tuple[tuple[str, str], Places]]:
        """Return what was put right, in the order of the table of kinds, commands by name."""
        return sorted(self.changes.items(), key=lambda one: (_KINDS.index(one[0][0]), one[0][1]))

    def as_json(self) -> dict[str, Any]:
        """Return the count as data."""
        return {
            "encoding": self.encoding,
            "read": self.read,
            "imported": self.imported,
            "put_right": self.put_right,
            "rejected": self.rejected,
            "changes": [
                {
                    "kind": kind,
                    "word": word,
                    "times": places.times,
                    "games": places.games,
                    "first": [{"game": game, "line": line} for game, line in places.first],
                }
                for (kind, word), places in self.rows()
            ],
        }


def found_row(found: Found) -> str:
    """Return a game as one line."""
    title = f": {found.title}" if found.title else ""
    at = f"; {' '.join(found.places)}" if found.places else ""
    return f"game {found.number}{title} ({counted(found.moves, 'move')}, line {found.line}){at}"


def candidate_row(found: Found, one: Candidate) -> str:
    """Return a candidate as one line: game, principle, breach, punishment, the position."""
    plies = "1 ply" if one.gap == 1 else f"{one.gap} plies"
    title = f" ({found.title})" if found.title else ""
    return (
        f"game {found.number}{title}: {one.breach} breaks {one.principle} ({one.told}), "
        f"{plies} later {one.punishment} ({one.answer}): {one.fen}"
    )


def bad_row(bad: Bad) -> str:
    """Return a rejected game as one line."""
    title = f" ({bad.title})" if bad.title else ""
    return f"game {bad.number}{title} is left out: {bad.reason}, line {bad.at}"


def tell_sum(total: Sum) -> None:
    """Print on the error stream what was put right and the count."""
    for (kind, word), places in total.rows():
        first = ", ".join(f"game {game} line {line}" for game, line in places.first)
        named = f" `{word}`" if word else ""
        how_often = f"{counted(places.times, 'time')} in {counted(places.games, 'game')}"
        click.echo(f"{games_in.CHANGES[kind]}{named}: {how_often}, first in {first}", err=True)
    click.echo(
        f"read {total.read} as {total.encoding}: imported {total.imported} "
        f"(something put right in {total.put_right}), rejected {total.rejected}",
        err=True,
    )


def tell_json(found: Iterable[Found], bad: Callable[[], Iterable[Bad]], total: Sum) -> None:
    """Print one JSON document, games as they come. `bad` is asked when all games are read."""
    click.echo('{"version": 1, "games": [', nl=False)
    separator = "\n"
    for one in found:
        click.echo(f"{separator}{json.dumps(asdict(one), ensure_ascii=False)}", nl=False)
        separator = ",\n"
    rejected = json.dumps([asdict(one) for one in bad()], ensure_ascii=False)
    click.echo(f'\n], "rejected": {rejected},')
    click.echo(f'"sum": {json.dumps(total.as_json(), ensure_ascii=False)}}}')
