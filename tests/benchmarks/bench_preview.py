"""What one saved lesson costs in the preview, by the size of the course.

    python tests/benchmarks/bench_preview.py [LESSONS ...]

`check` is everything from reading to the last comparison of the whole course, `page` the page of
the changed lesson, which is what an open browser shows. Processor time, the middle one of some
saves; `clean` is the same work by a run that has nothing to take up. Other pages are made when a
browser asks for them: `front` and `rule` say what that costs after the change.
"""

from __future__ import annotations

import gc
import re
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / "generator"), str(Path(__file__).parent)]

from synthetic import write_course  # noqa: E402  # the path is set above

from plybook.desk.preview.shown import ShownCourse  # noqa: E402  # the path is set above

_RULE = """---
title: First rule
short: One thing at a time.
kept_by: [develops, castles]
broken_by: [same-man-again]
---

Bring the men out.
"""
_SAVES = 7


def spent(action: Callable[[], object]) -> float:
    """Return the processor time of an action in milliseconds."""
    start = time.process_time()
    action()
    return 1000 * (time.process_time() - start)


def measure(folder: Path, lessons: int) -> dict[str, float]:
    """Return the figures of a course of so many lessons."""
    write_course(folder, lessons=lessons, lines=3, plies=30)
    (folder / "principles" / "first-rule.md").write_text(_RULE, encoding="utf-8")
    shown = ShownCourse(folder, theme=None, jobs=1, secret="preview")
    page = "lessons/lesson-7.html"
    rows: dict[str, list[float]] = {"check": [], "page": [], "front": [], "rule": []}
    clean = spent(shown.refresh) + spent(lambda: shown.find(page))
    assert b"slip" not in shown.find(page).content, "the course has faults"
    for path in ("index.html", "principles/first-rule.html"):
        shown.find(path)
    gc.collect()
    gc.freeze()
    gc.enable()
    path = folder / "lessons" / "0007-lesson-7.md"
    text = path.read_text(encoding="utf-8")
    for save in range(_SAVES):
        changed = text.replace("Look at", f"Look {save} times at", 1)
        if save % 2:  # a move as well: the last one of the first line goes
            changed = re.sub(r" \S+\n```\n\n```diagram", "\n```\n\n```diagram", changed, count=1)
        path.write_text(changed, encoding="utf-8")
        rows["check"].append(spent(shown.refresh))
        rows["page"].append(spent(lambda: shown.find(page)))
        rows["front"].append(spent(lambda: shown.find("index.html")))
        rows["rule"].append(spent(lambda: shown.find("principles/first-rule.html")))
    return {"clean": clean, **{name: statistics.median(found) for name, found in rows.items()}}


def main() -> None:
    """Print the table."""
    gc.disable()
    sizes = [int(word) for word in sys.argv[1:]] or [200, 2000]
    print(" lessons      clean    check     page     both    front     rule")
    for lessons in sizes:
        with tempfile.TemporaryDirectory() as name:
            found = measure(Path(name) / "course", lessons)
        both = found["check"] + found["page"]
        print(
            f"{lessons:>8} {found['clean']:>7.0f} ms {found['check']:>5.0f} ms "
            f"{found['page']:>5.0f} ms {both:>5.0f} ms {found['front']:>5.0f} ms "
            f"{found['rule']:>5.0f} ms   1/{found['clean'] / both:.0f} of clean"
        )


if __name__ == "__main__":
    main()
