"""`plybook preview` as a program: how it begins, how it ends, and what it leaves alone."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from plybook.desk.work import BUILD, Work, run
from preview.editing import write_course

_PATIENCE = 60
_BOTH_LOOKS = 4.5  # seconds: a change is looked at, and once more three seconds later


@pytest.fixture
def course(tmp_path: Path) -> Path:
    folder = tmp_path / "course"
    write_course(folder)
    return folder


def started(*words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "plybook", "preview", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "NO_COLOR": "1"},
    )


@pytest.fixture
def program(course: Path) -> Iterator[subprocess.Popen[str]]:
    with started(str(course), "--port", "0") as one:
        yield one
        one.kill()


def test_it_prints_the_address_and_ctrl_c_ends_it_cleanly(program: subprocess.Popen[str]) -> None:
    assert program.stdout is not None
    said = program.stdout.readline()
    address = next(word for word in said.split() if word.startswith("http://127.0.0.1:"))
    with urllib.request.urlopen(address, timeout=_PATIENCE) as page:
        assert b"Harbour lessons" in page.read()
    program.send_signal(signal.SIGINT)
    rest, errors = program.communicate(timeout=_PATIENCE)
    assert program.returncode == 0
    assert rest == ""
    assert "Traceback" not in errors
    assert errors.endswith("the preview has ended\n")


def test_a_fault_is_told_with_its_place_once_a_change(
    course: Path, program: subprocess.Popen[str]
) -> None:
    assert program.stdout is not None
    program.stdout.readline()
    lesson = next((course / "lessons").glob("*.md"))
    lesson.write_text(
        lesson.read_text(encoding="utf-8") + "\n```moves slip\n1. e5\n```\n", encoding="utf-8"
    )
    time.sleep(_BOTH_LOOKS)
    program.send_signal(signal.SIGINT)
    _, errors = program.communicate(timeout=_PATIENCE)
    rows = errors.splitlines()
    assert [row.partition(" error")[2] for row in rows if "illegal-move" in row] == [
        "[illegal-move]: `1. e5` is illegal for White here"
    ]
    assert sum("plies played" in row for row in rows) == 2  # at the start, and after the change


def test_a_taken_port_is_told_in_one_line(course: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        with started(str(course), "--port", port) as program:
            said, errors = program.communicate(timeout=_PATIENCE)
    assert program.returncode == 2
    assert said == ""
    (line,) = errors.splitlines()
    assert f"port {port} is taken" in line
    assert "--port" in line


@pytest.mark.parametrize(
    ("words", "told"),
    [(["nowhere"], "no course.yaml"), (["--theme", "nowhere"], "no theme"), (["--port", "x"], "x")],
)
def test_a_wrong_use_ends_with_2(course: Path, words: list[str], told: str) -> None:
    place = [] if words == ["nowhere"] else [str(course)]
    with started(*place, *words) as program:
        _, errors = program.communicate(timeout=_PATIENCE)
    assert program.returncode == 2
    assert told in errors


def test_the_server_listens_on_loopback_alone(program: subprocess.Popen[str]) -> None:
    assert program.stdout is not None
    port = int(program.stdout.readline().split("127.0.0.1:")[1].split("/")[0])
    for host in ("127.0.0.2", "::1"):
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        with socket.socket(family) as other, pytest.raises(OSError, match=r"refused|assign"):
            other.connect((host, port))


def test_nothing_of_the_preview_is_published(course: Path, tmp_path: Path) -> None:
    """No script that loads pages anew, no wider policy, no slip, no note, no draft."""
    out = tmp_path / "site"
    assert run(BUILD, Work(folder=course, out=out)).published
    files = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    assert len(files) > 20
    for path, content in files.items():
        for word in (b"EventSource", b"connect-src", b"sessionStorage", b'id="slip"'):
            assert word not in content, path
        for word in (b"SECRET-OF-THE-COACH", b"COACH-ONLY", b'aside class="coach"', b"Not yet:"):
            assert word not in content, path
        assert "draft" not in path.name
        assert "preview" not in path.name
