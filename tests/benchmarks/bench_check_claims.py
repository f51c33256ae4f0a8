"""What claims add to `check`: the demo course from nothing, from the cache, and without claims.

    python tests/benchmarks/bench_check_claims.py [ROUNDS]

Prints times and ratios and judges nothing. Each time is the best of some rounds, in processor time
of one process, as on an idle machine, without the start of Python.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import tempfile
import time
from pathlib import Path

_ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(_ROOT / "generator"))

from plybook.desk.work import CHECK, Work, run  # noqa: E402  # the path is set above

_CLAIMS = re.compile(r"^```claims .*?^```$", re.DOTALL | re.MULTILINE)
_BUDGETS = {"from nothing": 5.0, "from the cache": 0.5}


def check(folder: Path) -> tuple[float, int]:
    """Return the processor seconds a check takes and the number of claims it settled."""
    start = time.process_time()
    work = run(CHECK, Work(folder=folder))
    spent = time.process_time() - start
    assert work.course is not None
    assert not work.report.errors, work.report.sorted()
    return spent, len(work.course.verdicts)


def without_claims(folder: Path) -> None:
    """Take the claims out of every lesson of a course."""
    for lesson in sorted((folder / "lessons").glob("*.md")):
        text = lesson.read_text(encoding="utf-8")
        lesson.write_text(_CLAIMS.sub("", text), encoding="utf-8", newline="\n")


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    with tempfile.TemporaryDirectory() as place:
        full, bare, cache = Path(place) / "full", Path(place) / "bare", Path(place) / "cache"
        os.environ["PLYBOOK_CACHE"] = str(cache)
        for folder in (full, bare):
            shutil.copytree(_ROOT / "curriculum", folder, ignore=shutil.ignore_patterns(".*"))
        without_claims(bare)
        check(bare)  # the first run also loads modules
        best: dict[str, float] = {}
        claims = 0
        for _ in range(rounds):
            shutil.rmtree(cache, ignore_errors=True)
            cold, claims = check(full)
            warm, _ = check(full)
            plain, _ = check(bare)
            for name, spent in (
                ("without claims", plain),
                ("from the cache", warm),
                ("from nothing", cold),
            ):
                best[name] = min(spent, best.get(name, spent))
    print(f"check of the demo course, {claims} claims, one process")
    for name, spent in best.items():
        ratio = spent / best["without claims"]
        budget = f"   budget {_BUDGETS[name]} s" if name in _BUDGETS else ""
        print(f"{name:16} {spent * 1000:8.0f} ms {ratio:6.1f} x{budget}")


if __name__ == "__main__":
    main()
