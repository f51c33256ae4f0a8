"""The `exercise` block: the student finds the answer."""

from __future__ import annotations

import re
from collections import defaultdict
from typing import Final

from plybook.diagnostics import shown
from plybook.text.blocks import BlockReader, Row
from plybook.text.exercise_checks import read_check
from plybook.text.markdown import Fence
from plybook.text.model import ExerciseDraft, Located, MovetextDraft, WrongTry
from plybook.text.references import SAN_LIKE

__all__ = ["read_exercise"]

_REPEATED: Final = ("answer", "wrong", "reply", "hint")
_KEYS: Final = ("board", "task", "check", "claim", *_REPEATED, "level", "twin")
_SAYS_ITSELF: Final = frozenset({"true", "false"})  # the check is the answer
#: An answer in moves, however they are written: words begin otherwise.
_MOVES = re.compile(
    rf"[0-9]+\.|{SAN_LIKE}(?!\w)|[0oO][-–][0oO]|\w?[a-h]?[1-8]?[x:-]?[a-h][1-8](?!\w)"
)


def read_exercise(fence: Fence, reader: BlockReader) -> ExerciseDraft | None:
    """Return an `exercise` block, or None when what it cannot do without is missing."""
    name = reader.name(fence, "exercise")
    rows: dict[str, list[Row]] = defaultdict(list)
    for row in reader.rows(fence.body, _KEYS, repeated=_REPEATED):
        if row.value:
            rows[row.key].append(row)
        else:
            reader.report.add("bad-value", row.span, f"`{row.key}:` has no value")
    missing = _missing(fence, rows, reader)
    board = None
    if rows["board"]:
        board = reader.reference(rows["board"][0].value, rows["board"][0].span)
    twin = reader.reference(rows["twin"][0].value, rows["twin"][0].span) if rows["twin"] else None
    answers, words = _answers(rows["answer"], reader)
    wrong = tuple(try_ for row in rows["wrong"] if (try_ := _wrong(row, reader)))
    replies = tuple(reader.movetext(row.value_text) for row in rows["reply"])
    if name is None or board is None or missing:
        return None
    return ExerciseDraft(
        name=name,
        board=board,
        task=rows["task"][0].value,
        task_span=rows["task"][0].span,
        check=rows["check"][0].value,
        check_span=rows["check"][0].span,
        answers=answers,
        answer_text=words,
        claim=_located(rows["claim"]),
        wrong=wrong,
        replies=replies,
        hints=tuple(row.value for row in rows["hint"]),
        hint_spans=tuple(row.span for row in rows["hint"]),
        level=_located(rows["level"]),
        twin=twin,
        span=fence.span,
    )


def _missing(fence: Fence, rows: dict[str, list[Row]], reader: BlockReader) -> list[str]:
    """Return the keys that are not there, reported, after a look at `check` and its claim."""
    missing = [key for key in ("board", "task", "check", "answer") if not rows[key]]
    if rows["check"]:
        _look_at_check(rows["check"][0], reader)
        if rows["check"][0].value in _SAYS_ITSELF:
            missing = [key for key in missing if key != "answer"]
    if rows["claim"] and rows["check"] and rows["check"][0].value not in _SAYS_ITSELF:
        reader.report.add(
            "bad-value",
            rows["claim"][0].span,
            "a `claim` is for tasks that are true or false",
            help="write `check: true` or `check: false`, or take the claim out",
        )
    for key in missing:
        reader.report.add(
            "missing-key", fence.span, f"the exercise has no `{key}`", help=f"add `{key}: …`"
        )
    return missing


def _located(rows: list[Row]) -> Located | None:
    return Located(value=rows[0].value, span=rows[0].span) if rows else None


def _look_at_check(row: Row, reader: BlockReader) -> None:
    """Report a `check` of another form than those that can be tested."""
    if read_check(row.value) is None:
        reader.report.add(
            "bad-value",
            row.span,
            f"`{shown(row.value)}` is not what a check can say",
            help=(
                "write `only mate in 2`, `only wins 1, depth 3`, `only move against mate in 1`, "
                "`true` or `false`",
                "`none because …` says why it is the coach's judgement",
            ),
        )


def _answers(rows: list[Row], reader: BlockReader) -> tuple[tuple[MovetextDraft, ...], str | None]:
    """Return the accepted lines of moves, and the answer in words where there is one."""
    lines = [reader.movetext(row.value_text) for row in rows if _MOVES.match(row.value)]
    words = [row.value for row in rows if not _MOVES.match(row.value)]
    return tuple(lines), " ".join(words) or None


def _wrong(row: Row, reader: BlockReader) -> WrongTry | None:
    move, bar, feedback = row.value_text.text.partition("|")
    if not bar or not feedback.strip():
        reader.unknown_line(row.value_text, help="write `wrong: 6. Nxd1 | what is wrong with it`")
        return None
    return WrongTry(
        move=reader.movetext(row.value_text.part(0, len(move.rstrip()))),
        feedback=" ".join(feedback.split()),
    )
