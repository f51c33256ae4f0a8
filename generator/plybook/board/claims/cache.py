"""Verdicts kept from run to run in one JSON file. A file that is stale or broken is forgotten.

What is read is never trusted for its shape: every field of every verdict is looked at, and what
does not fit is left out, so that the claim is settled anew.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from plybook.board.claims.model import Evidence, MoveSaid, Reach, Verdict
from plybook.files import read_regular, write_whole
from plybook.text.references import SAN_LIKE

__all__ = ["VerdictCache", "row_of", "verdict_of"]

_FORMAT: Final = 1
_SIZE_LIMIT: Final = 32 * 1024 * 1024  # bytes of a file that is read
_KEPT: Final = 20_000  # verdicts in a file; those used longest ago go first
_KEY = re.compile("[0-9a-f]{64}")
_UCI = re.compile("[a-h][1-8][a-h][1-8][nbrq]?")
_SAN = re.compile(SAN_LIKE)
_WORDS: Final = 2_000  # characters of one piece of evidence
_PARTS: Final = 200
_TEXT: Final = 256 * 1024  # characters of one text


class VerdictCache:
    """Verdicts by key, each used or made in this run kept before those of earlier runs.

    Texts are kept beside them: what was found of an exercise, which its own room can read.
    """

    def __init__(
        self, verdicts: Mapping[str, Verdict] | None = None, texts: Mapping[str, str] | None = None
    ) -> None:
        self._verdicts = dict(verdicts or {})
        self._texts = dict(texts or {})
        self._used: dict[str, None] = {}
        self._changes = 0

    def __len__(self) -> int:
        return len(self._verdicts) + len(self._texts)

    @property
    def changes(self) -> int:
        """How often something was put here in this run."""
        return self._changes

    def get(self, key: str) -> Verdict | None:
        """Return the verdict kept under a key, or None."""
        found = self._verdicts.get(key)
        if found is not None:
            self._used[key] = None
        return found

    def put(self, key: str, verdict: Verdict) -> None:
        """Keep a verdict."""
        self._verdicts[key] = verdict
        self._used[key] = None
        self._changes += 1

    def text(self, key: str) -> str | None:
        """Return the text kept under a key, or None."""
        found = self._texts.get(key)
        if found is not None:
            self._used[key] = None
        return found

    def put_text(self, key: str, text: str) -> None:
        """Keep a text; one that is too long is left out."""
        if len(text) <= _TEXT:
            self._texts[key] = text
            self._used[key] = None
            self._changes += 1

    @classmethod
    def read(cls, path: Path) -> VerdictCache:
        """Return the cache of a file; an empty one where there is none or it cannot be used."""
        try:
            content = read_regular(path, most=_SIZE_LIMIT + 1)
            data = json.loads(content) if len(content) <= _SIZE_LIMIT else None
        except (OSError, ValueError, RecursionError):
            return cls()
        if not isinstance(data, dict) or data.get("version") != _FORMAT:
            return cls()
        rows = data.get("verdicts")
        verdicts = {}
        for key, row in rows.items() if isinstance(rows, dict) else ():
            verdict = verdict_of(row)
            if verdict is not None and _KEY.fullmatch(key):
                verdicts[key] = verdict
        kept = data.get("texts")
        texts = {}
        for key, text in kept.items() if isinstance(kept, dict) else ():
            if isinstance(text, str) and len(text) <= _TEXT and _KEY.fullmatch(key):
                texts[key] = text
        return cls(verdicts, texts)

    def write(self, path: Path) -> None:
        """Write the cache in place of the file, whole or not at all. Raises OSError."""
        verdicts = {key: row_of(self._verdicts[key]) for key in self._latest(self._verdicts)}
        texts = {key: self._texts[key] for key in self._latest(self._texts)}
        document = {"version": _FORMAT, "verdicts": verdicts, "texts": texts}
        text = json.dumps(document, ensure_ascii=True, separators=(",", ":"))
        write_whole(path, (text.replace('},"', '},\n"') + "\n").encode("ascii"))

    def _latest(self, kept: Mapping[str, object]) -> list[str]:
        """Return the keys worth keeping, those used in this run first."""
        used = [key for key in self._used if key in kept]
        return [*used, *(key for key in kept if key not in self._used)][:_KEPT]


def row_of(verdict: Verdict) -> dict[str, Any]:
    """Return a verdict as plain data."""
    row: dict[str, Any] = {"reach": verdict.reach.value, "nodes": verdict.nodes}
    if verdict.evidence:
        row["evidence"] = [_part_of(part) for part in verdict.evidence]
    if verdict.counter:
        row["counter"] = [_part_of(move) for move in verdict.counter]
    if verdict.cost is not None:
        row["cost"] = verdict.cost
    if verdict.depth is not None:
        row["depth"] = verdict.depth
    return row


def _part_of(part: str | MoveSaid) -> str | list[Any]:
    if isinstance(part, str):
        return part
    return [part.san, part.uci, part.number, part.mover, part.is_numbered]


# ------------------------------------------------------------------ what is read, looked at


def verdict_of(row: Any) -> Verdict | None:
    """Return the verdict of plain data, or None where anything in it does not fit."""
    if not isinstance(row, dict):
        return None
    try:
        reach = Reach(row.get("reach"))
    except ValueError:
        return None
    evidence = _evidence_of(row.get("evidence", []))
    counter = _evidence_of(row.get("counter", []))
    numbers = [row.get(name) for name in ("cost", "depth")]
    nodes = row.get("nodes")
    if evidence is None or counter is None or not isinstance(nodes, int) or nodes < 0:
        return None
    if not all(number is None or _is_number(number) for number in numbers):
        return None
    moves = tuple(part for part in counter if isinstance(part, MoveSaid))
    if len(moves) != len(counter):
        return None
    return Verdict(
        reach=reach,
        evidence=evidence,
        counter=moves,
        cost=numbers[0],
        depth=numbers[1],
        nodes=nodes,
    )


def _is_number(value: Any) -> bool:
    return type(value) is int and 0 <= value < 10**12


def _evidence_of(parts: Any) -> Evidence | None:
    if not isinstance(parts, list) or len(parts) > _PARTS:
        return None
    found: list[str | MoveSaid] = []
    for part in parts:
        if isinstance(part, str):
            if len(part) > _WORDS or any(unicodedata.category(sign)[0] == "C" for sign in part):
                return None
            found.append(part)
        else:
            move = _move_of(part)
            if move is None:
                return None
            found.append(move)
    return tuple(found)


def _move_of(part: Any) -> MoveSaid | None:
    if not isinstance(part, list) or len(part) != 5:
        return None
    san, uci, number, mover, is_numbered = part
    if not isinstance(san, str) or not _SAN.fullmatch(san):
        return None
    if not isinstance(uci, str) or not _UCI.fullmatch(uci):
        return None
    if not _is_number(number) or mover not in ("white", "black") or type(is_numbered) is not bool:
        return None
    return MoveSaid(san=san, uci=uci, number=number, mover=mover, is_numbered=is_numbered)
