"""A search in a course of 200 lessons, on a processor slowed six times.

    python tests/benchmarks/bench_search.py [LESSONS]

The budget is 100 ms from the last letter typed to the hits on the page. What a search needs is
made ready after the page has opened; that time is printed apart.
"""

from __future__ import annotations

import gzip
import statistics
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS.parent / "generator"), str(TESTS)]

from playwright.sync_api import sync_playwright  # noqa: E402  # the path is set above

from benchmarks.synthetic import write_course  # noqa: E402  # the path is set above
from browser.tools import chromium_path  # noqa: E402  # the path is set above
from plybook.desk.work import CHECK, Work, run  # noqa: E402  # the path is set above
from plybook.site.pages.edition import Edition  # noqa: E402  # the path is set above
from plybook.site.pages.search_page import search_files  # noqa: E402  # the path is set above
from plybook.site.pages.theme import load_theme  # noqa: E402  # the path is set above

SLOWER = 6
QUERIES = {
    "a word": "centre",
    "a word with a slip": "centrr",
    "three words": "count the men",
    "a run of moves": "1.e4 e5 2.Nf3",
    "one move": "Nf3",
    "a position": "rnbqkbnr/pppp1ppp/8/4p3/4P3/8/PPPP1PPP/RNBQKBNR w KQkq - 0 2",
}
_SWITCHES = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

#: Types a query as a reader's last letter does; returns milliseconds until its hits are laid out.
_TIMED = """(text) => {
    const field = document.getElementById('query');
    field.value = text;
    const before = performance.now();
    field.dispatchEvent(new Event('input'));
    document.body.getBoundingClientRect();
    return performance.now() - before;
}"""


def main() -> None:
    lessons = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        folder = Path(place)
        write_course(folder / "course", lessons=lessons, lines=12, plies=30)
        work = run(CHECK, replace(Work(folder=folder / "course")))
        assert work.course is not None
        edition = Edition(work.course, load_theme("press"))
        for path, content in (search_files(edition) | dict(edition.assets.files)).items():
            target = folder / "site" / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
            if "search-data" in path:
                packed = len(gzip.compress(content, 9))
                print(f"data: {len(content):,} bytes, {packed:,} packed")
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=_SWITCHES)
        page = browser.new_page()
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.goto((folder / "site" / "search.html").as_uri())
        page.wait_for_timeout(15_000)  # what is made ready while nobody waits
        for name, query in QUERIES.items():
            times = [float(page.evaluate(_TIMED, query)) for _ in range(9)]
            hits = page.locator("#count").inner_text()
            print(f"{name:20} median {statistics.median(times):6.1f} ms  ({hits})")
        browser.close()


if __name__ == "__main__":
    main()
