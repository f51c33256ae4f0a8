"""The report of `check` for other programs: SARIF 2.1.0, and notes on a change under review."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any, Final
from urllib.parse import quote

from plybook import __version__
from plybook.desk.pages_of_codes import explained_codes
from plybook.diagnostics import Diagnostic, Report, Severity, Span

__all__ = ["as_annotations", "as_sarif"]

#: The schema of the OASIS standard "Static Analysis Results Interchange Format", version 2.1.0.
_SCHEMA: Final = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


def as_sarif(report: Report, *, folder: str) -> str:
    """Return the report as one SARIF log with a line end.

    Addresses are relative to where the command was given: `folder` is the way from there to the
    course. Columns count code points. A fingerprint stays the same when lines above are edited.
    """
    found = report.sorted()
    sentences = dict(explained_codes())
    rules = sorted({one.code for one in found})
    log = {
        "$schema": _SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "plybook",
                        "version": __version__,
                        "rules": [_rule(code, sentences) for code in rules],
                    }
                },
                "columnKind": "unicodeCodePoints",
                "results": _results(found, rules, folder),
            }
        ],
    }
    return json.dumps(log, ensure_ascii=False, indent=2) + "\n"


def _rule(code: str, sentences: Mapping[str, str]) -> dict[str, Any]:
    return {
        "id": code,
        "shortDescription": {"text": sentences[code]},
        "help": {"text": f"plybook explain {code}"},
    }


def _results(found: Sequence[Diagnostic], rules: list[str], folder: str) -> list[dict[str, Any]]:
    seen: dict[str, int] = {}
    rows = []
    for one in found:
        # Two faults with the same words in one file are told apart by their order.
        same = f"{one.code}\0{one.span.file}\0{one.message}"
        seen[same] = seen.get(same, 0) + 1
        mark = hashlib.sha256(f"{same}\0{seen[same]}".encode()).hexdigest()[:32]
        row: dict[str, Any] = {
            "ruleId": one.code,
            "ruleIndex": rules.index(one.code),
            "level": one.severity.value,
            "message": {"text": "\n".join((one.message, *one.notes, *one.help))},
            "locations": [{"physicalLocation": _place(one.span, folder)}],
            "partialFingerprints": {"plybook/v1": mark},
        }
        if one.repair is not None:
            row["fixes"] = [_fix(one.repair.span, one.repair.text, folder)]
        rows.append(row)
    return rows


def _place(span: Span, folder: str) -> dict[str, Any]:
    return {"artifactLocation": _file(span, folder), "region": _region(span)}


def _file(span: Span, folder: str) -> dict[str, str]:
    return {"uri": quote(_joined(folder, span.file))}


def _joined(folder: str, file: str) -> str:
    return file if folder in {"", "."} else f"{folder.rstrip('/')}/{file}"


def _region(span: Span) -> dict[str, int]:
    return {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }


def _fix(span: Span, text: str, folder: str) -> dict[str, Any]:
    change = {"deletedRegion": _region(span), "insertedContent": {"text": text}}
    return {
        "description": {"text": f"write `{text}`" if text else "take it out"},
        "artifactChanges": [{"artifactLocation": _file(span, folder), "replacements": [change]}],
    }


def as_annotations(report: Report, *, folder: str) -> str:
    """Return a line for each fault in the form in which a hosted workflow shows notes on files.

    The form is `::error file=…,line=…,col=…,endColumn=…,title=…::message`.
    """
    return "".join(f"{_annotation(one, folder)}\n" for one in report.sorted())


def _annotation(one: Diagnostic, folder: str) -> str:
    kind = "error" if one.severity is Severity.ERROR else "warning"
    span = one.span
    fields = {"file": _joined(folder, span.file), "line": span.line, "col": span.column}
    if span.end_line == span.line and span.end_column > span.column:
        fields["endColumn"] = span.end_column - 1  # the last one that belongs to the place
    fields["title"] = one.code
    said = ",".join(f"{name}={_in_field(str(value))}" for name, value in fields.items())
    return f"::{kind} {said}::{_in_text(chr(10).join((one.message, *one.notes, *one.help)))}"


def _in_text(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _in_field(text: str) -> str:
    return _in_text(text).replace(":", "%3A").replace(",", "%2C")
