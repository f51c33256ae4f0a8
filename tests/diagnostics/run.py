"""The command line as a coach starts it: `python -m plybook` in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Final

__all__ = ["Ran", "plybook"]

_GENERATOR: Final = Path(__file__).resolve().parents[2] / "generator"
_COLOURS: Final = ("NO_COLOR", "FORCE_COLOR", "TERM")


@dataclass(frozen=True, slots=True)
class Ran:
    """What a run printed, and its exit code."""

    code: int
    out: str
    err: str


def plybook(
    *arguments: str | Path,
    within: Path | None = None,
    environment: Mapping[str, str] = MappingProxyType({}),
) -> Ran:
    """Run the command from the folder `within`; without it, from one that holds no course."""
    kept = {name: value for name, value in os.environ.items() if name not in _COLOURS}
    done = subprocess.run(
        [sys.executable, "-m", "plybook", *map(str, arguments)],
        cwd=within if within is not None else Path(sys.prefix),
        env={**kept, "PYTHONPATH": str(_GENERATOR), **environment},
        capture_output=True,
        timeout=60,
        check=False,
    )
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())
