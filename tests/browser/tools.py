"""Tools a machine may lack: a test that needs one is skipped with the reason, or fails."""

from __future__ import annotations

import importlib.util
import os
import shutil
from pathlib import Path
from typing import Final, NoReturn

import pytest

__all__ = ["ROOT", "chromium_path", "compiler_command", "missing", "need_module"]

ROOT: Final = Path(__file__).resolve().parents[2]
_STRICT: Final = "PLYBOOK_REQUIRE_TOOLS"


def missing(reason: str) -> NoReturn:
    """Skip the test that runs; with PLYBOOK_REQUIRE_TOOLS=1 a missing tool is a failure."""
    if os.environ.get(_STRICT) == "1":
        pytest.fail(f"{_STRICT}=1: {reason}")
    pytest.skip(reason)


def need_module(name: str, *, of: str) -> None:
    """Go on if a Python module can be imported; `of` is the package that brings it."""
    if importlib.util.find_spec(name) is None:
        missing(f"the Python package {of} is not installed")


def chromium_path() -> Path:
    """Return the browser's program. Playwright's own download is not needed."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        found = shutil.which(name)
        if found:
            return Path(found)
    missing("no program chromium on the path")


def compiler_command() -> list[str]:
    """Return the command of the type checker for scripts: `npm ci` in this folder installs it."""
    node = shutil.which("node")
    if node is None:
        missing("no program node on the path")
    script = Path(__file__).parent / "node_modules" / "typescript" / "bin" / "tsc"
    if not script.is_file():
        missing("typescript is not installed: run `npm ci` in tests/browser")
    return [node, str(script)]
