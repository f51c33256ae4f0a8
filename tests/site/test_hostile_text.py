"""Whatever text a course holds, its pages hold no element, attribute or address made of it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest
from bs4 import BeautifulSoup

from plybook.course import assemble
from plybook.diagnostics import Report
from plybook.site.pages.build import build_pages
from plybook.site.pages.theme import load_theme
from plybook.text import read_course_folder

PAYLOADS: Final = (
    pytest.param("\"><script>alert(1)</script><b onclick='alert(1)'>", id="out of an attribute"),
    pytest.param("</script><!--<script>", id="out of the data"),
    pytest.param("</title></svg></details><img src=x onerror=alert(1)>", id="out of an element"),
    pytest.param("{{ 7 * 7 }}{% raw %}", id="a template"),
    pytest.param("[x](javascript:alert(1)) ![y](data:image/png;base64,AA)", id="an address"),
    pytest.param("'\"`&lt;&#60;", id="signs and entities"),
)

LESSON: Final = """---
title: '{quoted}'
subtitle: '{quoted}'
teaches: [rule]
---

# {text}

{text} [{text}](main@1.e4 "{text}")

```moves main
title: {text}
source: {text}

1. e4 {{{text}}} e5
```

```diagram main@1.e4
caption: {text}
alt: {text}
```

```claims main@1.e4
believe: {text}
```

```tags main
1.e4 obeys rule anyway "{text}"
```

```exercise find
board: main@1.e4
task: {text}
check: none because {text}
answer: 1... e5
wrong: 1... a6 | {text}
hint: {text}
```

```cards
{text} | {text}
```

```{text}
{text}
```
"""


@pytest.mark.parametrize("payload", PAYLOADS)
def test_text_stays_text_wherever_it_stands(payload: str, tmp_path: Path) -> None:
    quoted = payload.replace("'", "''")
    for folder in ("lessons", "principles"):
        (tmp_path / folder).mkdir()
    (tmp_path / "course.yaml").write_text(
        f"title: '{quoted}'\nid: hostile\nlanguage: en\nclub: '{quoted}'\nlicence: '{quoted}'\n",
        encoding="utf-8",
    )
    lesson = LESSON.format(text=payload.replace("}", ")").replace("{", "("), quoted=quoted)
    (tmp_path / "lessons" / "01-test.md").write_text(lesson, encoding="utf-8")
    (tmp_path / "principles" / "rule.md").write_text(
        f"---\ntitle: '{quoted}'\nshort: '{quoted}'\nsince: '{quoted}'\n---\n\n{payload}\n",
        encoding="utf-8",
    )
    report = Report()
    draft = read_course_folder(tmp_path, report=report)
    assert draft is not None
    site = build_pages(assemble(draft, report=report), load_theme("press"))
    assert "lessons/test.html" in site
    for path, content in site.items():
        if path.endswith(".html"):
            assert_harmless(content.decode())


def assert_harmless(page: str) -> None:
    soup = BeautifulSoup(page, "html.parser")
    scripts = soup.find_all("script")
    assert all(
        str(tag["src"]).removeprefix("../").startswith("assets/")
        if tag.has_attr("src")
        else tag["type"] == "application/json"
        for tag in scripts
    )
    assert len(scripts) == page.count("</script>")  # none is hidden in another
    assert not soup.find_all(["iframe", "object", "embed", "base", "form", "style", "img"])
    assert soup.title is not None
    assert len(soup.find_all("title")) == 1
    for tag in soup.find_all(True):
        assert not [name for name in tag.attrs if name.startswith("on") or name == "style"]
        for name in ("href", "src"):
            address = str(tag.get(name, ""))
            assert ":" not in address.partition("#")[0].partition("/")[0]
    assert "49" not in soup.title.text
