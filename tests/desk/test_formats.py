"""`check` for other programs: SARIF 2.1.0, and the notes of a hosted workflow."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest
from jsonschema import Draft4Validator

from diagnostics.folder import moves, write
from diagnostics.run import plybook

#: The JSON schema of SARIF 2.1.0, the OASIS standard (see tests/outside/README.md).
SCHEMA: Final = Path(__file__).resolve().parents[1] / "outside" / "sarif_schema.json"

FAULTY: Final = "1. e4 e5 2. nf3 Nc6 3. Bc4 Bc5"
HOPELESS: Final = "1. e4 e5 2. Bb9"


def sarif_of(course: Path, *, within: Path) -> Any:
    ran = plybook("check", course, "--format", "sarif", within=within)
    assert ran.err == ""
    return json.loads(ran.out)


@pytest.mark.parametrize("movetext", [FAULTY, HOPELESS, "1. e4 e5", "1. e4 {never closed"])
def test_a_sarif_log_keeps_to_the_schema_of_the_standard(tmp_path: Path, movetext: str) -> None:
    course = write(tmp_path / "my course", moves(movetext))
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    faults = [
        error.message
        for error in Draft4Validator(schema).iter_errors(sarif_of(course, within=tmp_path))
    ]
    assert faults == []


def test_a_sarif_result_stands_where_the_json_report_has_it(tmp_path: Path) -> None:
    course = write(tmp_path / "my course", moves(FAULTY))
    rows = json.loads(plybook("check", course, "--format", "json").out)["diagnostics"]
    results = sarif_of(course, within=tmp_path)["runs"][0]["results"]
    assert [result["ruleId"] for result in results] == [row["code"] for row in rows]
    place = results[0]["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "my%20course/lessons/01-example.md"
    assert place["region"] == {
        "startLine": rows[0]["line"],
        "startColumn": rows[0]["column"],
        "endLine": rows[0]["end_line"],
        "endColumn": rows[0]["end_column"],
    }


def test_a_repair_that_was_played_through_is_a_fix(tmp_path: Path) -> None:
    course = write(tmp_path / "course", moves(FAULTY))
    fixes = sarif_of(course, within=tmp_path)["runs"][0]["results"][0]["fixes"]
    assert fixes[0]["artifactChanges"][0]["replacements"][0]["insertedContent"]["text"] == "Nf3"
    hopeless = write(tmp_path / "hopeless", moves(HOPELESS))
    assert "fixes" not in sarif_of(hopeless, within=tmp_path)["runs"][0]["results"][0]


def test_a_fingerprint_outlives_lines_added_above(tmp_path: Path) -> None:
    marks = []
    for name, above in (("one", ""), ("two", "A word more.\n\nAnd another.\n\n")):
        files = moves(FAULTY)
        files = {
            file: text.replace("```moves", above + "```moves", 1)
            if file.endswith("example.md")
            else text
            for file, text in files.items()
            if isinstance(text, str)
        }
        result = sarif_of(write(tmp_path / name, files), within=tmp_path)["runs"][0]["results"][0]
        marks.append((result["partialFingerprints"], result["ruleId"]))
    assert marks[0] == marks[1]


def test_a_workflow_note_names_file_line_and_column(tmp_path: Path) -> None:
    """The form is common practice of hosted workflows; its escapes are `%25 %0D %0A %3A %2C`."""
    course = write(tmp_path / "a,course", moves(FAULTY))
    row = json.loads(plybook("check", course, "--format", "json").out)["diagnostics"][0]
    note = plybook("check", course, "--format", "github", within=tmp_path).out.splitlines()[0]
    fields, _, message = note.removeprefix("::error ").partition("::")
    assert fields.split(",") == [
        "file=a%2Ccourse/lessons/01-example.md",
        f"line={row['line']}",
        f"col={row['column']}",
        f"endColumn={row['end_column'] - 1}",
        "title=not-canonical",
    ]
    assert message.split("%0A") == [row["message"], *row["notes"], *row["help"]]


@pytest.mark.parametrize("form", ["sarif", "github"])
def test_faults_leave_with_the_code_of_faults(tmp_path: Path, form: str) -> None:
    assert plybook("check", write(tmp_path / "a", moves(FAULTY)), "--format", form).code == 1
    assert plybook("check", write(tmp_path / "b", moves("1. e4 e5")), "--format", form).code == 0
