"""The page of all claims: whole in itself, readable, and never more certain than the verdicts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from diagnostics.run import plybook

LESSON = """---
title: Claims <b>&amp; more
---

```moves open
1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. Ng5
```

```claims open@4.Ng5
f7 is attacked 2 times by White and guarded 1 time
f7 is loose
believe: <script>alert(1)</script> & so on
```

```claims open@3.Bc4
3...Nf6 wins 1 or more, depth 1
```
"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("course")
    (folder / "lessons").mkdir()
    (folder / "course.yaml").write_text('title: "Trial & <error>"\n', encoding="utf-8")
    (folder / "lessons/01-claims.md").write_text(LESSON, encoding="utf-8")
    ran = plybook("verdicts", folder, "--format", "html")
    assert (ran.code, ran.err) == (1, "")
    return ran.out


def rows(page: str) -> list[list[str]]:
    soup = BeautifulSoup(page, "html.parser")
    return [
        [cell.get_text(" ", strip=True) for cell in row.find_all("td")]
        for row in soup.select("tbody tr:has(td)")
    ]


def test_every_claim_has_a_row_with_its_sign_reach_and_evidence(page: str) -> None:
    found = rows(page)
    assert [known for known, _ in found] == [
        "✓ proved",
        "✗ false",
        "“ coach’s word",
        "✗ false to depth 1",
    ]
    assert "attacked 2 times from" in found[0][1]
    assert found[2][1] == "believe: <script>alert(1)</script> & so on"


def test_claims_stand_under_their_lesson_and_place(page: str) -> None:
    soup = BeautifulSoup(page, "html.parser")
    (heading,) = soup.find_all("h2")
    assert heading.get_text(" ", strip=True) == "Claims <b>&amp; more lessons/01-claims.md"
    places = [place.get_text() for place in soup.select("th[scope=rowgroup]")]
    assert places == ["open@4.Ng5", "open@3.Bc4"]


def test_the_page_is_one_file_without_script_or_address(page: str) -> None:
    soup = BeautifulSoup(page, "html.parser")
    assert not soup.find_all(["script", "link", "img", "iframe", "a", "object"])
    assert not re.search(r"https?:|url\(|@import", page)
    policy = soup.select_one('meta[http-equiv="Content-Security-Policy"]')
    assert policy is not None
    assert "default-src 'none'" in str(policy["content"])


def test_the_page_names_its_language_and_its_title_once(page: str) -> None:
    soup = BeautifulSoup(page, "html.parser")
    assert soup.html is not None
    assert soup.html["lang"] == "en"
    assert soup.title is not None
    assert soup.title.get_text() == "Claims of Trial & <error>"
    assert [heading.get_text() for heading in soup.find_all("h1")] == ["Claims of Trial & <error>"]


def test_a_course_without_claims_says_so(tmp_path: Path) -> None:
    (tmp_path / "lessons").mkdir()
    (tmp_path / "course.yaml").write_text("title: Trial\n", encoding="utf-8")
    (tmp_path / "lessons/01-none.md").write_text("---\ntitle: None\n---\n", encoding="utf-8")
    ran = plybook("verdicts", tmp_path, "--format", "html")
    assert ran.code == 0
    assert "No lesson claims anything yet." in ran.out
