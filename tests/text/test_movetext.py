"""Movetext as written: every character belongs to a token; tokens hang where they were put."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import FILE, codes, play, read_moves, steady, under
from plybook.diagnostics import Report
from plybook.text.model import MovetextDraft
from plybook.text.walk import plies_of
from text.trees import Move, trees, write


def read(text: str) -> tuple[MovetextDraft, Report]:
    report = Report()
    return read_moves(text, report), report


@steady(30)
@given(trees())
def test_moves_numbers_and_comments_stand_where_they_say(tree: tuple[str, list[Move]]) -> None:
    text = write(*tree)
    draft, report = read(text)
    assert not report.sorted()
    for ply in plies_of(draft.main):
        assert under(ply.span, text) == ply.text
        if ply.number:
            dots = "." if ply.number.is_white else "..."
            assert under(ply.number.span, text) == f"{ply.number.value}{dots}"
        for comment in (*ply.comments_before, *ply.comments):
            assert " ".join(under(comment.span, text).split()) == comment.text
        for variation in ply.variations:
            whole = under(variation.span, text)
            assert (whole[0], whole[-1]) == ("(", ")")


@steady(300)
@given(st.text(alphabet="12.…eNxf+=!?$(){};%\n \t-O0é♘", max_size=24))
def test_no_character_is_dropped_in_silence(text: str) -> None:
    """Without a report, what was read is all that was written."""
    draft, report = read(text)
    if report.sorted() or not draft.is_whole:
        return
    found = []
    for ply in plies_of(draft.main):
        number = f"{ply.number.value}{'.' if ply.number.is_white else '...'}" if ply.number else ""
        found.append(number + ply.text)
        found += ["!?$"] * len(ply.nags) + ["()"] * len(ply.variations)
        found += [comment.text for comment in (*ply.comments_before, *ply.comments)]
    seen = set("".join(found) + (draft.result or "") + "{} \n\t0123456789")
    assert set(text) <= seen


def test_a_comment_belongs_to_the_move_before_it() -> None:
    draft, _ = read("{first} 1. e4 {second} {third} (1. d4 {fourth}) {fifth} 1... e5 {last}")
    one, two = draft.main.plies
    assert [note.text for note in one.comments_before] == ["first"]
    assert [note.text for note in one.comments] == ["second", "third"]
    assert [note.text for note in one.variations[0].plies[0].comments] == ["fourth"]
    assert [note.text for note in two.comments_before] == ["fifth"], "it follows the variation"
    assert [note.text for note in two.comments] == ["last"]


def test_variation_belongs_to_the_move_it_replaces() -> None:
    draft, _ = read("1. e4 e5 (1... c5 2. Nf3 (2. c3)) (1... e6) 2. Nf3")
    _, black, white = draft.main.plies
    sicilian, french = black.variations
    assert [ply.text for ply in sicilian.plies] == ["c5", "Nf3"]
    assert [ply.text for ply in sicilian.plies[1].variations[0].plies] == ["c3"]
    assert [ply.text for ply in french.plies] == ["e6"]
    assert not white.variations


@pytest.mark.parametrize(
    ("text", "nags"),
    [("Nf3!", (1,)), ("Nf3?!", (6,)), ("Nf3!? $14 $255", (5, 14, 255)), ("Nf3 $0", (0,))],
)
def test_a_glyph_is_the_nag_of_the_standard(text: str, nags: tuple[int, ...]) -> None:
    """PGN standard (1994-03-12), sections 8.2.3.8 and 10."""
    draft, report = read(f"1. {text}")
    assert not report.sorted()
    assert draft.main.plies[0].nags == nags


@pytest.mark.parametrize(
    ("text", "fault", "there"),
    [
        ("1. e4 e5 {never closed 2. Nf3", "unclosed-comment", "{"),
        ("1. e4 {a {b} c} e5", "nested-comment", "{"),
        ("1. e4 e5) 2. Nf3", "stray-variation-end", ")"),
        ("1. e4 (1. d4 e5", "unclosed-variation", "("),
        ("(1. d4) 1. e4", "misplaced-variation", "("),
        ("1. e4 () e5", "empty-variation", "()"),
        ("1. e4 ; rest\ne5", "line-comment", "; rest"),
        ("1. e4\n% rest\n1... e5", "escape-line", "% rest"),
        ("1. e4 1-0 2. Nf3", "misplaced-result", "1-0"),
        ("1. e4 (1. d4 1-0) 1... e5", "misplaced-result", "1-0"),
        ("1. e4 1-0 0-1", "misplaced-result", "0-1"),
        ("1. e4 ½-½", "unknown-result", "½-½"),
        ("1.. e4", "number-form", "1.."),
        ("1. e4 2.", "dangling-number", "2."),
        ("1. e4 1. 1... e5", "dangling-number", "1."),
        ("1. e4 ! e5", "misplaced-glyph", "!"),
        ("$1 1. e4", "misplaced-glyph", "$1"),
        ("1. e4!!! e5", "bad-nag", "!!!"),
        ("1. e4 $256", "bad-nag", "$256"),
        ("1. e4\u00a0e5", "stray-character", None),
        ("1. e4 -- 2. d4", "null-move", "--"),
        ("1. e4 } e5", "stray-comment-end", "}"),
    ],
)
def test_a_slip_is_blamed_on_its_own_token(text: str, fault: str, there: str | None) -> None:
    _, report = read(text)
    found = report.sorted()
    assert codes(found) == [fault]
    if there is not None:
        assert under(found[0].span, text) == there
    assert found[0].span.file == FILE


@pytest.mark.parametrize("depth", [16, 17])
def test_variations_nest_sixteen_deep_and_no_deeper(depth: int) -> None:
    first = ["a3", "a4", "b3", "b4", "c3", "c4", "d3", "d4", "e3", "e4", "f3", "f4"]
    first += ["g3", "g4", "h3", "h4", "Nf3", "Nc3"]
    text = "1. Na3"
    for san in first[:depth]:
        text += f" (1. {san}"
    _, found = play(text + ")" * depth)
    assert codes(found) == ([] if depth == 16 else ["variation-too-deep"])
