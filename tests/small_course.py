"""A small course for the tests of pages: two lessons with lines, one without, one principle."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from bs4 import BeautifulSoup, Tag

from plybook.course import Course, assemble
from plybook.diagnostics import Report
from plybook.site.pictures.images import Image
from plybook.text import read_course_folder

FILES: Final = {
    "course.yaml": """title: Harbour lessons
id: harbour
language: en
levels: [Slipway, Harbour]
parts:
  - title: Part one
    lessons: [forks, pins]
""",
    "lessons/01-forks.md": """---
title: Forks & more
level: Slipway
minutes: 30
teaches: [look-twice]
---

# A heading

It starts with 1.e4 and then 1...d5!, but not with 9.Nf3. See [the end](main@end),
[the other lesson](pins/other@2...Nc6), [a page](02-pins.md#more),
[a rule](../principles/look-twice.md), [a site](https://example.org/x) and "this".

![A board on a table](../images/board.png)

```moves main
title: Centre <pawns>
source: Club evening, 1901
at 2.exd5: mark target d5

1. e4 {The "first" step, *at last*.} 1... d5 (1... e5 2. Nf3 (2. Nc3 $14) 2... Nc6) (1... c5!?)
2. exd5 Qxd5 3. Nc3 $1 $22
```

```diagram main@2.exd5
caption: One *pawn* up
arrow attack: d8 d5
```

```diagram main@2...Qxd5
alt: The queen came out
view: black
```

```claims main@3.Nc3
d5 is attacked 1 time by White and guarded 0 times
d5 is hanging
believe: White stands well
```

```tags main
2...Qxd5 breaks look-twice
3.Nc3 punishes look-twice anyway "it hits <her>"
```

```exercise hit-her
board: main@2...Qxd5
task: Hit the "queen".
check: none because there are many ways
answer: 3. Nc3
wrong: 3. a3 | Too slow, 3...Qe4+ hurts.
hint: A knight can.
level: Harbour
```

```cards
main@1...d5 What now? | Take it.
```

```coach
SECRET-OF-THE-COACH
```
""",
    "lessons/02-pins.md": """---
title: Pins
needs: [forks]
practises: [look-twice]
letters: german
---

## More

```moves other
view: black

1. e4 e5 2. Nf3 Nc6
```

```moves later
from: other@2...Nc6

3. Bb5 a6
```
""",
    "lessons/03-bare.md": "---\ntitle: Without a board\n---\n\nOnly words.\n",
    "principles/look-twice.md": """---
title: Look twice
short: Look, then "look" again.
---

As in [this line](forks/main@2...Qxd5), see [the lesson](../lessons/01-forks.md).
""",
}
IMAGE: Final = Image(content=b"not looked at", width=40, height=30, kind="png")


def write_course(folder: Path) -> Path:
    for path, text in FILES.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    (folder / "images").mkdir()
    (folder / "images" / "board.png").write_bytes(IMAGE.content)
    return folder


def course_in(folder: Path) -> Course:
    report = Report()
    draft = read_course_folder(folder, report=report)
    assert draft is not None
    return assemble(draft, report=report)


def soup_of(site: dict[str, bytes], path: str) -> BeautifulSoup:
    return BeautifulSoup(site[path].decode(), "html.parser")


def one(soup: BeautifulSoup | Tag, selector: str) -> Tag:
    (found,) = soup.select(selector)
    return found


def pages(site: dict[str, bytes]) -> list[str]:
    return [path for path in site if path.endswith(".html")]
