"""Verdicts are kept with the user, so that a course that was handed on is believed in nothing."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from diagnostics.folder import body, check, write
from diagnostics.run import plybook
from plybook.desk.cache_place import cache_file

#: Two sentences that are false: the king guards f7, and nothing attacks the pawn on e5.
CLAIMS = body(
    "```moves open\n1. e4 e5 2. Nf3\n```\n\n"
    "```claims open@1...e5\nf7 is loose\ne5 is hanging\n```\n"
)


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PLYBOOK_CACHE", str(tmp_path / "kept" / "here"))
    return tmp_path / "kept" / "here" / "verdicts.json"


def test_nothing_is_written_into_the_course(tmp_path: Path, cache: Path) -> None:
    course = write(tmp_path / "course", CLAIMS)
    before = sorted(course.rglob("*"))
    assert plybook("check", course).code == 1
    assert sorted(course.rglob("*")) == before
    assert cache.is_file()


def test_no_verdict_comes_with_a_course(tmp_path: Path, cache: Path) -> None:
    """A false verdict turned into a proved one goes with the folder and convinces nobody."""
    course = write(tmp_path / "course", CLAIMS)
    found = check(course)
    forged = cache.read_bytes().replace(b'"reach":"false"', b'"reach":"proved"')
    assert forged != cache.read_bytes()
    cache.unlink()
    for name in (".verdicts.json", "verdicts.json", ".plybook.json"):
        (course / name).write_bytes(forged)
    assert check(course) == found
    assert [fault.code for fault in found] == ["false-claim", "false-claim"]


def test_one_file_serves_all_courses(tmp_path: Path, cache: Path) -> None:
    check(write(tmp_path / "one", CLAIMS))
    before = cache.read_bytes()
    assert check(write(tmp_path / "two", CLAIMS)) != ()
    assert cache.read_bytes() == before


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes in the file system")
@pytest.mark.parametrize("what", ["pipe", "link", "folder", "file above", "broken"])
def test_a_run_without_its_cache_finds_the_same(tmp_path: Path, cache: Path, what: str) -> None:
    course = write(tmp_path / "course", CLAIMS)
    found = check(course)
    cache.unlink()
    victim = tmp_path / "victim.json"
    victim.write_bytes(b"precious")
    match what:
        case "pipe":
            os.mkfifo(cache)
        case "link":
            cache.symlink_to(victim)
        case "folder":
            cache.mkdir()
        case "file above":
            cache.parent.rmdir()
            cache.parent.write_bytes(b"mine")
        case "broken":
            cache.write_bytes(b"{")
    assert check(course) == found
    assert victim.read_bytes() == b"precious"


@pytest.mark.skipif(sys.platform == "win32", reason="there it is %LOCALAPPDATA%")
@pytest.mark.parametrize(
    ("own", "general", "place"),
    [
        ("/a", "/b", "/a/verdicts.json"),
        ("", "/b", "/b/plybook/verdicts.json"),
        ("", "", "/home/coach/.cache/plybook/verdicts.json"),
        ("", "b", "/home/coach/.cache/plybook/verdicts.json"),
    ],
)
def test_where_the_file_lies(
    monkeypatch: pytest.MonkeyPatch, own: str, general: str, place: str
) -> None:
    """XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, else ~/.cache; relative is ignored."""
    monkeypatch.setenv("HOME", "/home/coach")
    monkeypatch.setenv("PLYBOOK_CACHE", own)
    monkeypatch.setenv("XDG_CACHE_HOME", general)
    assert cache_file() == Path(place)
