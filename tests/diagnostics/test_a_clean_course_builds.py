"""A course in which nothing is at fault builds: the strict reader of pages finds nothing either.

Lessons are put together by chance, from a fixed seed, out of what Markdown and our blocks make of
things. Whatever is at fault must be said by `check`; the rest must make a fair site.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import BASE, COURSE, LESSON, PICTURE, PRINCIPLE, write
from helpers import under
from plybook.desk.work import CHECK, Work, draw_pages, run
from plybook.diagnostics import Report, shown
from plybook.site.inspection.validate import validate
from plybook.text.lesson import read_lesson

#: Courses a part, and how many of them at least must be clean for the part to say something.
COURSES: Final = 24
ENOUGH: Final = 6

MARKS: Final = (
    "*", "**", "_", "`", "``", "~~", "[", "]", "(", ")", "{", "}", "|", "#", "$", "<", ">", "&",
    "\\", "'", '"', "--", "---", "...", "…", "://", "%41", "%", "@", "!", "^",
)  # fmt: skip
LINKS: Final = (
    "](#h-one)", "](main@2.Nf3)", "](https://club.example)", "](HTTPS://u@club.example)",
    "](mailto:coach@club.example)", "](02-b.md)", "](../principles/centre.md#h-early)",
    "](<02-b.md#x y>)", "![board](../images/board.png)", "![view](<../images/a b.png>)",
    "![half](../images/50%25.png)", "![sign](../images/q%23%26'.png)", "![a^[note]](x.png)",
    "<https://club.example>", "<coach@club.example>", "[ref]", "[ref][]",
    '\n\n[ref]: https://club.example "t"\n\n', "[one ^[two]](02-b.md)",
)  # fmt: skip
NOTES: Final = ("^[", "^[why 2.Nf3]", "[^1]", "[^1]", "\n\n[^1]: note 2.Nf3\n\n", "[^2]", "[^a b]")
ROWS: Final = (
    "\n", "\n\n", "\n> ", "\n- ", "\n1. ", "\n    ", "\n\t", "\n## ", "\n# One\n", "\n###### ",
    "\n---\n", "\n===\n", "\n\n| a | b |\n|:-|-:|\n| c | d |\n\n", "\n\nTerm\n: means\n\n", "  \n",
)  # fmt: skip
WORDS: Final = (
    "word", "é", "王手", "😀", "\u0301", "\u200b", "\u00ad", "\u00a0", "\u202f", "&amp;", "&#1;",
    "&#x80;", "&lt;", "&nbsp;", "&notit;", "<b>", "</b>", "<!--", "-->", "1.e4", "1...e5!",
    "2.Nf3 Nc6 3.Bb5", "2. Nf3", "2…Nc6", "x" * 50, "\nref: x\n",
)  # fmt: skip
SPOKEN: Final = (
    "{c *x* [l](main@start) ^[f]}", "{[^1]}", "{![b](../images/board.png)}", "{<b>&#1;}", "{# h}",
    '{"q" -- ... \'s}', "{`code`}", "{a\\\nb}", "{2.Nf3 [x](02-b.md)}", "{[x]: y}", "!", "$14",
)  # fmt: skip
MOVES: Final = ("1. e4", "e5", "2. Nf3", "Nc6", "(2... d6 3. d4)", "3. Bb5", "a6")


class Coach:
    """Writes lessons by chance; the same seed writes the same ones."""

    def __init__(self, seed: int) -> None:
        self._by_chance = random.Random(seed)

    def text(self, most: int) -> str:
        pick = self._by_chance.choice
        kinds = (MARKS, LINKS, NOTES, ROWS, WORDS, WORDS, WORDS)
        count = self._by_chance.randint(0, most)
        return "".join(pick(pick(kinds)) + pick(("", " ", " ")) for _ in range(count))

    def row(self, most: int) -> str:
        return "plain " + " ".join(self.text(most).split())

    def movetext(self) -> str:
        words = list(MOVES)
        for _ in range(self._by_chance.randint(0, 3)):
            words.insert(self._by_chance.randint(2, len(words)), self._by_chance.choice(SPOKEN))
        return " ".join(words)

    def block(self, name: str) -> str:
        pick = self._by_chance.choice
        body = pick(
            (
                f"moves {name}\ntitle: {self.row(4)}\nsource: {self.row(3)}\n\n{self.movetext()}",
                f"moves {name}\n{self.movetext()}",
                f"diagram main@2.Nf3\ncaption: {self.row(6)}\nalt: {self.row(3)}\nmark target: e5",
                f"diagram main@end\ncaption: {self.row(6)}\narrow move: e2 e4",
                f"cards\n{self.row(4)} | {self.row(4)}\nmain@2.Nf3 {self.row(3)} | {self.row(2)}",
                f"exercise {name}\nboard: main@2.Nf3\ntask: {self.row(5)}\n"
                f"check: none because {self.row(3)}\nanswer: 2... Nc6\nhint: {self.row(4)}",
                f'tags main\n2.Nf3 obeys centre anyway "{self.row(2)}"',
                f"claims main@2.Nf3\nbelieve: {self.row(4)}",
                f"coach\n{self.row(5)}",
                f"{pick(('', 'py', 'x y'))}\n{self.row(6)}",
            )
        )
        fence = pick(("```", "~~~", "````"))
        before = pick(("", "", "> ", "  "))
        return "\n".join(before + line for line in f"{fence}{body}\n{fence}".split("\n"))

    def lesson(self, *, has_line: bool) -> str:
        parts = ["# One"]
        if has_line:
            parts.append("```moves main\n1. e4 e5 2. Nf3 Nc6 (2... d6 3. d4) 3. Bb5\n```")
        for at in range(self._by_chance.randint(1, 4)):
            is_block = has_line and self._by_chance.random() < 0.5
            parts.append(self.block(f"x{at}") if is_block else self.text(7))
        title = self.row(3).replace("\\", "").replace('"', "")
        return f'---\ntitle: "{title}"\nteaches: [centre]\n---\n\n' + "\n\n".join(parts) + "\n"


def course(folder: Path, coach: Coach) -> Path:
    pictures = {f"images/{name}.png": BASE[PICTURE] for name in ("a b", "50%", "q#&'")}
    lessons = {
        "lessons/01-example.md": coach.lesson(has_line=True),
        "lessons/02-b.md": coach.lesson(has_line=False),
    }
    principle = (
        "---\ntitle: Centre\nshort: Take it.\n---\n\n[here](../lessons/02-b.md)\n\n## Early\n"
    )
    return write(folder, {COURSE: "title: T\n", PRINCIPLE: principle, **pictures, **lessons})


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_course_without_an_error_builds(tmp_path: Path, seed: int) -> None:
    coach = Coach(seed)
    clean = 0
    for at in range(COURSES):
        folder = course(tmp_path / str(at), coach)
        work = run(CHECK, Work(folder=folder))
        if work.report.errors:
            continue
        clean += 1
        problems = validate(draw_pages(work).files)
        assert problems == (), (folder / "lessons/01-example.md").read_text(encoding="utf-8")
    assert clean >= ENOUGH


def test_html_that_is_shown_is_found_where_it_stands() -> None:
    """What the message quotes is what lies under its span, in footnotes and tables as elsewhere."""
    found = 0
    coach = Coach(5)
    for _ in range(150):
        report = Report()
        text = coach.lesson(has_line=True)
        read_lesson(text, slug="example", file=LESSON, report=report)
        for fault in report.sorted():
            if fault.code == "raw-html":
                found += 1
                assert fault.message.startswith(f"`{shown(under(fault.span, text))}` is shown"), (
                    text
                )
    assert found >= 20
