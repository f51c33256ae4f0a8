"""`check --fix`: only repairs that were played through, shown first, written whole."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import moves, write
from diagnostics.run import plybook
from plybook.desk import fixing
from plybook.diagnostics import UsageError

LESSON: Final = "lessons/01-example.md"


def fixed(tmp_path: Path, movetext: str) -> tuple[str, str]:
    """Return the text of the lesson before and after `check --fix --yes`."""
    course = write(tmp_path, moves(movetext))
    before = (course / LESSON).read_text(encoding="utf-8")
    plybook("check", course, "--fix", "--yes")
    return before, (course / LESSON).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("written", "repaired"),
    [
        ("1. e4 e5 2. nf3 Nc6", "1. e4 e5 2. Nf3 Nc6"),
        ("1. e4 e5 3. Nf3 Nc6", "1. e4 e5 2. Nf3 Nc6"),
        ("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. 0-0 Nf6", "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6"),
        ("1. e4 d5 2. ed5 Qd5", "1. e4 d5 2. exd5 Qxd5"),
        ("1. f3 e5 2. g4 Qh4", "1. f3 e5 2. g4 Qh4#"),
    ],
)
def test_a_slip_with_one_reading_is_repaired(tmp_path: Path, written: str, repaired: str) -> None:
    before, after = fixed(tmp_path, written)
    assert after == before.replace(written, repaired)
    assert plybook("check", tmp_path).code == 0


def test_repairs_behind_a_fault_are_found_in_the_same_run(tmp_path: Path) -> None:
    """After a bad move the rest of its line is silent; the repaired move lets it speak."""
    _, after = fixed(tmp_path, "1. e4 e5 2. Nf9 nc6 3. bc4 Bc5 4. 0-0 nf6")
    assert "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6" in after


def test_a_fault_with_two_readings_is_left_to_the_coach(tmp_path: Path) -> None:
    before, after = fixed(tmp_path, "1. d4 d5 2. Nf3 Nf6 3. e3 e6 4. Nd2")
    assert after == before


def test_without_consent_the_difference_is_shown_and_nothing_written(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4 e5 2. nf3 Nc6"))
    before = (course / LESSON).read_bytes()
    ran = plybook("check", course, "--fix")
    assert "-1. e4 e5 2. nf3 Nc6" in ran.out.splitlines()
    assert "+1. e4 e5 2. Nf3 Nc6" in ran.out.splitlines()
    assert "1 repair in 1 file shown, nothing written; `--fix --yes` writes them" in ran.err
    assert (course / LESSON).read_bytes() == before


def test_line_ends_and_byte_order_mark_stay(tmp_path: Path) -> None:
    course = write(tmp_path, moves("1. e4 e5 2. nf3 Nc6"))
    path = course / LESSON
    raw = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(raw)
    plybook("check", course, "--fix", "--yes")
    assert path.read_bytes() == raw.replace(b"nf3", b"Nf3")


def test_yes_alone_is_a_wrong_use(tmp_path: Path) -> None:
    ran = plybook("check", write(tmp_path, moves("1. e4 e5")), "--yes")
    assert (ran.code, ran.out) == (2, "")


def test_what_was_saved_while_the_coach_was_asked_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    course = write(tmp_path, moves("1. e4 e5 2. nf3 Nc6"))
    path = course / LESSON

    def save_and_agree(_: str) -> bool:
        path.write_text(path.read_text(encoding="utf-8") + "\nNew.\n", encoding="utf-8")
        return True

    monkeypatch.setattr(fixing, "_agrees", save_and_agree)
    with pytest.raises(UsageError, match="changed meanwhile"):
        fixing.fix_course(course, is_agreed=False)
    assert path.read_text(encoding="utf-8").endswith("\nNew.\n")
    assert "nf3" in path.read_text(encoding="utf-8")
