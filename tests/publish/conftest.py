"""The ways a publication can go, and a disk that fails on demand."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from plybook.site.publishing import disk, publish
from plybook.site.publishing.lock import hold
from publish.stand import STEPS, STRATEGIES, Faults, Site


@pytest.fixture
def site(tmp_path: Path) -> Site:
    return Site(tmp_path)


@pytest.fixture
def quick_site() -> Iterator[Site]:
    """A site in memory where the system has such a disk: thousands of publications in seconds."""
    memory = Path("/dev/shm")
    folder = memory if os.access(memory, os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=folder) as top:
        yield Site(Path(top))


@pytest.fixture
def calm_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Flushing costs most of a publication's time and shows in no test but that of power cuts."""
    monkeypatch.setattr(disk, "flush", lambda top, paths: None)


@pytest.fixture
def faults(monkeypatch: pytest.MonkeyPatch, calm_disk: None) -> Faults:
    found = Faults()
    for name in STEPS:
        monkeypatch.setattr(disk, name, found.wrap(name, getattr(disk, name)))
    return found


@pytest.fixture(params=STRATEGIES)
def strategy(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, quick_site: Site
) -> str:
    """Lead a publication down each of its ways. Asked for before `faults`, it lies beneath it."""
    name: str = request.param

    def refuse(number: int) -> Callable[[Path, Path], None]:
        def exchange(one: Path, other: Path) -> None:
            raise OSError(number, "refused", str(other))

        return exchange

    if name == "renames":
        monkeypatch.setattr(disk, "exchange", refuse(errno.ENOSYS))
    elif name == "busy":
        monkeypatch.setattr(disk, "exchange", refuse(errno.EBUSY))
    elif name == "mount point":
        quick_site.out.mkdir()
        monkeypatch.setattr("os.path.ismount", lambda path: path == quick_site.out)
    elif name == "inside":
        forbid_beside(monkeypatch, quick_site)
    return name


def forbid_beside(monkeypatch: pytest.MonkeyPatch, site: Site) -> None:
    """Let nothing be made beside the target, as when its parent belongs to somebody else."""

    def refusing(path: Path) -> Any:
        if path.parent == site.top:
            raise PermissionError(errno.EACCES, "refused", str(path))
        return hold(path)

    monkeypatch.setattr(publish, "hold", refusing)
    site.out.mkdir(exist_ok=True)
