"""Full build and check against the bare library work on the same text, in one run.

    python tests/benchmarks/bench_build.py [LESSONS]

The bare work is what no program of this kind can do without: markdown-it's parse and render of each
lesson, parse_san and san_and_push of each ply, one template rendered a page.
"""

from __future__ import annotations

import gc
import re
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import chess
import jinja2
from markdown_it import MarkdownIt

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / "generator"), str(Path(__file__).parent)]

from synthetic import write_course  # noqa: E402  # the path is set above

from plybook.desk import work as stages  # noqa: E402  # the path is set above

_MOVES = re.compile(r"```moves .*?\n\n(.*?)```", re.S)
_TEMPLATE = jinja2.Environment(autoescape=True).from_string(
    "<!doctype html><title>{{ title }}</title><main>{{ body }}</main>"
)


def bare(folder: Path) -> None:
    """Do the library work on every lesson of a course."""
    markdown = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    for path in sorted((folder / "lessons").iterdir()):
        text = path.read_text(encoding="utf-8")
        body = markdown.render(text)
        for movetext in _MOVES.findall(text):
            board = chess.Board()
            for word in re.sub(r"\{[^}]*\}|[0-9]+\.+", " ", movetext).split():
                move = board.parse_san(word)
                board.san(move)
                board.push(move)
        _TEMPLATE.render(title=path.stem, body=body)


def timed(action: Callable[[], object], *, rounds: int = 3) -> float:
    """Return the best of some rounds, in seconds, without the collector, as the command runs."""
    gc.disable()
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        action()
        best = min(best, time.process_time() - start)
    return best


def main() -> None:
    """Print the table."""
    lessons = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "course"
        write_course(folder, lessons=lessons, lines=3, plies=30)
        library = timed(lambda: bare(folder))
        check = timed(lambda: stages.run(stages.CHECK, stages.Work(folder=folder)))
        checked = stages.run(stages.CHECK, stages.Work(folder=folder))
        drawn = timed(lambda: stages.draw_pages(checked))
        pages = stages.draw_pages(checked)
        valid = timed(lambda: stages.validate_pages(pages))
        out = Path(name) / "site"
        publish = timed(
            lambda: stages.publish_folder(
                stages.replace(pages, out=out.with_name(f"site{time.perf_counter_ns()}"))
            )
        )
    for what, seconds in (
        ("bare library work", library),
        ("check", check),
        ("draw pages", drawn),
        ("check + draw", check + drawn),
        ("validate", valid),
        ("publish", publish),
        ("full build", check + drawn + valid + publish),
    ):
        print(f"{what:<20} {seconds:7.3f} s   {seconds / library:5.2f} x bare")


if __name__ == "__main__":
    main()
