"""A trial course in German with every kind of block, for what a page says by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from plybook.course import Course, assemble
from plybook.diagnostics import Report
from plybook.site.pages.build import build_pages
from plybook.site.pages.theme import load_theme
from plybook.text import read_course_folder

__all__ = ["FILES", "course_in", "course_of", "site_of"]

FILES: Final = {
    "course.yaml": """title: Hafenkurs
id: hafen
language: de
letters: language
club: Jugend Tidemark
author: die Jugendabteilung
licence: CC BY 4.0
levels: [Stapellauf]
""",
    "lessons/01-mitte.md": """---
title: Die Mitte zuerst
level: Stapellauf
minutes: 20
teaches: [einmal, heraus]
changed: 2026-03-01
---

Wir sehen 2.Nf3 und danach 4.Ng5.[^1]

[^1]: Ein Satz am Rand.

```moves haupt
source: Vereinsabend, 1901
at 4.Ng5: arrow attack g5 f7
at 4.Ng5: mark hanging f7

1. e4 e5 2. Nf3 Nc6 3. Bc4 $10 Nf6 4. Ng5 $14 d5 (4... Bc5 5. Bxf7+ $17 Ke7 $146) 5. exd5
```

```moves matt
title: Ein schneller Schluss

1. f3 e5 2. g4 Qh4# $18
```

```diagram haupt@4.Ng5
caption: Der Springer springt
arrow attack: g5 f7
arrow plan: g5 f7
mark hanging: f7
```

```claims haupt@4.Ng5
f7 is attacked 2 times by White and guarded 1 time
believe: White stands well
```

```tags haupt
4.Ng5 breaks einmal anyway "es geht um f7"
2.Nf3 obeys heraus
```

```exercise los
board: haupt@4.Ng5
task: Rette den Bauern.
check: none because es gibt mehrere Wege
answer: 4... d5
wrong: 4... h6 | Dann kommt 5.Nxf7.
hint: In der Mitte.
hint: Ein Bauer hilft.
level: Stapellauf
```

```cards
haupt@4.Ng5 Was greift der Springer an? | Den Punkt vor dem Monarchen.
```
""",
    "lessons/02-wieder.md": """---
title: Noch einmal
needs: [mitte]
practises: [heraus]
---

```moves zwei
1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6 5. d4 exd4 6. e5 d5 7. exf6 dxc4 8. Re1+ Be6 9. Ng5 Qd5
```
""",
    "principles/heraus.md": """---
title: Alle heraus
short: Jeder will spielen.
since: Herbst
kept_by: [develops]
---

Satz.
""",
    "principles/einmal.md": """---
title: Nur einmal
short: Nicht zweimal laufen.
broken_by: [same-man-again]
justified_by: [threatens]
punished_by: [wins-material, gives-mate]
---

Satz.
""",
}


def course_in(folder: Path, files: dict[str, str]) -> Course:
    """Return a course of these files, written into a folder; a fault in them is a failure."""
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    report = Report()
    draft = read_course_folder(folder, report=report)
    assert draft is not None
    course = assemble(draft, report=report)
    assert not report.sorted(), report.sorted()
    return course


def course_of(folder: Path, language: str) -> Course:
    """Return the trial course as if it were in another language."""
    files = dict(FILES)
    files["course.yaml"] = files["course.yaml"].replace("language: de", f"language: {language}")
    return course_in(folder, files)


def site_of(course: Course) -> dict[str, bytes]:
    """Return the pages of a course."""
    return build_pages(course, load_theme("press"))
