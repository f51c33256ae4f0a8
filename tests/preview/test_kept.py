"""What is taken up from an earlier run, and what is made anew."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from plybook.diagnostics import Report, Span
from plybook.kept import Ask, Kept
from plybook.text.source import signature

_SPAN = Span.of_file("lessons/01-a.md")


class Counted:
    """Makes a new list each time, and reports a fault with it."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self, report: Report) -> list[int]:
        self.times += 1
        report.add("illegal-move", _SPAN, "a fault")
        return [self.times]


def test_the_same_inputs_give_the_same_object_and_the_same_report() -> None:
    kept, make = Kept(), Counted()
    first, second = Report(), Report()
    assert kept.take("line", "a", (1, "x"), make, report=first) is kept.take(
        "line", "a", (1, "x"), make, report=second
    )
    assert make.times == 1
    assert first.sorted() == second.sorted() != ()


@pytest.mark.parametrize(
    ("kind", "key", "inputs"), [("line", "a", (2,)), ("line", "b", (1,)), ("x", "a", (1,))]
)
def test_other_inputs_keys_and_kinds_are_made_anew(
    kind: str, key: str, inputs: tuple[int, ...]
) -> None:
    kept, make = Kept(), Counted()
    kept.take("line", "a", (1,), make, report=Report())
    kept.take(kind, key, inputs, make, report=Report())
    assert make.times == 2


def test_a_value_whose_fault_speaks_of_more_is_not_kept() -> None:
    kept, make = Kept(), Counted()
    for _ in range(2):
        kept.take("line", "a", (1,), make, report=Report(), holds=lambda one: False)
    assert make.times == 2


def test_what_was_asked_for_decides_and_nothing_else() -> None:
    kept = Kept()
    facts = {"read": 1, "not read": 1}
    made = []

    def make(_: Report, ask: Ask) -> int:
        made.append(ask("read"))
        return len(made)

    def run() -> int:
        return kept.trace("page", "a", facts.get, make, report=Report())

    assert run() == 1
    facts["not read"] = 2
    assert run() == 1
    facts["read"] = 2
    assert run() == 2
    del facts["read"]
    assert run() == 3


def test_values_do_not_grow_in_number_when_keys_go() -> None:
    kept, make = Kept(), Counted()
    for key in ("a", "b"):
        kept.take("line", key, (1,), make, report=Report())
    kept.only("line", ["b"])
    assert not kept.has("line", "a", (1,))
    assert kept.has("line", "b", (1,))


# ---------------------------------------------------------------------- files


def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let so much time pass that the signs of a file are trusted."""
    import time

    now = time.time_ns
    monkeypatch.setattr("plybook.text.source.time.time_ns", lambda: now() + 10**10)


def test_a_file_just_written_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "a.md"
    path.write_text("x", encoding="utf-8")
    assert signature(path) != signature(path)


def _other_text(path: Path) -> None:
    path.write_text("other", encoding="utf-8")


def _same_size_and_time(path: Path) -> None:
    before = path.stat()
    path.write_text("y", encoding="utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def _another_file(path: Path) -> None:
    other = path.with_name("b.md")
    other.write_text("y", encoding="utf-8")
    os.utime(other, ns=(path.stat().st_atime_ns, path.stat().st_mtime_ns))
    other.replace(path)


@pytest.mark.parametrize("change", [_other_text, _same_size_and_time, _another_file])
def test_a_file_that_was_left_alone_is_known_by_its_signs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: Callable[[Path], None]
) -> None:
    path = tmp_path / "a.md"
    path.write_text("x", encoding="utf-8")
    os.utime(path, ns=(10**18, 10**18))
    later(monkeypatch)
    before = signature(path)
    assert signature(path) == before
    change(path)
    assert signature(path) != before


def test_a_link_and_a_missing_file_are_never_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    later(monkeypatch)
    (tmp_path / "link.md").symlink_to("/etc/hostname")
    for name in ("link.md", "missing.md"):
        assert signature(tmp_path / name) != signature(tmp_path / name)
