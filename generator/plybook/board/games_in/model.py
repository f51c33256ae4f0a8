"""What the lenient reader gives: games, what was put right in them, and what was rejected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, NamedTuple

__all__ = [
    "CHANGES",
    "MOST_CHARACTERS",
    "Change",
    "Drawn",
    "Moved",
    "RawGame",
    "ReadGame",
    "Rejected",
]

#: Of one game; a longer one is rejected.
MOST_CHARACTERS: Final = 512 * 1024

#: What may be put right in a game, or left out of it, by kind.
CHANGES: Final[Mapping[str, str]] = {
    "line-ends": "line ends of an old system were made new",
    "tag-spelling": "the name of a tag was written otherwise",
    "tag-twice": "a tag was given twice; the last one counts",
    "start-position": "a FEN was completed or a right that cannot be was left out",
    "move-spelling": "a move was written otherwise",
    "castling": "castling was written otherwise",
    "check-mark": "a mark for check or mate was missing or wrong",
    "move-number": "a move number was wrong",
    "sign": "a sign of judgement became its number",
    "sign-left-out": "a sign of judgement that belongs to no move was left out",
    "line-remark": "a remark behind a semicolon became one in braces",
    "line-left-out": "a line hidden from readers was left out",
    "command": "a command in a remark was left out",
    "colour": "the colours of arrows or marks were left out",
    "variation-joined": "a variation that repeats a move was joined with it",
    "variation-without-moves": "brackets without moves were left out",
    "result-in-variation": "a result in a variation was left out",
    "result-spelling": "a result was written otherwise",
    "result-missing": "the result was missing at the end",
    "result-unlike-tag": "the result was another one than in the tag; the one at the end counts",
}


class RawGame(NamedTuple):
    """The text of one game as it stands in the file. `line` is its first line there, 1-based.

    Of a game that is longer than `MOST_CHARACTERS` there may be the beginning alone: `is_cut`.
    """

    text: str
    line: int
    is_cut: bool = False


class Change(NamedTuple):
    """One thing that is not as the file has it: a kind of `CHANGES`, and the line of the file.

    `word` tells kinds apart where it matters: the name of a command or tag. It is never a value.
    """

    kind: str
    line: int
    word: str = ""


class Drawn(NamedTuple):
    """An arrow (two squares) or a mark (one square), from a comment of the file."""

    squares: tuple[str, ...]


class Moved(NamedTuple):
    """A move of a game's tree. `parent` is the number of the move before it, 0 the start.

    Squares are numbered from 0 (a1) to 63 (h8); `promotion` is 0 or the number of the piece.
    """

    parent: int
    depth: int
    origin: int
    target: int
    promotion: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadGame:
    """A game that was read whole. Moves are counted from 1 in the order of the file.

    Mappings go by the number of a move; 0 is the start position. `before` holds remarks in front
    of the first move of the game or of a variation. `replaced_tags` holds the values of tags given
    more than once, less the last, which stands in `tags`.
    """

    line: int
    tags: Mapping[str, str]
    fen: str | None
    moves: tuple[Moved, ...]
    result: str
    nags: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    before: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    after: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    drawn: Mapping[int, tuple[Drawn, ...]] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()
    replaced_tags: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A game that could not be read whole: why, and the line of the file where it went wrong."""

    line: int
    tags: Mapping[str, str]
    reason: str
    at: int
