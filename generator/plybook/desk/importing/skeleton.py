"""A lesson begun from a game: Markdown that `plybook check` accepts, with nobody's name in it."""

from __future__ import annotations

import json
import re
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Final

from plybook.board import Line, Ply, games_in
from plybook.course import assemble
from plybook.desk.importing.redaction import Redactor
from plybook.diagnostics import Diagnostic, Report, UsageError
from plybook.site.wording.tree import walk
from plybook.text import COURSE_FILE, read_course_folder
from plybook.text.model import Comment
from plybook.text.source import unseen_character

__all__ = ["Skeleton", "skeleton_of"]

_WIDTH: Final = 96
_MOST_COMMENT: Final = 6000
_GLYPHS: Final = {1: "!", 2: "?", 3: "!!", 4: "??", 5: "!?", 6: "?!"}
_LIVE: Final = re.compile(r"([\\`*_\[\]~|#])")
_ENTITIES: Final = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
_BRACES: Final = str.maketrans("{}", "()")
_ROUNDS: Final = 8  # of taking out what does not fit
_FENCE: Final = "```"
_TITLE: Final = "A game to work on"
_ROW_OF_TITLE: Final = 1  # from 0
_DRAFT: Final = "draft: true\n"
_WRONG_RESULT: Final = "wrong-result"


@dataclass(frozen=True, slots=True, kw_only=True)
class Skeleton:
    """The text of a lesson, and what of the game could not be carried over, in words."""

    text: str
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Parts:
    """A lesson before it is joined: the rows of the block's head, the movetext, the result."""

    title: str
    head: tuple[str, ...]
    drawn: tuple[str, ...]
    moves: str
    result: str

    def row_of_moves(self) -> int:
        """Return the line, 1-based, at which the movetext begins."""
        return len(self._above()) + 1

    def text(self) -> str:
        movetext = f"{self.moves} {self.result}".rstrip()
        return "\n".join([*self._above(), movetext, _FENCE, ""])

    def _above(self) -> list[str]:
        return [
            "---",
            f"title: {json.dumps(self.title, ensure_ascii=False)}",
            "draft: true",
            "---",
            "",
            "**Goal.** Say in one line what this game teaches, then delete what does not serve it.",
            "",
            f"{_FENCE}moves game",
            *self.head,
            *self.drawn,
            "",
        ]


def skeleton_of(
    game: games_in.ReadGame, *, number: int, redactor: Redactor, course_file: bytes
) -> Skeleton:
    """Return the lesson of a game. It was read and played as `check` does before it is returned.

    Arrows, remarks and a result that `check` refuses are left out and told. Raises UsageError when
    the game itself is refused: it has too many moves.
    """
    line, places = games_in.line_of(game, name="game")
    parts = _Parts(
        title=redactor.clean(game.tags.get("Opening", "")) or _TITLE,
        head=tuple(_head(game, number=number, redactor=redactor)),
        drawn=tuple(_drawn(game, line, places)),
        moves="",
        result="" if game.result == "*" else game.result,
    )
    remarks = _Remarks(redactor)
    taken = Counter(redactor.taken_out)
    left_out: list[str] = []
    for _ in range(_ROUNDS):
        redactor.taken_out = Counter(taken)  # each round takes names out anew
        parts = replace(parts, moves=_wrapped(list(_movetext(line, remarks))))
        faults = _faults(parts.text(), course_file)
        if not faults:
            return Skeleton(text=parts.text(), left_out=tuple(left_out))
        parts, told = _without(parts, faults, remarks)
        left_out += told
        if not told:
            break
    raise UsageError(f"game {number}, line {game.line}, makes no lesson: {faults[0].message}")


def _head(game: games_in.ReadGame, *, number: int, redactor: Redactor) -> Iterator[str]:
    year = game.tags.get("Date", "")[:4]
    when = f", {year}" if year.isdigit() else ""
    yield f"title: {redactor.white} against {redactor.black}"
    if redactor.public:
        yield f"source: {redactor.white} against {redactor.black}{when}; {redactor.public.source}"
    else:
        yield f"source: game {number} of an imported file{when}"
    if game.fen is not None:
        yield f"from: fen {game.fen}"


def _drawn(game: games_in.ReadGame, line: Line, places: dict[int, int]) -> Iterator[str]:
    for number, drawings in sorted(game.drawn.items()):
        place = places[number]
        if not place:
            yield from (f"at start: {_drawing(one)}" for one in dict.fromkeys(drawings))
            continue
        label = _label(line, line.plies[place - 1])
        yield from (f"at {label}: {_drawing(one)}" for one in dict.fromkeys(drawings))


def _label(line: Line, ply: Ply) -> str:
    """Return a move as `at` names it: with the one before it where it stands twice in the game."""
    is_twice = any(one.label == ply.label and one is not ply for one in line.plies)
    if not (is_twice and ply.parent):
        return ply.label
    return f"{line.plies[ply.parent - 1].label}>{ply.label}"


def _drawing(drawn: games_in.Drawn) -> str:
    what = "arrow plan" if len(drawn.squares) == 2 else "mark target"
    return f"{what} {' '.join(drawn.squares)}"


# ---------------------------------------------------------------------- movetext


def _movetext(line: Line, remarks: _Remarks) -> Iterator[str]:
    """Yield the words of the movetext; what must not be parted by a line end is one word."""
    remarks.count = 0
    depth, bracket, needs_number = 0, "", True
    closing: list[str] = []
    for closes, opens, ply in walk(line):
        if closes:
            closing[-1] += ")" * closes
        yield from closing
        closing = []
        bracket = "(" if opens else ""
        needs_number = needs_number or bool(opens or closes)
        words = [*remarks.words(ply.comments_before)]
        needs_number = needs_number or bool(words)
        words += _move(ply, needs_number=needs_number)
        after = list(remarks.words(ply.comments))
        needs_number = bool(after)
        words += after
        words[0] = bracket + words[0]
        closing = words[-1:]
        yield from words[:-1]
        depth = ply.depth
    if closing:
        closing[-1] += ")" * depth
    yield from closing


def _move(ply: Ply, *, needs_number: bool) -> Iterator[str]:
    number = f"{ply.number}. " if ply.mover == "white" else f"{ply.number}... "
    glyphs = [nag for nag in ply.nags if nag in _GLYPHS][:1]
    glyph = _GLYPHS[glyphs[0]] if glyphs else ""
    nags = "".join(f" ${nag}" for nag in ply.nags if nag not in glyphs)
    yield f"{number if needs_number or ply.mover == 'white' else ''}{ply.san}{glyph}{nags}"


class _Remarks:
    """The remarks of a game in braces, less those that are left out, by their numbers from 0."""

    def __init__(self, redactor: Redactor) -> None:
        self.count = 0  # of those that were given since it was set to 0
        self.left_out: set[int] = set()
        self._redactor = redactor

    def words(self, comments: tuple[Comment, ...]) -> Iterator[str]:
        """Yield the words of some remarks, a long one in parts."""
        for comment in comments:
            words = _plain(self._redactor.clean(comment.text)).split(" ")
            while words:
                size, taken = 0, 0
                while taken < len(words) and size < _MOST_COMMENT:
                    size += len(words[taken]) + 1
                    taken += 1
                part, words = words[:taken], words[taken:]
                if any(part):
                    if self.count not in self.left_out:
                        yield from _braced(part)
                    self.count += 1

    def number_at(self, place: int) -> int:
        """Return the number of a remark by its place among those that are not left out."""
        kept = (number for number in range(self.count) if number not in self.left_out)
        return next(islice(kept, place, None))


def _braced(words: list[str]) -> list[str]:
    """Return the words of a remark in braces; one that begins with `%` clings to the one before."""
    found = ["{" + words[0]]
    for word in words[1:]:
        if word.startswith("%"):
            found[-1] += f" {word}"
        else:
            found.append(word)
    found[-1] += "}"
    return found


def _plain(text: str) -> str:
    """Return a text that Markdown shows as it is."""
    while (unseen := unseen_character(text)) is not None:
        text = text[: unseen.start()] + text[unseen.end() :]
    return " ".join(_LIVE.sub(r"\\\1", text.translate(_BRACES)).translate(_ENTITIES).split())


def _wrapped(words: list[str]) -> str:
    rows, row = [], ""
    for word in words:
        if row and len(row) + 1 + len(word) > _WIDTH:
            rows.append(row)
            row = word
        else:
            row = f"{row} {word}" if row else word
    return "\n".join([*rows, row])


# ---------------------------------------------------------------------- the look of `check`


def _faults(text: str, course_file: bytes) -> tuple[Diagnostic, ...]:
    """Return the errors that a course of this lesson alone has in it."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "lessons").mkdir()
        (folder / COURSE_FILE).write_bytes(course_file)
        name = "lessons/01-game.md"
        # Not as a draft: of those less is looked at.
        (folder / name).write_text(text.replace(_DRAFT, ""), encoding="utf-8")
        report = Report()
        assemble(read_course_folder(folder, report=report), report=report)
        return tuple(
            one
            for one in report.sorted()
            if one.severity.value == "error" and one.span.file == name
        )


def _without(
    parts: _Parts, faults: tuple[Diagnostic, ...], remarks: _Remarks
) -> tuple[_Parts, list[str]]:
    """Return the parts without what faults are about, and that in words, each once.

    Remarks are left out when the movetext is made again.
    """
    rows = parts.text().replace(_DRAFT, "").split("\n")
    first = parts.row_of_moves() - 2  # counted from 0, without the row of the draft
    places: set[int] = set()
    told: dict[str, None] = {}
    new = parts
    for fault in faults:
        number = fault.span.line - 1
        row = rows[number]
        before = "\n".join([*rows[first:number], row[: fault.span.column]])
        if row in parts.drawn:
            new = replace(new, drawn=tuple(one for one in new.drawn if one != row))
            told[f"`{row}`: {fault.message}"] = None
        elif fault.code == _WRONG_RESULT:
            new = replace(new, result="")
            told[f"the result {parts.result}: {fault.message}"] = None
        elif number == _ROW_OF_TITLE and parts.title != _TITLE:
            new = replace(new, title=_TITLE)
            told[f"the name of the opening: {fault.message}"] = None
        elif number >= first and before.rfind("{") > before.rfind("}"):
            places.add(before.count("{") - 1)
            told[f"a remark: {fault.message}"] = None
    remarks.left_out |= {remarks.number_at(place) for place in places}
    return new, list(told)
