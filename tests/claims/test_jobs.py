"""The number of processes changes nothing but the time."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnostics.run import Ran, plybook

#: Claims that count as much work, though each is soon settled; one is false, one has no meaning.
LESSON = """---
title: Much work
---

```moves open
1. e4 e5 2. Nf3 f6 3. Nxe5 fxe5 4. Qh5+ g6 5. Qxe5+ Qe7 6. Qxh8 Qxe4+
```

```claims open@4...g6
5.Qxe5+ wins 1 or more by the lines given
5.Qxe5+ wins 9 or more by the lines given
5.Qxe5+ wins 4 or more by the lines given
```

```claims open@5...Qe7
6.Qxh8 wins 1 or more by the lines given
6.Qxh8 wins 3 or more by the lines given
f6 is loose
```
"""


def checked(folder: Path, jobs: int) -> tuple[Ran, bytes]:
    """Return a run without a cache, and the cache it leaves behind."""
    (folder / "lessons").mkdir(parents=True)
    (folder / "course.yaml").write_text("title: Trial\n", encoding="utf-8")
    (folder / "lessons/01-work.md").write_text(LESSON, encoding="utf-8")
    cache = folder / "cache"
    ran = plybook(
        *("check", folder, "--jobs", str(jobs), "--format", "json"),
        environment={"PLYBOOK_CACHE": str(cache)},
    )
    return ran, (cache / "verdicts.json").read_bytes()


def test_one_process_and_two_give_the_same_report_and_cache(tmp_path: Path) -> None:
    one, two = checked(tmp_path / "1", 1), checked(tmp_path / "2", 2)
    assert one == two
    assert one[0].code == 1
    assert '"verdict": "false"' in one[0].out


@pytest.mark.parametrize("number", ["0", "-1", "many"])
def test_a_number_of_processes_that_is_none_is_refused(number: str, tmp_path: Path) -> None:
    ran = plybook("check", tmp_path, "--jobs", number)
    assert ran.code == 2
    assert "--jobs" in ran.err
