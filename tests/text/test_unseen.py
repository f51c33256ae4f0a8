"""Characters that cannot be seen are refused, raw or escaped; so are line ends behind values."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnostics.folder import COURSE, HEAD, LESSON, check, marked, place, write

#: Noncharacters (Unicode standard, section 23.7) and controls (section 23.1).
REFUSED = [
    "\x00",
    "\x1b",
    "\x85",
    "\ufdd0",
    "\ufdef",
    "\ufffe",
    "\uffff",
    "\U0001fffe",
    "\U0010ffff",
]


@pytest.mark.parametrize("character", REFUSED, ids=[f"{ord(one):04x}" for one in REFUSED])
def test_a_character_that_is_none_is_found_in_a_lesson(tmp_path: Path, character: str) -> None:
    files, where = marked({LESSON: f"{HEAD}A «{character}» first lesson.\n"})
    (fault,) = check(write(tmp_path, files))
    assert (fault.code, place(fault)) == ("control-character", where)


@pytest.mark.parametrize("character", ["\ufdcf", "\ufdf0", "\ufffd", "\U0001fffd", "😀", "将"])
def test_its_neighbours_are_fair(tmp_path: Path, character: str) -> None:
    assert check(write(tmp_path, {LESSON: f"{HEAD}A {character} first lesson.\n"})) == ()


@pytest.mark.parametrize(
    "escape", [r"\0", r"\e", r"\x85", r"\u202e", r"\uFFFE", r"\U0001FFFF", r"\ufdd0", r"\N"]
)
def test_an_escape_in_a_head_is_no_way_round(tmp_path: Path, escape: str) -> None:
    """Escapes of double-quoted scalars: YAML 1.2, section 5.7."""
    files, where = marked({LESSON: f'---\ntitle: «"a{escape}b"»\n---\n\nText.\n'})
    (fault,) = check(write(tmp_path, files))
    assert (fault.code, place(fault)) == ("control-character", where)


def test_an_escape_for_a_letter_or_a_tab_is_fair(tmp_path: Path) -> None:
    assert check(write(tmp_path, {LESSON: '---\ntitle: "a\\tK\\xf6nig"\n---\n\nText.\n'})) == ()


@pytest.mark.parametrize(
    ("file", "text"),
    [
        (COURSE, 'title: X\nlanguage: «"en\\n"»\n'),
        (COURSE, 'title: X\nid: «"x\\n"»\n'),
        (COURSE, 'title: X\ntheme: «"press\\n"»\n'),
        (LESSON, '---\ntitle: X\nchanged: «"2026-01-01\\n"»\n---\n\nText.\n'),
    ],
    ids=["language", "id", "theme", "day"],
)
def test_a_line_end_behind_a_value_is_no_part_of_it(tmp_path: Path, file: str, text: str) -> None:
    files, where = marked({file: text})
    (fault,) = check(write(tmp_path, files))
    assert (fault.code, place(fault)) == ("bad-value", where)
