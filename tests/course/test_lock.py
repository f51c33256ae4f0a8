"""positions.lock: another legal line is seen, the same line is not."""

from __future__ import annotations

from pathlib import Path

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import Checked, check_course, codes, lesson, moves, play, steady
from plybook.board import Line
from plybook.course import lock_of
from plybook.course.lock import compare_lock, lock_text
from plybook.diagnostics import Diagnostic, Report
from text.trees import Move, trees, write


def lock(line: Line) -> str:
    return lock_text({"lesson": [line]})


def compared(text: str, line: Line) -> tuple[Diagnostic, ...]:
    report = Report()
    compare_lock(text, {"lesson": [line]}, report=report)
    return report.sorted()


def played(tree: tuple[str, list[Move]]) -> Line:
    line, found = play(write(*tree), fen=tree[0])
    assert not found
    return line


def parse(words: str) -> list[tuple[str, list[object]]]:
    """Return the tree of a lock's moves: each with the lines that replace it. Our own reader."""
    tokens = words.replace("(", " ( ").replace(")", " ) ").split()

    def read() -> list[tuple[str, list[object]]]:
        line: list[tuple[str, list[object]]] = []
        while tokens and tokens[0] != ")":
            token = tokens.pop(0)
            if token == "(":
                line[-1][1].append(read())
                assert tokens.pop(0) == ")"
            else:
                line.append((token, []))
        return line

    return read()


def shape(line: list[Move]) -> list[tuple[str, list[object]]]:
    return [(move.san, [shape(other) for other in move.others]) for move in line]


# ---------------------------------------------------------------------- one line


@steady(50)
@given(trees())
def test_the_moves_of_a_row_have_one_reading(tree: tuple[str, list[Move]]) -> None:
    row = lock(played(tree)).split("\n")[1]
    _, _, words = row.split(" ", 2)
    if words.startswith("["):
        fen, _, words = words[1:].partition("] ")
        assert chess.Board(fen) == chess.Board(tree[0])
    else:
        assert tree[0] == chess.STARTING_FEN
    assert parse(words) == shape(tree[1])


@steady(40)
@given(trees())
def test_a_line_agrees_with_its_own_lock(tree: tuple[str, list[Move]]) -> None:
    line = played(tree)
    text = lock(line)
    assert compared(text, line) == ()
    assert lock_text({"lesson": [line]}, kept=text) == text


@steady(50)
@given(trees(), st.data())
def test_any_other_move_is_seen(tree: tuple[str, list[Move]], data: st.DataObject) -> None:
    fen, line = tree
    before = lock(played(tree))
    at = data.draw(st.integers(0, len(line) - 1))
    board = chess.Board(fen)
    for move in line[:at]:
        board.push_san(move.san)
    taken = {move.san for others in line[at].others for move in others[:1]} | {line[at].san}
    free = sorted({board.san(move) for move in board.legal_moves} - taken)
    if not free:
        return
    changed = [*line[:at], Move(data.draw(st.sampled_from(free)), others=line[at].others)]
    other, found = play(write(fen, changed), fen=fen)
    if not found:
        assert codes(compared(before, other)) == ["positions-changed"]


@pytest.mark.parametrize(
    ("one", "other", "is_seen"),
    [
        ("1. e4 e5 {a} 2. Nf3 $1", "1. e4 e5 2. Nf3!? {other words}", False),
        ("1. e4 e5 2. Nf3", "1. Nf3 e5 2. e4", True),
        ("1. e4 e5 2. Nf3", "1. e4 e5 2. Nc3", True),
        ("1. e4 e5 2. Nf3", "1. e4 e5", True),
        ("1. e4 (1. d4 d5) 1... e5", "1. e4 (1. d4) 1... e5", True),
        ("1. e4 e5 (1... c5) 2. Nf3", "1. e4 c5 (1... e5 2. Nf3)", True),
    ],
    ids=["remarks", "transposed", "another", "shorter", "in-a-variation", "promoted"],
)
def test_positions_are_locked_and_remarks_are_not(one: str, other: str, is_seen: bool) -> None:
    found = compared(lock(play(one)[0]), play(other)[0])
    assert codes(found) == (["positions-changed"] if is_seen else [])


def test_a_change_is_shown_before_and_after() -> None:
    (found,) = compared(lock(play("1. e4 e5 2. Nf3 Nc6")[0]), play("1. e4 e5 2. Nc3 Nc6")[0])
    assert found.notes == ("before: e4 e5 Nf3 Nc6", "after:  e4 e5 Nc3 Nc6")


# ---------------------------------------------------------------------- a course

A, B = moves("one", "1. e4 e5"), moves("two", "1. d4 d5")


def check(folder: Path, *blocks: str, text: str | None, draft: str | None = None) -> Checked:
    files = {"lessons/01-a.md": lesson("".join(blocks))}
    if draft:
        files["lessons/02-b.md"] = lesson(draft, draft="true")
    if text is not None:
        files["positions.lock"] = text
    return check_course(folder, files)


def accepted(folder: Path, *blocks: str, **kinds: str) -> str:
    return lock_of(check(folder, *blocks, text=None, draft=kinds.get("draft")).draft)


def test_a_course_without_a_lock_is_fine(tmp_path: Path) -> None:
    assert check(tmp_path, A, text=None).codes == []


def test_drafts_are_locked_too(tmp_path: Path) -> None:
    text = accepted(tmp_path / "one", A, draft=B)
    assert [row.split()[0] for row in text.split("\n")[1:-1]] == ["a/one", "b/two"]
    assert check(tmp_path / "two", A, text=text, draft=B).codes == []


def test_a_new_line_and_a_row_without_a_line_are_warnings(tmp_path: Path) -> None:
    text = accepted(tmp_path / "one", A)
    checked = check(tmp_path / "two", B, text=text)
    assert checked.codes == ["positions-not-locked", "positions-unused"]
    assert checked.under("positions-unused") == "a/one"


@pytest.mark.parametrize(
    "broken",
    [
        moves("one", "1. e4 e6 2. Nf6"),
        moves("one", "1. e4 e5", from_="fen 8/8/8/8/8/8/8/8 w - - 0 1"),
    ],
    ids=["broken-off", "no-start"],
)
def test_a_line_that_cannot_be_played_keeps_its_row(tmp_path: Path, broken: str) -> None:
    text = accepted(tmp_path / "one", A, B)
    checked = check(tmp_path / "two", broken, B, text=text)
    assert len(checked.codes) == 1, "the fault of the line and nothing of the lock"
    assert lock_of(checked.draft) == text


def test_a_row_that_cannot_be_read_is_an_error_at_its_line(tmp_path: Path) -> None:
    text = accepted(tmp_path / "one", A) + "a/two 123 d4\n"
    checked = check(tmp_path / "two", A, text=text)
    assert checked.codes == ["bad-lock"]
    assert checked.the("bad-lock").span.line == 3


def test_the_rows_stand_in_order_whatever_the_order_of_the_blocks(tmp_path: Path) -> None:
    assert accepted(tmp_path / "one", A, B) == accepted(tmp_path / "two", B, A)
