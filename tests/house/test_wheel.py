"""The wheel holds all it needs: themes, the demo course, types; and it builds twice the same."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def build_wheel(folder: Path) -> Path:
    """Return a wheel built from this checkout without asking any index."""
    folder.mkdir()
    build = "import sys; from hatchling.build import build_wheel; print(build_wheel(sys.argv[1]))"
    done = subprocess.run(
        [sys.executable, "-c", build, str(folder)],
        cwd=ROOT,
        env={**os.environ, "SOURCE_DATE_EPOCH": "315532800"},
        capture_output=True,
        text=True,
        check=True,
    )
    return folder / done.stdout.split()[-1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    pytest.importorskip("hatchling", reason="hatchling builds the wheel; install the extra `test`")
    return build_wheel(tmp_path_factory.mktemp("wheel") / "first")


def test_a_course_is_made_and_built_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    """Unpacked somewhere else, the wheel makes the demo course and builds it in both themes."""
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(tmp_path / "installed")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "installed")}

    def plybook(*arguments: str) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "plybook", *arguments],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    plybook("new", "course", "--demo")
    for theme in ("press", "slate"):
        plybook("build", "course", "--out", f"site-{theme}", "--theme", theme)
        assert (tmp_path / f"site-{theme}" / "index.html").is_file()
    demo = ROOT / "site_demo" / "index.html"
    assert (tmp_path / "site-press" / "index.html").read_bytes() == demo.read_bytes()


def test_the_wheel_says_that_it_is_typed_and_how_it_is_licensed(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        metadata = next(name for name in names if name.endswith("METADATA"))
        text = packed.read(metadata).decode("utf-8")
    assert "plybook/py.typed" in names
    assert "License-Expression: GPL-3.0-or-later" in text
    assert any(name.endswith("licenses/LICENSE") for name in names)


def test_the_wheel_is_the_same_twice(wheel: Path, tmp_path: Path) -> None:
    again = build_wheel(tmp_path / "again")
    digests = {hashlib.sha256(path.read_bytes()).hexdigest() for path in (wheel, again)}
    assert len(digests) == 1


def test_the_wheel_holds_no_file_that_only_lies_about(wheel: Path) -> None:
    """What is packed of the course and the themes is what the project keeps, file by file."""
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("needs the project's history to know its files")
    listed = subprocess.run(
        [git, "ls-files", "-z", "--cached", "curriculum", "themes"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    kept = set(listed.stdout.decode("utf-8").split("\0")) - {""}
    with zipfile.ZipFile(wheel) as packed:
        names = {name.partition("_data/")[2] for name in packed.namelist()} - {""}
    assert names == kept


def test_the_wheel_holds_the_words_of_every_language(wheel: Path) -> None:
    folder = ROOT / "generator"
    catalogues = {
        path.relative_to(folder).as_posix() for path in folder.glob("plybook/locale/*/*/*.mo")
    }
    assert catalogues
    with zipfile.ZipFile(wheel) as packed:
        assert catalogues <= set(packed.namelist())
