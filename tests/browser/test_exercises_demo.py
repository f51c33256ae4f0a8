"""Every exercise of the demo course is solved on its page by the coach's own answer."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from browser.reader import Reader
from browser.tools import ROOT

SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
LESSONS = sorted(path.stem.partition("-")[2] for path in (ROOT / "curriculum/lessons").glob("*.md"))
MEN = {"q": "queen", "r": "rook", "b": "bishop", "n": "knight"}


def tables(reader: Reader) -> dict[str, Any]:
    found = reader.all(
        "[...document.querySelectorAll('script.xd')].map((one) => [one.id, one.textContent])"
    )
    return {ident.removeprefix("xd-"): json.loads(text) for ident, text in found}


def solve(reader: Reader, name: str, data: Any) -> None:
    section = reader.page.locator(f"#x-{name}")
    if "answers" in data:
        (answer, *_) = data["answers"]
        if answer in ("true", "false"):
            section.locator(f"[data-say={answer}]").click()
        else:
            section.locator("input").fill(answer)
            section.locator(".xplay").click()
        return
    turn = 0
    while True:
        rows = [row.split(",") for row in data["turns"][turn][1].split(" ")]
        move, *fields = next(row for row in rows if row[2:3] == ["k"])
        for sign in move[:2]:
            section.locator(f'.sq[data-s="{SIGNS.index(sign)}"]').click()
        if move[2:3] == "=":
            section.get_by_role("button", name=MEN[move[3].lower()], exact=True).click()
        if len(fields) < 6 or not fields[5]:
            return
        turn = int(fields[5])


@pytest.mark.parametrize("slug", LESSONS)
def test_the_coachs_answer_solves_it(press: Reader, slug: str) -> None:
    press.open(f"lessons/{slug}.html")
    found = tables(press)
    assert found
    for name, data in found.items():
        solve(press, name, data)
        said = press.page.locator(f"#x-{name} output").inner_text()
        assert said.endswith("Solved."), (name, said)


def test_the_demo_course_has_many_exercises(sites: dict[str, Path]) -> None:
    pages = [(sites["press"] / f"lessons/{slug}.html").read_text("utf-8") for slug in LESSONS]
    assert sum(page.count('class="xd"') for page in pages) >= 30
