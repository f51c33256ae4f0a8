"""A course with every kind of task for the tests of paper, and its papers."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final, get_args

from bs4 import BeautifulSoup

from plybook.course import Course, assemble
from plybook.desk.work import CHECK, Work, run
from plybook.diagnostics import Report
from plybook.site.pages.edition import Edition
from plybook.site.pages.theme import load_theme
from plybook.site.paper.chosen import Bundle, choose, choose_mixed
from plybook.site.paper.papers import Kind, Paper, make_papers
from plybook.text import read_course_folder

__all__ = [
    "DEMO",
    "FILES",
    "KINDS",
    "course_with",
    "demo_course",
    "mixed_papers",
    "papers_of",
    "write_course",
]

DEMO: Final = Path(__file__).resolve().parents[2] / "curriculum"
KINDS: Final[tuple[Kind, ...]] = get_args(Kind)

GATES: Final = """---
title: Gates & ladders
subtitle: Two ways in
level: Quay
---

Some words.

```moves main
1. e4 e5 2. Bc4 Nc6 3. Qh5 Nf6 4. Qxf7#
```

```exercise the-gate
board: main@3...Nf6
task: Find the "mate".
check: only mate in 1
answer: 4. Qxf7#
wrong: 4. Bxf7+ | A check, and the king walks off.
wrong: 4. Qxe5+ | A pawn with check.
hint: Which pawn has the king alone?
hint: She is not alone.
level: Mast
```

```exercise is-it-check
board: main@3.Qh5
task: True or false? One man alone attacks f7.
check: false
claim: f7 is attacked 1 time by White and guarded 1 time
answer: False. The bishop looks at it as well.
hint: Follow the lines.
```

```exercise long-way
board: main@2.Bc4
task: Bring a knight out.
check: none because many moves do it
answer: 2... Nf6 3. d3 {quiet *and* sound} 3... Bc5
answer: 2... Nc6
```

```exercise how-many
board: main@3.Qh5
task: How many white men attack f7?
check: true
claim: f7 is attacked 2 times by White and guarded 1 time
answer: 2
hint: Not the queen alone.
level: Deck
```

```cards
Name four squares. | d4, e4, d5 and e5.
main@3.Qh5 What is hit? | The pawn on f7.
Who stands on e1? | main@2.Bc4 The king.
```
"""

LADDER: Final = """---
title: Ladders
---

```moves rungs
from: fen 8/8/8/8/7k/R7/1R6/K7 w - - 0 1

1. Rb4+ Kg5 2. Ra5+
```

```exercise rung
board: rungs@1...Kg5
task: Next rung.
check: none because it is a ladder
answer: 2. Ra5+
```
"""

FILES: Final = {
    "course.yaml": "title: Trial course\nid: trial\nclub: Trial club\nlevels: [Quay, Deck, Mast]\n",
    "lessons/01-gates.md": GATES,
    "lessons/02-ladders.md": LADDER,
    "lessons/03-words.md": "---\ntitle: Words\n---\n\nNothing to solve.\n",
}


def write_course(folder: Path, **changes: tuple[str, str]) -> Path:
    """Write the course with a text replaced by another in files named by their first word."""
    for path, text in FILES.items():
        before, after = changes.get(Path(path).stem.rpartition("-")[2], ("", ""))
        assert before in text
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text.replace(before, after) if before else text)
    return folder


def course_with(folder: Path, **changes: tuple[str, str]) -> Course:
    """Return the course, changed, without a fault."""
    report = Report()
    draft = read_course_folder(write_course(folder, **changes), report=report)
    assert draft is not None
    course = assemble(draft, report=report)
    assert report.errors == 0, [found.message for found in report.sorted()]
    return course


@cache
def demo_course() -> Course:
    work = run(CHECK, Work(folder=DEMO))
    assert work.course is not None
    assert work.report.errors == 0
    return work.course


def papers_of(
    course: Course, slug: str, *, per_page: int | None = None, theme: str = "press"
) -> dict[str, BeautifulSoup]:
    """Return sheet, key and cards of a lesson, read."""
    return _read(course, choose(course, slug), per_page=per_page, theme=theme)


def mixed_papers(
    course: Course, *slugs: str, per_page: int | None = None
) -> dict[str, BeautifulSoup]:
    return _read(course, choose_mixed(course, slugs or course.lessons), per_page=per_page)


def _read(
    course: Course, bundle: Bundle, *, per_page: int | None, theme: str = "press"
) -> dict[str, BeautifulSoup]:
    papers = make(course, bundle, per_page=per_page, theme=theme)
    return {paper.kind: BeautifulSoup(paper.html, "html.parser") for paper in papers}


def make(
    course: Course, bundle: Bundle, *, per_page: int | None = None, theme: str = "press"
) -> tuple[Paper, ...]:
    return make_papers(Edition(course, load_theme(theme)), bundle, KINDS, per_page=per_page)
