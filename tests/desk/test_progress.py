"""The bar of long work: seen on a terminal, silent in a pipe, gone at the end."""

from __future__ import annotations

import io
import os
import pty
import re
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import moves, write
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


def test_a_terminal_that_cannot_erase_sees_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert shown(_Terminal(), monkeypatch) == ""


#: Two claims to settle, one of them wrong, and an exercise: a mate known for centuries.
_CLAIMS: Final = (
    "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6\n```\n\n```claims open@end\n"
    "f7 is loose\n4.Qxf7# mates in 1\n```\n\n```exercise mate\nboard: open@end\n"
    "task: Mate in one.\ncheck: only mate in 1\nanswer: 4. Qxf7#"
)


def _on_a_terminal(*words: str, cache: Path) -> tuple[str, str]:
    """Return what a command prints with its error stream on a terminal: output, error stream."""
    ours, theirs = pty.openpty()
    ran = subprocess.run(
        [sys.executable, "-m", "plybook", *words],
        stdout=subprocess.PIPE,
        stderr=theirs,
        env={**os.environ, "PLYBOOK_CACHE": str(cache), "NO_COLOR": "1", "TERM": "xterm"},
        check=False,
    )
    os.close(theirs)
    seen = b""
    while True:
        try:
            piece = os.read(ours, 1 << 16)
        except OSError:  # the other end is closed and everything is read
            break
        if not piece:
            break
        seen += piece
    os.close(ours)
    return ran.stdout.decode(), seen.decode().replace("\r\n", "\n")


@pytest.mark.parametrize("command", ["check", "verdicts"])
def test_long_work_shows_its_bar_on_a_terminal_and_finds_the_same(
    command: str, tmp_path: Path
) -> None:
    course = str(write(tmp_path / "course", moves(_CLAIMS)))
    output, seen = _on_a_terminal(command, course, cache=tmp_path / "seen")
    assert "proving [" in seen
    assert " 50 %" in seen
    assert "100 %" in seen
    erased = re.sub(r"\rproving [^\r]*|\r\x1b\[K", "", seen)
    piped = subprocess.run(
        [sys.executable, "-m", "plybook", command, course],
        capture_output=True,
        env={**os.environ, "PLYBOOK_CACHE": str(tmp_path / "piped"), "NO_COLOR": "1"},
        check=False,
    )
    assert "proving" not in piped.stderr.decode()
    assert (output, erased) == (piped.stdout.decode(), piped.stderr.decode())


def test_what_is_known_from_before_needs_no_bar(tmp_path: Path) -> None:
    course = str(write(tmp_path / "course", moves(_CLAIMS)))
    _on_a_terminal("check", course, cache=tmp_path / "cache")
    assert "proving" not in _on_a_terminal("check", course, cache=tmp_path / "cache")[1]
