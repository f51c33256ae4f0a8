"""The page script passes a strict type check; script and pages stay small."""

from __future__ import annotations

import gzip
import re
import subprocess
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser

from browser.reader import reading
from browser.tools import ROOT, compiler_command

HERE = Path(__file__).parent
SCRIPTS = sorted((ROOT / "themes/base").glob("*.js"))


def packed(*files: Path) -> int:
    """Return the bytes of files as a server sends them, each packed by itself."""
    return sum(len(gzip.compress(file.read_bytes(), 9, mtime=0)) for file in files)


def check_types(project: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*compiler_command(), "-p", str(project)], capture_output=True, text=True, check=False
    )


def test_the_script_passes_a_strict_type_check() -> None:
    done = check_types(HERE / "tsconfig.json")
    assert (done.returncode, done.stdout) == (0, "")


def test_the_type_check_finds_a_fault(tmp_path: Path) -> None:
    faulty = (ROOT / "themes/base/board.js").read_text(encoding="utf-8")
    faulty = faulty.replace("let line = firstLine;", "let line = String(firstLine);")
    (tmp_path / "board.js").write_text(faulty, encoding="utf-8")
    project = (HERE / "tsconfig.json").read_text(encoding="utf-8")
    project = re.sub(r'"files": \[.*?\]', '"files": ["board.js"]', project, flags=re.DOTALL)
    (tmp_path / "tsconfig.json").write_text(project, encoding="utf-8")
    done = check_types(tmp_path)
    assert done.returncode != 0
    assert "TS2322" in done.stdout  # not assignable


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_the_script_turns_no_text_into_code_or_markup(script: Path) -> None:
    """And reaches for nothing outside the page."""
    text = script.read_text(encoding="utf-8")
    forbidden = (
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function"
        r"|setTimeout\(['\"]|\bfetch\(|XMLHttpRequest|import\(|WebSocket|sendBeacon|\.cookie"
    )
    assert re.findall(forbidden, text) == []


@pytest.mark.parametrize("site", ["press", "slate", "trial"])
def test_the_script_is_small(sites: Mapping[str, Path], site: str) -> None:
    """At most 8 kB packed (the budget of the design)."""
    (script,) = (sites[site] / "assets").glob("board-*.js")
    assert packed(script) <= 8_000


def test_what_an_exercise_loads_is_small(sites: Mapping[str, Path]) -> None:
    """Its script and the store of the pupil's work: at most 8 kB packed together."""
    assets = sites["trial"] / "assets"
    scripts = [*assets.glob("exercises-*.js"), *assets.glob("progress-*.js")]
    assert len(scripts) == 2
    assert packed(*scripts) <= 8_000


@pytest.mark.parametrize("site", ["trial", "trial-slate"])
def test_a_lesson_of_twelve_long_lines_is_light(
    browser: Browser, sites: Mapping[str, Path], site: str
) -> None:
    """12 lines of 30 plies with all they fetch, fonts too: at most 60 kB (of 1024) as sent."""
    with reading(browser, sites[site]) as reader:
        reader.open("lessons/heavy.html", whole=True)
        files = {Path(unquote(urlsplit(address).path)) for address in reader.requests}
    fonts = {file for file in files if file.suffix == ".woff2"}  # packed as they are
    assert {file.suffix for file in files - fonts} == {".html", ".css", ".js"}
    assert bool(fonts) == (site == "trial")
    words = packed(*(files - fonts))
    assert words <= 30 * 1024
    assert words + sum(file.stat().st_size for file in fonts) <= 60 * 1024
