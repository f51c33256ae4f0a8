"""The number of processes changes nothing but the time."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnostics.run import Ran, plybook

#: Claims that count as much work, though each is soon settled; not all of them are true.
LESSON = """---
title: Much work
---

```moves corner
from: fen 7k/8/8/8/8/8/6PP/r5QK w - - 0 1

1. Qxa1+ Kg8 2. Qa8+
```

```claims corner@start
1.Qxa1+ wins 5 or more by the lines given
1.Qxa1+ wins 4 or more by the lines given
White threatens mate in 1 by Qxa1#
g2 is loose
```

```claims corner@1...Kg8
2.Qa8+ wins 1 or more by the lines given
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
