"""The report as a person reads it: place, fault, the line with the fault marked, what to do."""

from __future__ import annotations

import unicodedata
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import LESSON, body, check, moves, write
from diagnostics.run import plybook
from plybook.desk.show import show
from plybook.diagnostics import Diagnostic, Severity, Span

FILE: Final = "lessons/01-example.md"


def fault(line: int, column: int, end_column: int, *, end_line: int | None = None) -> Diagnostic:
    """Return a diagnostic at a place of the file; the end is excluded."""
    return Diagnostic(
        code="illegal-move",
        severity=Severity.ERROR,
        span=Span(FILE, line, column, end_line or line, end_column),
        message="the fault",
    )


def marked_text(found: Diagnostic, text: str) -> str:
    """Return the characters of the shown line above the carets, column by column of a terminal."""
    _, source, carets = show(found, {FILE: text}).split("\n")
    first = len(carets) - len(carets.lstrip(" |"))
    last = first + carets.count("^")
    cells: list[str] = []
    for character in source:
        width = 2 if unicodedata.east_asian_width(character) in "WF" else 1
        if unicodedata.combining(character):
            cells[-1] += character
            continue
        cells += [character, ""][:width]
    return "".join(cells[first:last])


def test_a_report_has_place_fault_line_carets_notes_and_help(tmp_path: Path) -> None:
    course = write(
        tmp_path,
        moves("1. d4 d5 2. c4 e6\n3. Nc3 Bb4 4. Ne4 Nf6"),
    )
    (found,) = check(course)
    text = (course / LESSON).read_text(encoding="utf-8")
    first, source, carets, *rest = show(found, {LESSON: text}).split("\n")
    assert first == f"{LESSON}:7:15: error[illegal-move]: `4. Ne4` is illegal for White here"
    assert source == "    7 | 3. Nc3 Bb4 4. Ne4 Nf6"
    assert carets == "      |               ^^^"
    assert rest[0] == ("  note: the knight on c3 is pinned to the king on e1 by the bishop on b4")
    assert all(row.startswith(("  note: ", "  help: ")) for row in rest)
    assert any(row.startswith("  help: ") for row in rest)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("1. e4 Ke6", "Ke6"),
        ("{将棋} Ke6", "Ke6"),
        ("{\U0001f600} Ke6", "Ke6"),
        ("{e\u0301te\u0301} Ke6", "Ke6"),
        ("{ｆｕｌｌ} Ke6", "Ke6"),
        ("\t1. e4\tKe6", "Ke6"),
        ("> \tKe6 4. d4", "Ke6"),
        ("Ke6", "Ke6"),
        ("将棋 e4", "将棋"),
        ("x" * 300 + " Ke6 " + "y" * 300, "Ke6"),
        ("将" * 90 + " Ke6", "Ke6"),
        ("Ke6 " + "y" * 300, "Ke6"),
        ("x" * 300 + " Ke6", "Ke6"),
    ],
)
def test_the_carets_stand_under_the_exact_text(text: str, wanted: str) -> None:
    start = text.index(wanted)
    found = fault(1, start + 1, start + 1 + len(wanted))
    assert marked_text(found, text) == wanted


def test_a_long_line_is_cut_around_the_fault_and_says_so() -> None:
    text = "x" * 300 + " Ke6 " + "y" * 300
    source = show(fault(1, 302, 305), {FILE: text}).split("\n")[1]
    shown = source.removeprefix("    1 | ")
    assert shown.startswith("…x")
    assert shown.endswith("y…")
    assert " Ke6 " in shown
    assert len(shown) <= 102


def test_a_fault_of_no_width_has_one_caret() -> None:
    assert show(fault(1, 3, 3), {FILE: "abcd"}).split("\n")[2] == "      |   ^"


def test_a_fault_behind_the_end_of_a_line_has_one_caret_there() -> None:
    assert show(fault(1, 5, 5), {FILE: "abcd"}).split("\n")[2] == "      |     ^"


def test_a_fault_over_several_lines_marks_the_first_to_its_end() -> None:
    found = fault(1, 3, 2, end_line=3)
    assert show(found, {FILE: "abcd\nef\ngh"}).split("\n")[1:] == [
        "    1 | abcd",
        "      |   ^^",
    ]


@pytest.mark.parametrize("sources", [{}, {FILE: ""}, {FILE: "one line"}, {FILE: "\n\n\n"}])
def test_a_place_without_a_line_is_told_without_one(sources: dict[str, str]) -> None:
    assert show(fault(3, 1, 2), sources) == f"{FILE}:3:1: error[illegal-move]: the fault"


def test_colour_is_added_by_role_and_changes_no_letter() -> None:
    found = fault(1, 1, 3)
    painted = show(found, {FILE: "abcd"}, paint=lambda text, role: f"<{role}>{text}</>")
    assert "<place>lessons/01-example.md:1:1:</>" in painted
    assert "<error>^^</>" in painted
    for role in ("place", "error", "quiet"):
        painted = painted.replace(f"<{role}>", "")
    assert painted.replace("</>", "") == show(found, {FILE: "abcd"})


@pytest.fixture(scope="module")
def faulty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course with an error and a warning."""
    files = body("A <b>bold</b> start.\n\n```moves open\n1. e4 e5 2. Ke3\n```\n")
    return write(tmp_path_factory.mktemp("course"), files)


@pytest.mark.parametrize(
    ("options", "environment", "has_colour"),
    [
        ([], {}, False),  # the output of a test is no terminal
        ([], {"FORCE_COLOR": "1"}, True),
        ([], {"FORCE_COLOR": "1", "NO_COLOR": "1"}, False),
        ([], {"NO_COLOR": "", "FORCE_COLOR": "1"}, True),  # no-color.org: when not empty
        (["--color", "always"], {"NO_COLOR": "1"}, True),
        (["--color", "never"], {"FORCE_COLOR": "1"}, False),
    ],
)
def test_colour_is_used_only_where_it_is_wanted(
    options: list[str], environment: dict[str, str], has_colour: bool, faulty: Path
) -> None:
    ran = plybook(*options, "check", faulty, environment=environment)
    assert ran.code == 1
    assert ("\x1b[" in ran.err) is has_colour


def test_faults_go_to_the_error_stream_and_the_summary_to_the_output(faulty: Path) -> None:
    ran = plybook("check", faulty)
    assert [line for line in ran.err.split("\n") if line.startswith("lessons/")] == [
        f"{LESSON}:5:3: warning[raw-html]: `<b>` is shown as it stands: HTML is not used here",
        f"{LESSON}:8:13: error[illegal-move]: `2. Ke3` is illegal for White here",
    ]
    assert ran.out == "1 lesson, 1 line, 2 plies played: 1 error and 1 warning\n"
