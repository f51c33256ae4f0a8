"""site_demo/ is what the course in curriculum/ builds to, byte for byte."""

from __future__ import annotations

import shutil
from pathlib import Path

from plybook.desk.work import BUILD, Work, run

ROOT = Path(__file__).resolve().parents[2]


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_committed_site_is_the_build_of_the_course(tmp_path: Path) -> None:
    """After a change: `plybook build curriculum --out site_demo`, then look at it."""
    shutil.copytree(ROOT / "curriculum", tmp_path / "curriculum")
    work = run(BUILD, Work(folder=tmp_path / "curriculum", out=tmp_path / "site"))
    assert work.report.sorted() == ()
    built, committed = contents(tmp_path / "site"), contents(ROOT / "site_demo")
    assert sorted(built) == sorted(committed)
    assert [name for name in built if built[name] != committed[name]] == []


def test_every_line_of_the_demo_course_is_locked() -> None:
    from plybook.course import lock_of
    from plybook.diagnostics import Report
    from plybook.text import read_course_folder

    draft = read_course_folder(ROOT / "curriculum", report=Report())
    assert draft is not None
    assert draft.lock == lock_of(draft)
