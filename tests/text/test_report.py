"""The report and the small words of diagnostics: an order, no repeats, nothing unseen."""

from __future__ import annotations

import unicodedata
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import steady
from plybook.diagnostics import Report, Severity, Span, near_miss, shown
from plybook.text.addresses import fault_of_address, is_external


def test_a_report_is_read_from_top_to_bottom_and_says_nothing_twice() -> None:
    places = [Span("b.md", 1, 1, 1, 2), Span("a.md", 10, 1, 10, 2), Span("a.md", 9, 2, 9, 3)]
    for order in permutations(places):
        report = Report()
        for span in (*order, *order):
            report.add("illegal-move", span, "no")
        assert [one.span for one in report.sorted()] == places[::-1]
        assert (len(report), report.errors, report.warnings) == (3, 3, 0)


def test_a_code_brings_its_own_severity() -> None:
    report = Report()
    report.add("raw-html", Span.of_file("a.md"), "html")
    assert next(iter(report)).severity is Severity.WARNING
    with pytest.raises(KeyError, match="no-such-code"):
        report.add("no-such-code", Span.of_file("a.md"), "")


@pytest.mark.parametrize(
    ("word", "near"),
    [("tilte", "title"), ("Title", "title"), ("xyzzy", None), ("", None), ("mintues", "minutes")],
)
def test_a_near_miss_does_not_depend_on_order(word: str, near: str | None) -> None:
    for known in permutations(["title", "minutes", "level", "needs"]):
        assert near_miss(word, known) == near


@steady(100)
@given(st.text(max_size=60))
def test_what_is_shown_is_one_line_that_can_be_seen(text: str) -> None:
    found = shown(text)
    assert not any(unicodedata.category(one) in {"Cc", "Cf", "Zl", "Zp", "Cs"} for one in found)
    assert found.endswith("…") or len(text) <= 40


@pytest.mark.parametrize(
    ("address", "is_fair"),
    [
        ("02-b.md#the-pin", True),
        ("https://example.org/a?b=c#d", True),
        ("http://example.org", True),
        ("mailto:club@example.org", True),
        ("../images/a b.png", False),
        ("javascript:alert(1)", False),
        ("JavaScript:alert(1)", False),
        ("java%73cript:alert(1)", False),
        ("java\nscript:alert(1)", False),
        ("%6aavascript:x", False),
        ("data:text/html,x", False),
        ("file:///etc/passwd", False),
        ("//example.org/x", False),
        ("%2F%2Fexample.org", False),
        ("\\\\example.org", False),
        ("a\u200bb.md", False),
        ("a%E2%80%8Bb.md", False),
        ("mailto:a@example.org?body=x", False),
        ("a.md#x:y", True),
    ],
)
def test_an_address_is_fair_or_refused_with_a_reason(address: str, is_fair: bool) -> None:
    assert (fault_of_address(address) is None) is is_fair


def test_an_address_with_a_scheme_leaves_the_site() -> None:
    assert [is_external(one) for one in ("https://a.example", "mailto:a@b", "a.md", "#a:b")] == [
        True,
        True,
        False,
        False,
    ]
