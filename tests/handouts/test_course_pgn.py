"""One PGN of the whole course: python-chess reads every line back as the same tree."""

from __future__ import annotations

import io
from collections.abc import Iterator

import chess
import chess.pgn

from plybook.board.model import Line
from plybook.desk.work import Work
from plybook.site.wording.pgn import course_pgn


def games_of(text: str) -> Iterator[chess.pgn.Game]:
    stream = io.StringIO(text)
    while (game := chess.pgn.read_game(stream)) is not None:
        assert not game.errors
        yield game


def ways_of_game(game: chess.pgn.Game) -> list[tuple[str, ...]]:
    """Return every position as the moves that lead to it."""
    found = []
    waiting: list[chess.pgn.GameNode] = [game]
    while waiting:
        node = waiting.pop()
        waiting.extend(node.variations)
        if node.parent is not None:
            found.append(tuple(move.uci() for move in node.board().move_stack))
    return sorted(found)


def ways_of_line(line: Line) -> list[tuple[str, ...]]:
    ways: dict[int, tuple[str, ...]] = {0: ()}
    for ply in line.plies:
        move = f"{ply.origin}{ply.target}{ply.promotion or ''}"
        ways[ply.index] = (*ways[ply.parent], move)
    return sorted(set(ways.values()) - {()})


def test_every_line_is_read_back_as_the_same_tree(work: Work, trial_work: Work) -> None:
    for made in (work, trial_work):
        assert made.course is not None
        lines = [
            line
            for lesson in made.course.lessons.values()
            for line in lesson.lines.values()
            if not line.start.is_partial
        ]
        games = list(games_of(course_pgn(made.course)))
        assert len(games) == len(lines) > 5
        for game, line in zip(games, lines, strict=True):
            assert game.board().fen() == line.start.fen
            assert ways_of_game(game) == ways_of_line(line)


def test_each_game_names_its_course_and_lesson(work: Work) -> None:
    assert work.course is not None
    for game in games_of(course_pgn(work.course)):
        assert game.headers["Course"] == "First Principles"
    titles = {lesson.draft.title for lesson in work.course.lessons.values()}
    events = [game.headers["Event"] for game in games_of(course_pgn(work.course))]
    assert all(any(event.startswith(title) for title in titles) for event in events)


def test_the_site_holds_it_and_links_to_it(work: Work) -> None:
    assert work.course is not None
    assert work.files["course.pgn"].decode() == course_pgn(work.course)
    assert b'href="course.pgn"' in work.files["lines.html"]


def test_rows_are_short_and_in_export_format(work: Work) -> None:
    """PGN standard, section 4.3: fewer than 80 columns; 8.1: the seven tags first, in order."""
    assert work.course is not None
    text = course_pgn(work.course)
    rows = [row for row in text.splitlines() if not row.startswith("[")]
    assert max(map(len, rows)) < 80
    names = ["Event", "Site", "Date", "Round", "White", "Black", "Result"]
    for game in text.split("\n\n[Event "):
        head = [row.split(" ")[0].lstrip("[") for row in game.splitlines() if row[:1] == "["]
        assert head[-len(set(head)) :] == head
        assert [name for name in head if name in names] in (names, names[1:])
