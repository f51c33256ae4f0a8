"""The bar of long work: seen on a terminal, silent in a pipe, gone at the end."""

from __future__ import annotations

import io

import pytest

from plybook.desk.progress import Progress


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(stream: io.StringIO, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr("sys.stderr", stream)
    with Progress("reading", size=200) as progress:
        for done in (0, 50, 50, 100, 200):
            progress.show(done)
    return stream.getvalue()


def test_a_terminal_sees_how_far_it_is_and_a_clean_line_at_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = shown(_Terminal(), monkeypatch)
    assert [part.split("] ")[-1] for part in text.split("\r") if "%" in part] == [
        "  0 %",
        " 25 %",
        " 50 %",
        "100 %",
    ]
    assert f"[{'#' * 15}{'-' * 15}]" in text
    assert text.endswith("\r\x1b[K")


def test_a_pipe_sees_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shown(io.StringIO(), monkeypatch) == ""
