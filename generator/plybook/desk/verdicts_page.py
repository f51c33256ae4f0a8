"""All claims of a course on one page for the coach: a file of its own, without script or links."""

from __future__ import annotations

from html import escape
from itertools import groupby
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from plybook.course import Course

__all__ = ["verdicts_page"]

#: The sign, the word and the meaning of each verdict. The sign repeats the word for the eye.
_KNOWN: Final = {
    "proved": ("✓", "proved", "played out to the end: no reply changes it"),
    "holds": ("≥", "holds", "true as far as it was searched, counted in half-moves"),
    "coachs-word": ("“", "coach’s word", "a judgement, not a calculation"),
    "not-settled": ("?", "not settled", "neither shown nor refuted so far"),
    "cannot-be-asked": ("–", "no meaning here", "the position gives the sentence no meaning"),
    "false": ("✗", "false", "a move answers it"),
}
_FAULTS: Final = {"false", "cannot-be-asked", "not-settled"}

_STYLE: Final = """
:root { color-scheme: light dark; --paper: #f7f7f4; --ink: #17191d; --soft: #4c525c;
  --hair: #cbd0d0; --good: #0b5a66; --bad: #8a1a4a; }
@media (prefers-color-scheme: dark) { :root { --paper: #15181d; --ink: #ebe8df; --soft: #b4b9be;
  --hair: #3a414b; --good: #a6ecf0; --bad: #ffb5cd; } }
body { max-width: 60rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; background: var(--paper);
  color: var(--ink); font: 1.05rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-size: 1.9rem; line-height: 1.2; }
h2 { margin: 2.5rem 0 .5rem; font-size: 1.3rem; border-bottom: 2px solid; }
h2 code { float: right; font-size: .8rem; font-weight: normal; line-height: 2.2; }
code { font: .85em ui-monospace, "Liberation Mono", monospace; color: var(--soft); }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem .8rem; }
dt { font-weight: bold; } dd { margin: 0; color: var(--soft); }
table { width: 100%; border-collapse: collapse; }
th { padding: 0; text-align: left; font-weight: normal; color: var(--soft); }
td, tbody th { padding: .35rem .6rem .35rem 0; vertical-align: top;
  border-top: 1px solid var(--hair); }
tbody th { padding-top: .9rem; border: 0; }
.known { width: 11rem; } .known b { display: inline-block; width: 1.3em; color: var(--good); }
.fault .known, .fault .known b { color: var(--bad); }
.why { margin: .1rem 0 0; font-size: .9rem; color: var(--soft); }
.opinion { padding-left: .6rem; border-left: 3px double var(--hair); }
@media (max-width: 34rem) { .known { width: 6.5rem; } dl { display: block; }
  dd { margin: 0 0 .4rem 1rem; } h2 code { float: none; display: block; } }
@media print { body { padding: 0; } tr, dl { break-inside: avoid; } h2 { break-after: avoid; } }
"""

#: Nothing is fetched and nothing runs: the page may stand anywhere.
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)


def verdicts_page(course: Course | None, rows: list[dict[str, Any]]) -> str:
    """Return the HTML page of all claims, lesson by lesson in reading order."""
    title = f"Claims of {course.file.title}" if course and course.file.title else "Claims"
    drafts = [lesson.draft for lesson in course.lessons.values()] if course else []
    titles = {draft.file: draft.title for draft in drafts}
    lessons = [
        _lesson(file, titles.get(file, ""), list(of_file))
        for file, of_file in groupby(rows, key=lambda row: row["file"])
    ]
    body = "\n".join([f"<h1>{escape(title)}</h1>", _summary(rows), *lessons])
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{_STYLE}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _summary(rows: list[dict[str, Any]]) -> str:
    if not rows:
        return "<p>No lesson claims anything yet.</p>"
    items = []
    for verdict, (sign, word, meaning) in _KNOWN.items():
        number = sum(row["verdict"] == verdict for row in rows)
        if number:
            items.append(
                f'<dt><span aria-hidden="true">{sign}</span> {number} {word}</dt><dd>{meaning}</dd>'
            )
    asked = sum(row["opinion"] is not None for row in rows)
    note = (
        f"<p>An engine gave its opinion on {asked} of the claims that cannot be proved. "
        "An opinion proves nothing.</p>"
        if asked
        else ""
    )
    count = f"{len(rows)} claim{'' if len(rows) == 1 else 's'}"
    return f"<p>{count} in all.</p>\n<dl>{''.join(items)}</dl>{note}"


def _lesson(file: str, title: str, rows: list[dict[str, Any]]) -> str:
    groups = [
        f'<tbody><tr><th colspan="2" scope="rowgroup"><code>{escape(reference)}</code></th></tr>'
        f"{''.join(map(_row, of_place))}</tbody>"
        for reference, of_place in groupby(rows, key=lambda row: row["ref"])
    ]
    heading = f"{escape(title)} <code>{escape(file)}</code>" if title else escape(file)
    return (
        f"<section>\n<h2>{heading}</h2>\n<table>\n"
        '<thead><tr><th scope="col">Known how</th><th scope="col">What the lesson says</th></tr>'
        f"</thead>\n{chr(10).join(groups)}\n</table>\n</section>"
    )


def _row(row: dict[str, Any]) -> str:
    sign, word, _ = _KNOWN[row["verdict"]]
    known = escape(f"{word} {row['reach']}".strip())
    parts = [f"<div>{escape(row['claim'])}</div>"]
    if row["evidence"]:
        parts.append(f'<p class="why">{escape(row["evidence"])}</p>')
    line = " ".join(row["counter"])
    if line and line not in row["evidence"]:
        parts.append(f'<p class="why">The line: {escape(line)}</p>')
    if row["opinion"]:
        parts.append(f'<p class="why opinion">{escape(row["opinion"]["text"])}</p>')
    kind = ' class="fault"' if row["verdict"] in _FAULTS else ""
    return (
        f'<tr{kind}><td class="known"><b aria-hidden="true">{sign}</b>{known}</td>'
        f"<td>{''.join(parts)}</td></tr>"
    )
