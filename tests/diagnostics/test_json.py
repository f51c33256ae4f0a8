"""`check --format json`: the contract that other programs rely on, version 1."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from diagnostics.folder import COURSE, HEAD, LESSON, Content, body, moves, write
from diagnostics.run import plybook
from plybook.codes import CODES

FIELDS: Final = [
    "code",
    "severity",
    "file",
    "line",
    "column",
    "end_line",
    "end_column",
    "message",
    "notes",
    "help",
]


def report_of(folder: Path, files: dict[str, Content], *, code: int) -> Any:
    """Return the JSON report of a course; the run must leave with `code` and print nothing else."""
    ran = plybook("check", write(folder, files), "--format", "json")
    assert (ran.code, ran.err) == (code, "")
    return json.loads(ran.out)


def test_a_clean_course_has_an_empty_report(tmp_path: Path) -> None:
    assert report_of(tmp_path, moves("1. e4 e5"), code=0) == {
        "version": 1,
        "diagnostics": [],
        "verdicts": [],
        "exercises": [],
        "summary": {"errors": 0, "warnings": 0, "lessons": 1, "lines": 1, "plies": 2},
    }


def test_a_report_has_every_field_with_its_type(tmp_path: Path) -> None:
    report = report_of(tmp_path, moves("1. e4 e5 2. Ke3 Nc6"), code=1)
    (row,) = report["diagnostics"]
    assert list(report) == ["version", "diagnostics", "verdicts", "exercises", "summary"]
    assert list(row) == FIELDS
    assert row["code"] in CODES
    assert row["severity"] == CODES[row["code"]].severity
    assert all(type(row[name]) is int for name in FIELDS[3:7])
    assert all(isinstance(text, str) for text in (row["message"], *row["notes"], *row["help"]))
    assert row["notes"]
    assert row["help"]


@pytest.mark.parametrize(
    ("before", "written"),
    [
        ("", "Ke3"),
        ("{plain} ", "Ke3"),
        ("{将棋} ", "Ke3"),
        ("{\U0001f600 beyond 16 bits} ", "Ke3"),
        ("{e\u0301} ", "Ke3"),
        ("\t", "Ke3"),
    ],
)
def test_places_are_1_based_code_points_with_the_end_excluded(
    before: str, written: str, tmp_path: Path
) -> None:
    files = moves(f"1. e4 e5 {before}2. {written}")
    (row,) = report_of(tmp_path, files, code=1)["diagnostics"]
    lines = (tmp_path / LESSON).read_bytes().decode().split("\n")
    assert row["line"] == row["end_line"]
    assert lines[row["line"] - 1][row["column"] - 1 : row["end_column"] - 1] == written


def test_lines_end_at_lf_only(tmp_path: Path) -> None:
    files: dict[str, Content] = {
        LESSON: f"{HEAD}One\u0085two\n".replace("\u0085", " ").replace("\n", "\r\n").encode()
        + b"\r\n```moves open\r\n1. e5\r\n```\r\n"
    }
    (row,) = report_of(tmp_path, files, code=1)["diagnostics"]
    lines = (tmp_path / LESSON).read_bytes().decode().split("\n")
    assert lines[row["line"] - 1][row["column"] - 1 : row["end_column"] - 1] == "e5"


def test_rows_stand_in_reading_order_and_the_summary_counts_them(tmp_path: Path) -> None:
    files: dict[str, Content] = {
        COURSE: "title: A\ntitel: B\n",
        "lessons/02-more.md": f"{HEAD}<b>\n\n```moves more\n1. e5\n```\n",
        **moves("1. Ke2"),
    }
    report = report_of(tmp_path, files, code=1)
    places = [(row["file"], row["line"], row["column"]) for row in report["diagnostics"]]
    assert places == sorted(places)
    assert [row["severity"] for row in report["diagnostics"]].count("error") == 3
    assert report["summary"]["errors"] == 3
    assert report["summary"]["warnings"] == 1


def test_letters_are_written_as_they_are(tmp_path: Path) -> None:
    ran = plybook("check", write(tmp_path, moves("1. ‚е4‘")), "--format", "json")
    assert "\\u" not in ran.out
    assert "‚е4‘" in ran.out


def test_two_runs_give_the_same_bytes(tmp_path: Path) -> None:
    course = write(tmp_path, body("<b> [x](y.md) 1.e4\n\n```moves a\n1. Ke2\n```\n"))
    runs = [
        plybook("check", course, "--format", "json", environment={"PYTHONHASHSEED": seed})
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]


def test_a_broken_course_file_leaves_a_whole_report(tmp_path: Path) -> None:
    report = report_of(tmp_path, {COURSE: b"\xff", **moves("1. Ke2")}, code=1)
    assert [row["code"] for row in report["diagnostics"]] == ["not-utf8", "illegal-move"]
