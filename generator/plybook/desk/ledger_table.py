"""The ledger of a line as a table for the terminal, and as JSON (version 1)."""

from __future__ import annotations

import dataclasses
import json
from enum import Enum
from typing import Any, Final

from plybook.board import Line, ledger

__all__ = ["ledger_json", "ledger_rows", "ledger_table", "told"]

_HEAD: Final = (
    "move            out     dev     centre        wasted  king\n"
    "                W   B   W   B   W      B      W   B   W            B\n"
)
_INDENT: Final = "  "
_DEEP: Final = " " * 6


def ledger_table(line: Line, kept: ledger.Ledger, *, words: ledger.Words = ledger.ENGLISH) -> str:
    """Return the ledger as text: one row a place, its facts as sentences below.

    Columns, White's number first: minor pieces out, development count, centre (own pawns there and
    guards of the four squares), wasted moves, king. Sidelines are indented by their depth. A fact
    that only gives the reason of another one is told with that one.
    """
    rows = [_HEAD]
    for entry in kept.entries:
        ply = line.plies[entry.place - 1] if entry.place else None
        depth = ply.depth if ply else 0
        name = f"{_INDENT * depth}{ply.label if ply else 'start'}"
        rows.append(f"{name:<16}{_counts(entry, words)}".rstrip() + "\n")
        rows += [f"{_DEEP}{ledger.say(fact, words=words)}\n" for fact in told(entry)]
    return "".join(rows)


def told(entry: ledger.Entry) -> tuple[ledger.Fact, ...]:
    """Return the facts of an entry that are no reason of another fact of the same entry."""
    reasons = {reason for fact in entry.facts for reason in fact.reasons}
    return tuple(fact for fact in entry.facts if fact not in reasons)


def _counts(entry: ledger.Entry, words: ledger.Words) -> str:
    white, black = entry.white, entry.black
    cells = (
        (str(white.men.out), str(black.men.out), 4),
        (str(white.development.count), str(black.development.count), 4),
        (_centre(white), _centre(black), 7),
        (str(white.tempo.wasted), str(black.tempo.wasted), 4),
        (words.states[white.king.state], words.states[black.king.state], 13),
    )
    return "".join(f"{first:<{width}}{second:<{width}}" for first, second, width in cells)


def _centre(account: ledger.Account) -> str:
    return f"{account.centre.pawns}+{account.centre.control}"


def ledger_json(line: Line, kept: ledger.Ledger, *, words: ledger.Words = ledger.ENGLISH) -> str:
    """Return the ledger as a JSON text with a line end: `version` 1 and the rows below."""
    document = {"version": 1, **ledger_rows(line, kept, words=words)}
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def ledger_rows(
    line: Line, kept: ledger.Ledger, *, words: ledger.Words = ledger.ENGLISH
) -> dict[str, Any]:
    """Return the ledger as plain dictionaries and lists.

    Keys are those of the records in board/ledger/model.py; each entry has its `move`, and each fact
    its sentence in `words`. Empty fields of a fact are left out.
    """
    return {
        "line": line.name,
        "settings": _plain(kept.settings),
        "entries": [
            {
                "place": entry.place,
                "move": line.plies[entry.place - 1].label if entry.place else None,
                "mover": entry.mover,
                "is_opening": entry.is_opening,
                "facts": [_fact(fact, words) for fact in entry.facts],
                "white": _account(entry.white),
                "black": _account(entry.black),
            }
            for entry in kept.entries
        ],
    }


def _fact(fact: ledger.Fact, words: ledger.Words) -> dict[str, Any]:
    row = {name: value for name, value in _plain(fact).items() if value not in (None, [], "")}
    row.pop("reasons", None)
    if fact.reasons:
        row["reasons"] = [reason.kind.value for reason in fact.reasons]
    return {**row, "words": ledger.say(fact, words=words)}


def _account(account: ledger.Account) -> dict[str, Any]:
    row: dict[str, Any] = _plain(account)
    row["men"]["out"] = account.men.out
    row["centre"]["control"] = account.centre.control
    row["development"]["count"] = account.development.count
    row["tempo"]["wasted"] = account.tempo.wasted
    return row


def _plain(value: Any) -> Any:
    """Return a record as dictionaries, lists and plain values."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if dataclasses.is_dataclass(value):
        return {
            field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)
        }
    return value
