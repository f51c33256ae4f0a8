"""From a key press to the new position on the screen, on a processor slowed six times.

    python tests/benchmarks/bench_keypress.py [THEME]

The page holds the plate and ten still diagrams. A press is timed from the time stamp of its event
to the first task after the frame that shows it; the budget is a median under 50 ms.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS.parent / "generator"), str(TESTS)]

from playwright.sync_api import Page, sync_playwright  # noqa: E402  # the path is set above

from browser.tools import chromium_path  # noqa: E402  # the path is set above
from browser.trial_course import write_trial_course  # noqa: E402  # the path is set above
from plybook.desk.work import BUILD, Work, run  # noqa: E402  # the path is set above

SLOWER = 6
ROUNDS = 3
_SWITCHES = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

#: Keeps, of every key press on an element, the milliseconds until its frame was done.
_CLOCK = """(id) => {
    globalThis.times = [];
    document.getElementById(id).addEventListener('keydown', (event) => {
        requestAnimationFrame(() => {
            const channel = new MessageChannel();
            channel.port1.onmessage = () => times.push(performance.now() - event.timeStamp);
            channel.port2.postMessage(0);
        });
    });
}"""


def press_through(page: Page, control: str, key: str) -> list[float]:
    """Return milliseconds a press, through 40 plies of the line, one press at a time."""
    page.evaluate("document.getElementById('still@start').click()")
    page.evaluate(_CLOCK, control)
    page.evaluate("(id) => document.getElementById(id).focus()", control)
    for done in range(1, 41):
        page.keyboard.press(key)
        page.wait_for_function("(done) => times.length >= done", arg=done)
        page.wait_for_timeout(250)  # the man has arrived, the address is written
    return [float(time) for time in page.evaluate("times")]


def show(name: str, times: list[float]) -> None:
    """Print median and 95th percentile."""
    worst = statistics.quantiles(times, n=20)[-1]
    print(f"{name:34} median {statistics.median(times):6.1f} ms   p95 {worst:6.1f} ms")


def main() -> None:
    theme = sys.argv[1] if len(sys.argv) > 1 else "press"
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        course = write_trial_course(Path(folder) / "course")
        site = Path(folder) / "site"
        run(BUILD, Work(folder=course, out=site, theme=theme))
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=_SWITCHES)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        for slower in (1, SLOWER):
            for control, key in (("sl", "ArrowRight"), ("nxt", "Enter")):
                times: list[float] = []
                for _ in range(ROUNDS):
                    page.goto((site / "lessons" / "pictures.html").as_uri())
                    session = page.context.new_cdp_session(page)
                    session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
                    times += press_through(page, control, key)
                    session.detach()
                show(f"{theme}, {slower} x slowed, {key} on #{control}", times)
        browser.close()


if __name__ == "__main__":
    main()
