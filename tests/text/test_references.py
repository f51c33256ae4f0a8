"""References: `[lesson/]line@place`, read and printed again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import FILE, codes, steady
from plybook.diagnostics import Report, Span
from plybook.text.model import Reference
from plybook.text.references import NAME, looks_like_reference, read_reference

SPAN = Span.of_file(FILE)

NAMES = st.from_regex(NAME, fullmatch=True)
SANS = ("e4", "Nf3", "Ngf3", "R1xa4", "exd6", "bxa8=N", "O-O", "O-O-O", "Qh4xe1")
STEPS = st.builds(
    "{}{}{}".format, st.integers(1, 999), st.sampled_from([".", "..."]), st.sampled_from(SANS)
)
PLACES = st.sampled_from(["start", "end"]) | st.lists(STEPS, min_size=1, max_size=4).map(">".join)


def read(text: str) -> tuple[Reference | None, Report]:
    report = Report()
    return read_reference(text, span=SPAN, report=report), report


@steady(150)
@given(lesson=st.none() | NAMES, line=NAMES, place=PLACES)
def test_a_reference_is_printed_as_it_was_written(
    lesson: str | None, line: str, place: str
) -> None:
    text = f"{lesson}/{line}@{place}" if lesson else f"{line}@{place}"
    assert looks_like_reference(text)
    reference, report = read(text)
    assert not report.sorted()
    assert str(reference) == text


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("trap@5. Nxe5", "trap@5.Nxe5"),
        ("trap@5.Nxe5!", "trap@5.Nxe5"),
        ("trap@5.Nxe5 > 6.Bxf7+!?", "trap@5.Nxe5>6.Bxf7+"),
        (" trap@start ", "trap@start"),
    ],
)
def test_signs_and_spaces_do_not_matter(text: str, same: str) -> None:
    assert str(read(text)[0]) == same


@pytest.mark.parametrize(
    "text",
    [
        *("trap", "trap@", "@start", "Trap@start", "-trap@start", "a/b/trap@start"),
        *("trap@Nxe5", "trap@5.", "trap@5.Nz5", "trap@5.Nxe5>", "trap@5..Nxe5", "trap@5…g6"),
        "trap@start>5.Nxe5",
    ],
)
def test_what_is_no_reference_is_said_once(text: str) -> None:
    reference, report = read(text)
    assert reference is None
    assert codes(report.sorted()) == ["bad-reference"]


@pytest.mark.parametrize("word", ["fen ", "FEN ", ""])
def test_a_fen_in_the_place_of_a_reference_is_answered_with_the_way_to_name_it(word: str) -> None:
    _, report = read(f"{word}kbK5/pp6/1P6/8/8/8/8/R7 w - - 0 1")
    (found,) = report.sorted()
    assert "`from: fen …`" in found.help[0]
    assert "`problem@start`" in found.help[1]


@pytest.mark.parametrize("text", ["mailto:a@b.example", "https://b.example/@x", "02-b.md#a@b", "b"])
def test_an_address_is_not_taken_for_a_reference(text: str) -> None:
    assert not looks_like_reference(text)
