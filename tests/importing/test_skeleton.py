"""A lesson begun from any game that was read: `check` accepts it, and what it lacks is told."""

from __future__ import annotations

from typing import Final

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnostics.folder import BASE, COURSE
from importing.twin import ours
from plybook.board import games_in
from plybook.desk.importing.redaction import redactor_of
from plybook.desk.importing.skeleton import Skeleton, skeleton_of
from plybook.diagnostics import UsageError
from plybook.text.consent import Consent

_COURSE: Final = str(BASE[COURSE]).encode()
_PAIR: Final = "Nf3 Nf6 Ng1 Ng8 "


def begun(text: str) -> Skeleton:
    """Return the lesson of the one game of a text."""
    (game,) = ours(text)
    assert isinstance(game, games_in.ReadGame), game
    redactor = redactor_of(game.tags, Consent(), day="2026-01-01", withheld=())
    return skeleton_of(game, number=1, redactor=redactor, course_file=_COURSE)


@pytest.mark.parametrize(
    ("remark", "reason"),
    [
        ("[a](//evil)", "address"),
        ("](\\~", "address"),
        (f"x {'y' * 9000}", "8192"),
    ],
)
def test_a_remark_that_a_lesson_cannot_hold_is_left_out_alone(remark: str, reason: str) -> None:
    lesson = begun(f"1. e4 {{first}} {{{remark}}} e5 {{{remark}}} (1... c5 {{last}}) 1-0")
    assert "{first}" in lesson.text
    assert "{last}" in lesson.text
    assert "1... e5 (1... c5" in lesson.text
    assert lesson.text.endswith("1-0\n```\n")  # the result is not to blame
    assert [told.startswith("a remark: ") and reason in told for told in lesson.left_out] == [True]


def test_a_result_that_the_last_move_contradicts_is_left_out_alone() -> None:
    lesson = begun("1. f3 {[a](//evil)} e5 2. g4 {kept} Qh4# 1-0")
    assert "{kept} 2... Qh4#\n" in lesson.text
    assert [told.partition(":")[0] for told in lesson.left_out] == ["a remark", "the result 1-0"]


def test_many_remarks_that_cannot_be_held_are_left_out_together() -> None:
    moves = "{[a](//evil)} ".join(["1. Nf3 ", *_PAIR.split()[1:], *(_PAIR * 20).split()])
    lesson = begun(f"{moves} 1-0")
    assert "{" not in lesson.text


def test_the_name_of_an_opening_that_makes_no_title_is_left_out() -> None:
    lesson = begun('[Opening "[a](//evil)"]\n1. e4 1-0')
    assert 'title: "A game to work on"' in lesson.text or not lesson.left_out


def test_a_game_with_too_many_moves_is_refused_by_its_number_and_line() -> None:
    with pytest.raises(UsageError, match=r"game 1, line 1, makes no lesson: .* 2000 moves"):
        begun(f"{_PAIR * 501} 1-0")


_PIECES: Final = st.sampled_from(
    (
        *("[a](//evil)", "](", "\\", "`", "```", "~~~", "<b>", "<!--", "&lt;", "&#0;", "|", "#"),
        *("*", "**", "_", "![x](y)", "[^1]", "^[x]", "[^1]: y", "$1", "%", "%%", ";", "(", ")"),
        *("- a", "1. e4", "1... c5", "[[x]]", "@centre", "::: x", "http://x.y", "www.x.y", "é"),
        *(
            "[x]: /y",
            "{{ x }}",
            "--",
            "…",
            "\n",
            "\n\n",
            "\t",
            "\u00a0",
            "\u200b",
            "\ufeff",
            "\x07",
        ),
        *(
            "e\u0301",
            "\u202e",
            "x" * 9000,
            "word",
            "?!",
            "1-0",
            "at 1.e4: mark",
            "---",
            "=== ",
            "'",
        ),
    )
)
_REMARK: Final = st.lists(_PIECES, max_size=6).map(" ".join) | st.text(max_size=30)


@settings(
    max_examples=80,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(_REMARK, _REMARK, _REMARK, _REMARK)
def test_whatever_remarks_and_tags_hold_there_is_a_lesson(
    opening: str, before: str, after: str, last: str
) -> None:
    opening = "".join(" " if sign in '\n\r"\\' else sign for sign in opening)
    before, after, last = (
        remark.replace("}", "").replace("\r", " ") for remark in (before, after, last)
    )
    lesson = begun(
        f'[Opening "{opening}"]\n\n{{{before}}} 1. e4 {{{after}}} e5 '
        f"(1... c5 {{[%csl Ge4]}}) 2. Nf3 {{{last}}} 1/2-1/2"
    )
    assert lesson.text.startswith("---\ntitle: ")
    assert lesson.text.endswith("1/2-1/2\n```\n")
    assert " e4 " in lesson.text
