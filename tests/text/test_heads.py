"""Heads: YAML 1.2 core, each value with its place."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from helpers import FILE, codes, steady, under
from plybook.diagnostics import Report
from plybook.text.fields import LessonFields
from plybook.text.heads import Head, read_fields, read_yaml
from plybook.text.source import excerpt_of_file


def read(text: str) -> tuple[Head | None, Report]:
    report = Report()
    return read_yaml(excerpt_of_file(FILE, text), report=report), report


WORDS = st.text(alphabet="ab ß♞🙂:#'\"-,[]{}", min_size=1, max_size=10)
VALUES = st.one_of(WORDS, st.integers(-99, 99), st.booleans(), st.lists(WORDS, max_size=3))


@steady(150)
@given(
    values=st.dictionaries(
        st.text(alphabet="abßé-", min_size=1, max_size=6), VALUES, min_size=1, max_size=5
    ),
    is_flow=st.booleans(),
)
def test_each_value_and_key_is_found_again_at_its_place(
    values: dict[str, Any], is_flow: bool
) -> None:
    text = yaml.safe_dump(values, allow_unicode=True, sort_keys=False, default_flow_style=is_flow)
    head, report = read(text)
    assert head
    assert not report.sorted()
    assert head.values == values
    for key, value in values.items():
        assert yaml.safe_load(under(head.key_spans[(key,)], text)) == key
        items = enumerate(value) if isinstance(value, list) else ()
        for path, part in [((key,), value), *(((key, at), item) for at, item in items)]:
            assert yaml.safe_load(under(head.at(*path), text)) == part


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("no", "no"),
        ("on", "on"),
        ("12:30", "12:30"),
        ("2024-05-01", "2024-05-01"),
        ("0x1F", "0x1F"),
        ("1e3", "1e3"),
        ("007", 7),
        ("true", True),
        ("1.5", 1.5),
        ("", None),
        ("~", None),
        ("5.Nf3", "5.Nf3"),
        ("9" * 30, "9" * 30),
    ],
)
def test_only_the_core_of_yaml_1_2_is_more_than_text(written: str, value: object) -> None:
    """YAML 1.2.2, section 10.3.2; hexadecimal and octal numbers are text here."""
    head, report = read(f"key: {written}")
    assert head
    assert not report.sorted()
    assert head.values == {"key": value}
    assert type(head.values["key"]) is type(value)


def test_all_faults_of_a_head_are_reported_in_one_run() -> None:
    text = "tilte: A\nlevel: 3\nneeds: one\nneeds: [a]\nminutes: 900"
    head, report = read(text)
    assert head
    read_fields(head, LessonFields, report=report)
    assert [(found.code, under(found.span, text)) for found in report.sorted()] == [
        ("missing-key", ""),
        ("unknown-key", "tilte"),
        ("wrong-type", "3"),
        ("wrong-type", "one"),
        ("duplicate-key", "needs"),
        ("bad-value", "900"),
    ]


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("a: &x 1", "&x 1"),
        ("a: 1\nb: *x", "*x"),
        ("a: !!str 1", "!!str 1"),
        ("a: !odd 1", "!odd 1"),
    ],
    ids=["anchor", "alias", "tag", "own-tag"],
)
def test_what_makes_yaml_more_than_a_list_of_values_is_refused(text: str, there: str) -> None:
    head, report = read(text)
    assert head is None
    (found,) = report.sorted()
    assert found.code == "bad-yaml"
    assert under(found.span, text) in there


@pytest.mark.parametrize("text", ["[" * 3000, "a: " + "[" * 3000, "a:\n" + "- " * 3000 + "x"])
def test_a_head_nested_without_end_is_a_fault_of_the_head(text: str) -> None:
    head, report = read(text)
    assert head is None
    assert codes(report.sorted()) == ["bad-yaml"]
