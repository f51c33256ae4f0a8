"""What the pages must show: the coach's Markdown, played by python-chess alone.

Nothing of plybook stands in between: blocks are found by a regular expression, movetext is read by
`chess.pgn` (the tests only give it what is plain PGN), and fragments are named here anew.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import chess
import chess.pgn

__all__ = ["ToldLesson", "ToldLine", "ToldPlace", "placement_of", "read_told"]

_BLOCK: Final = re.compile(r"^```moves (\S+)\n(.*?)^```$", re.M | re.S)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldPlace:
    """A position of a line. `children` are fragments, the continuation first."""

    fragment: str
    fen: str
    san: str  # empty at the start
    label: str  # `4...g6`, or `start`
    parent: str | None
    children: list[str] = field(default_factory=list)

    @property
    def placement(self) -> str:
        """The 64 characters a1 to h8."""
        return placement_of(chess.Board(self.fen))

    @property
    def board(self) -> chess.Board:
        """A board of its own."""
        return chess.Board(self.fen)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldLine:
    """A moves block: its places by fragment, in the order of the text."""

    name: str
    title: str
    view: str
    marked: frozenset[str]  # labels with arrows or marks in the head
    places: Mapping[str, ToldPlace]

    @property
    def start(self) -> ToldPlace:
        """The place before the first move."""
        return self.places[f"{self.name}@start"]

    def way_on(self, fragment: str) -> list[ToldPlace]:
        """Return a place and its continuation to the end."""
        way = [self.places[fragment]]
        while way[-1].children:
            way.append(self.places[way[-1].children[0]])
        return way

    def way_to(self, fragment: str) -> list[ToldPlace]:
        """Return the places from the start to a place."""
        place = self.places[fragment]
        way = [place]
        while place.parent is not None:
            place = self.places[place.parent]
            way.insert(0, place)
        return way

    def branches(self) -> list[ToldPlace]:
        """Return the first place of every sideline, in the order of the text."""
        later = {child for place in self.places.values() for child in place.children[1:]}
        return [place for place in self.places.values() if place.fragment in later]

    def is_inside(self, fragment: str) -> bool:
        """Return whether a place lies in a sideline."""
        begun = {place.fragment for place in self.branches()}
        return any(place.fragment in begun for place in self.way_to(fragment))


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldLesson:
    """A lesson: its lines in the order of the text."""

    slug: str
    text: str
    lines: tuple[ToldLine, ...]

    @property
    def places(self) -> Mapping[str, ToldPlace]:
        """Every position of the lesson by fragment."""
        return {key: place for line in self.lines for key, place in line.places.items()}

    def line_of(self, fragment: str) -> ToldLine:
        """Return the line of a fragment."""
        return next(line for line in self.lines if fragment in line.places)


def placement_of(board: chess.Board) -> str:
    """Return the 64 characters a1 to h8 of a board, `.` for an empty square."""
    men = (board.piece_at(square) for square in chess.SQUARES)
    return "".join(man.symbol() if man else "." for man in men)


def read_told(folder: Path) -> tuple[ToldLesson, ...]:
    """Return the lessons of a course folder, in order."""
    lessons: list[ToldLesson] = []
    for path in sorted((folder / "lessons").glob("*.md")):
        slug = path.stem.split("-", 1)[1]
        text = path.read_text(encoding="utf-8")
        lines: list[ToldLine] = []
        for name, body in _BLOCK.findall(text):
            here = ToldLesson(slug=slug, text=text, lines=tuple(lines))
            lines.append(_read_line(name, body, here=here, lessons=lessons))
        lessons.append(ToldLesson(slug=slug, text=text, lines=tuple(lines)))
    return tuple(lessons)


def _read_line(name: str, body: str, *, here: ToldLesson, lessons: list[ToldLesson]) -> ToldLine:
    head, gap, movetext = body.partition("\n\n")
    if not gap:
        head, movetext = "", body
    rows = dict(re.findall(r"^(title|from|view): (.*)$", head, re.M))
    board = _start(rows.get("from", "start"), here=here, lessons=lessons)
    written = f'[SetUp "1"]\n[FEN "{board.fen()}"]\n\n{movetext}'
    game = chess.pgn.read_game(io.StringIO(written))
    assert game is not None
    assert not game.errors, (name, game.errors)
    places: dict[str, ToldPlace] = {}
    start = ToldPlace(fragment=f"{name}@start", fen=board.fen(), san="", label="start", parent=None)
    places[start.fragment] = start
    for place in _walk(game, start, way=f"{name}@"):
        assert place.fragment not in places, "two moves of one name: choose another line"
        places[place.fragment] = place
        places[place.parent or ""].children.append(place.fragment)
    return ToldLine(
        name=name,
        title=rows.get("title", "Line"),
        view=rows.get("view", "white"),
        marked=frozenset(re.findall(r"^at (\S+): (?:arrow|mark) ", head, re.M)),
        places=places,
    )


def _walk(node: chess.pgn.GameNode, place: ToldPlace, *, way: str) -> Iterator[ToldPlace]:
    """Yield the places after a node: the move, its sidelines whole, then what follows it."""
    while node.variations:
        main, *others = node.variations
        main_place = _place(main, parent=place, way=way)
        yield main_place
        for other in others:
            entered = _place(other, parent=place, way=way)
            yield entered
            yield from _walk(other, entered, way=f"{entered.fragment}~")
        node, place = main, main_place


def _place(node: chess.pgn.ChildNode, *, parent: ToldPlace, way: str) -> ToldPlace:
    before = node.parent.board()
    san = before.san(node.move)
    label = f"{before.fullmove_number}{'.' if before.turn else '...'}{san.rstrip('+#')}"
    return ToldPlace(
        fragment=way + label,
        fen=node.board().fen(),
        san=san,
        label=label,
        parent=parent.fragment,
    )


def _start(written: str, *, here: ToldLesson, lessons: list[ToldLesson]) -> chess.Board:
    """Return the board a line begins with: `start`, `fen …` or a reference to a place."""
    if written == "start":
        return chess.Board()
    if written.startswith("fen "):
        return chess.Board(written[4:])
    slug, _, reference = written.rpartition("/")
    slug = re.sub(r"^[0-9]+-", "", slug)
    lesson = next((one for one in lessons if one.slug == slug), here)
    return chess.Board(_find(lesson, reference).fen)


def _find(lesson: ToldLesson, reference: str) -> ToldPlace:
    """Return the one place a reference names: exactly, or by its last move alone."""
    reference = reference.rstrip("+#")
    exact = lesson.places.get(reference.replace(">", "~"))
    if exact:
        return exact
    name, _, label = reference.partition("@")
    (line,) = (line for line in lesson.lines if line.name == name)
    if label == "end":
        return line.way_on(line.start.fragment)[-1]
    (found,) = (place for place in line.places.values() if place.label == label)
    return found
