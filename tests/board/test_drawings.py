"""What the coach draws states a fact, and is refused where the fact is not one."""

from __future__ import annotations

import chess
import pytest

from helpers import FILE, board_of
from plybook.board.drawings import ARROWS, MARKS, try_drawings
from plybook.board.positions import position_of
from plybook.diagnostics import Diagnostic, Report, Span
from plybook.text.blocks import ARROW_ROLES, MARK_ROLES
from plybook.text.model import Drawing

#: A bishop on g4 pins the knight f3 to the queen; the bishop itself is loose.
LEGAL = board_of("e4 e5 Nf3 d6 Bc4 Bg4 Nc3 g6").fen()
#: The bishop e2 is pinned to its king and still attacks c4 (Laws of Chess, article 3.1.3).
PINNED = "4k3/4r3/8/8/2n5/8/4B3/4K3 w - - 0 1"
PASSANT = "4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1"
CASTLING = "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1"
CHECKED = "4k3/8/8/8/8/8/4q3/R3K2Q w - - 0 1"
PROMOTING = "7k/P7/8/8/8/8/8/K7 w - - 0 1"
HANGING = "4k3/4r3/8/8/8/8/4P3/K7 w - - 0 1"
GUARDED = "4k3/8/8/8/8/8/8/3RK3 w - - 0 1"
IN_CHECK = "4k3/8/8/3q4/3Q4/8/8/r3K3 w - - 0 1"


def draw(fen: str, role: str, squares: str, *, is_partial: bool = False) -> list[Diagnostic]:
    """Return what is said against a drawing: arrows have several squares, marks have one."""
    names = tuple(squares.split())
    drawing = Drawing(is_arrow=len(names) > 1, role=role, squares=names, span=Span.of_file(FILE))
    report = Report()
    position = position_of(chess.Board(fen), is_partial=is_partial)
    marks = try_drawings(position, (drawing,), place="after 4...g6", report=report)
    assert len(marks) + len(report) == 1, "it is drawn or reported"
    return list(report)


TRUE = [
    (LEGAL, "attack", "c4 f7"),
    (LEGAL, "attack", "g4 f3"),
    (LEGAL, "attack", "g4 e6"),
    (PINNED, "attack", "e2 c4"),
    (PINNED, "attack", "e7 e2"),
    (LEGAL, "guard", "e8 f7"),
    (LEGAL, "guard", "c3 e4"),
    (LEGAL, "guard", "d6 c5"),
    (PINNED, "guard", "e2 f1"),
    (LEGAL, "pin", "g4 f3 d1"),
    (PINNED, "pin", "e7 e2 e1"),
    (CHECKED, "check", "e2 e1"),
    (LEGAL, "threat", "g4 f3"),
    (LEGAL, "move", "f3 e5"),
    (PASSANT, "move", "e5 d6"),
    (CASTLING, "move", "e1 g1"),
    (CASTLING, "move", "e1 c1"),
    (CASTLING, "threat", "e8 c8"),
    (PROMOTING, "move", "a7 a8"),
    (CHECKED, "move", "e1 e2"),
    (LEGAL, "plan", "a1 h7"),
    (LEGAL, "target", "f7"),
    (LEGAL, "weak", "f6"),
    (LEGAL, "loose", "g4"),
    (LEGAL, "safe", "g4"),
    (LEGAL, "safe", "f3"),
    (HANGING, "hanging", "e2"),
    (PASSANT, "hanging", "d5"),
    (LEGAL, "flight", "e7"),
    (CASTLING, "flight", "e2"),
]

FALSE = [
    (LEGAL, "attack", "c4 g8", "does not attack g8"),
    (LEGAL, "attack", "c4 d4", "does not attack d4"),
    (LEGAL, "attack", "c3 e4", "is of the same side: use `arrow guard`"),
    (LEGAL, "attack", "e3 e4", "e3 is empty"),
    (PASSANT, "attack", "e5 d5", "does not attack d5"),
    (LEGAL, "guard", "c4 f7", "is of the other side: use `arrow attack`"),
    (LEGAL, "guard", "a1 a3", "does not guard a3"),
    (LEGAL, "guard", "e3 e4", "e3 is empty"),
    (LEGAL, "pin", "c4 f7 e8", "does not pin"),
    (LEGAL, "pin", "g4 f3 e2", "e2 is empty"),
    (LEGAL, "pin", "f3 e5 d7", "d7 is empty"),
    (LEGAL, "check", "c4 e8", "does not give check"),
    (LEGAL, "check", "c4 f7", "no king to be checked"),
    (LEGAL, "threat", "f3 e5", "is to move: use `arrow move`"),
    (LEGAL, "threat", "g4 g3", "may not go to g3"),
    (CHECKED, "threat", "e2 e1", "in check"),
    (LEGAL, "move", "g4 f3", "is not to move"),
    (PINNED, "move", "e2 c4", "may not go to c4"),
    (CHECKED, "move", "a1 a2", "may not go to a2"),
    (CASTLING, "move", "e1 h1", "may not go to h1"),
    (LEGAL, "loose", "f3", "is guarded from"),
    (LEGAL, "loose", "e3", "e3 is empty"),
    (LEGAL, "hanging", "g4", "no capture wins anything"),
    (LEGAL, "hanging", "e3", "e3 is empty"),
    (PASSANT, "safe", "d5", "can be taken from e5, which wins 1"),
    (HANGING, "safe", "e2", "can be taken from e7, which wins 1"),
    (IN_CHECK, "safe", "d4", "White is in check"),
    (IN_CHECK, "hanging", "d4", "White is in check"),
    (LEGAL, "flight", "d8", "may not go to d8"),
    (LEGAL, "flight", "d4", "no king stands next to d4"),
    (GUARDED, "flight", "d7", "may not go to d7"),
]


@pytest.mark.parametrize(("fen", "role", "squares"), TRUE)
def test_a_true_drawing_is_drawn(fen: str, role: str, squares: str) -> None:
    assert draw(fen, role, squares) == []


@pytest.mark.parametrize(("fen", "role", "squares", "why"), FALSE)
def test_a_false_drawing_is_refused_with_the_fact_against_it(
    fen: str, role: str, squares: str, why: str
) -> None:
    (found,) = draw(fen, role, squares)
    assert found.code == ("false-arrow" if " " in squares else "false-mark")
    assert any(why in note for note in found.notes), found.notes
    assert "after 4...g6" in found.message


def test_every_role_of_the_language_is_tried_both_ways() -> None:
    assert (set(ARROWS), set(MARKS)) == (set(ARROW_ROLES), set(MARK_ROLES))
    tried = {role for _, role, _ in TRUE}
    assert tried == {*ARROW_ROLES, *MARK_ROLES}
    free = {"plan", "target", "weak"}
    assert {role for _, role, _, _ in FALSE} == tried - free


@pytest.mark.parametrize(
    ("role", "squares", "is_drawn"),
    [
        ("move", "d5 e7", True),
        ("attack", "d5 e7", True),
        ("attack", "d5 e6", False),
        ("loose", "d5", True),
        ("safe", "d5", True),
        ("plan", "d5 a1", True),
    ],
)
def test_a_partial_board_is_asked_only_what_needs_no_move(
    role: str, squares: str, is_drawn: bool
) -> None:
    found = draw("8/8/8/3N4/8/8/8/8 w - - 0 1", role, squares, is_partial=True)
    assert (not found) is is_drawn
