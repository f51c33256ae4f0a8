"""The pages of a small course, read as a stranger would read them."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import chess
import pytest
from bs4 import BeautifulSoup, Tag

from plybook.course import Course, assemble
from plybook.diagnostics import Report
from plybook.site.fragments import fragments_of
from plybook.site.images import Image
from plybook.site.pages import build_lesson_page, build_pages
from plybook.site.policy import POLICY
from plybook.site.stepper import read_moves
from plybook.site.theme import load_theme
from plybook.text import read_course_folder
from site_lines import placement_of

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
d5 is attacked 1 time by White
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
PROGRAM: Final = """
import hashlib, sys
from pathlib import Path
from plybook.course import assemble
from plybook.diagnostics import Report
from plybook.site.pages import build_pages
from plybook.site.theme import load_theme
from plybook.text import read_course_folder

report = Report()
draft = read_course_folder(Path(sys.argv[1]), report=report)
files = build_pages(assemble(draft, report=report), load_theme("press"))
print(hashlib.sha256(repr(list(files.items())).encode()).hexdigest())
"""
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


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Course:
    return course_in(write_course(tmp_path_factory.mktemp("course")))


@pytest.fixture(scope="module")
def site(course: Course) -> dict[str, bytes]:
    return build_pages(course, load_theme("press"), images={"images/board.png": IMAGE})


@pytest.fixture(scope="module")
def lesson(site: dict[str, bytes]) -> BeautifulSoup:
    return soup_of(site, "lessons/forks.html")


def soup_of(site: dict[str, bytes], path: str) -> BeautifulSoup:
    return BeautifulSoup(site[path].decode(), "html.parser")


def one(soup: BeautifulSoup | Tag, selector: str) -> Tag:
    (found,) = soup.select(selector)
    return found


def pages(site: dict[str, bytes]) -> list[str]:
    return [path for path in site if path.endswith(".html")]


# ---------------------------------------------------------------------- the whole site


def test_every_page_and_file_of_the_site_is_there(site: dict[str, bytes]) -> None:
    assert sorted(path for path in site if not path.startswith("assets/")) == [
        "images/board.png",
        "index.html",
        "lessons/bare.html",
        "lessons/forks.html",
        "lessons/forks.pgn",
        "lessons/pins.html",
        "lessons/pins.pgn",
        "lines.html",
        "principles/index.html",
        "principles/look-twice.html",
        "sources.html",
    ]


def test_an_id_stands_once_on_a_page(site: dict[str, bytes]) -> None:
    for path in pages(site):
        ids = [tag["id"] for tag in soup_of(site, path).find_all(id=True)]
        assert len(ids) == len(set(ids))


def test_every_link_within_the_site_leads_somewhere(site: dict[str, bytes]) -> None:
    ids = {
        path: {str(tag["id"]) for tag in soup_of(site, path).find_all(id=True)}
        for path in pages(site)
    }
    for path in pages(site):
        for link in soup_of(site, path).select("a[href]"):
            address, _, fragment = str(link["href"]).partition("#")
            if address.startswith("https:"):
                continue
            joined = os.path.normpath(os.path.join(os.path.dirname(path), address))
            target = joined if address else path
            assert target in site, f"{path}: {link}"
            assert not fragment or fragment in ids[target], f"{path}: {link}"


def test_the_policy_is_the_first_thing_a_page_says(site: dict[str, bytes]) -> None:
    for path in pages(site):
        first, second = soup_of(site, path).select("head > *")[:2]
        assert first["charset"] == "utf-8"
        assert second["content"] == POLICY


def test_no_page_holds_what_its_policy_refuses(site: dict[str, bytes]) -> None:
    for path in pages(site):
        soup = soup_of(site, path)
        assert not soup.find_all(style=True)
        assert not soup.find_all("style")
        inline = [tag for tag in soup.find_all("script") if not tag.has_attr("src")]
        assert all(tag["type"] == "application/json" for tag in inline)


def test_no_byte_of_the_coachs_notes_is_published(site: dict[str, bytes]) -> None:
    assert not any(b"SECRET" in content for content in site.values())


def test_the_name_of_a_shared_file_holds_a_digest_of_it(site: dict[str, bytes]) -> None:
    digested = [path for path in site if path.endswith((".css", ".js", ".woff2"))]
    assert digested
    for path in digested:
        assert hashlib.sha256(site[path]).hexdigest()[:10] in path


def test_the_style_sheet_names_fonts_that_lie_beside_it(site: dict[str, bytes]) -> None:
    (sheet,) = [site[path].decode() for path in site if path.endswith(".css")]
    for path in site:
        if path.endswith(".woff2"):
            assert f'url("{path.removeprefix("assets/")}")' in sheet


def test_the_same_course_makes_the_same_bytes_whatever_the_hash_seed(tmp_path: Path) -> None:
    folder = write_course(tmp_path)
    found = set()
    for seed in ("1", "2"):
        environment = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
        }
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM, str(folder)],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout)
    assert len(found) == 1


def test_one_lesson_alone_has_the_bytes_it_has_in_the_whole_site(
    course: Course, site: dict[str, bytes]
) -> None:
    alone = build_lesson_page(
        course, load_theme("press"), "forks", images={"images/board.png": IMAGE}
    )
    assert alone == {path: site[path] for path in ("lessons/forks.html", "lessons/forks.pgn")}


# ---------------------------------------------------------------------- lines


def test_moves_stand_in_the_order_of_the_plies_with_their_fragments(
    course: Course, lesson: BeautifulSoup
) -> None:
    links = lesson.select("#l-main a[id]")
    line = course.lessons["forks"].lines["main"]
    assert [link["id"] for link in links] == list(fragments_of(line))
    assert [link["href"] for link in links] == [f"#{link['id']}" for link in links]


def test_sidelines_stand_between_paragraphs_of_the_main_line_in_lettered_asides(
    lesson: BeautifulSoup,
) -> None:
    section = one(lesson, "#l-main")
    parts = [
        tag for tag in section.find_all(["p", "aside"], recursive=False) if "lf" not in tag["class"]
    ]
    assert [tag.name for tag in parts] == ["p", "aside", "aside", "p"]
    assert [tag["data-letter"] for tag in section.select("aside")] == ["A", "B"]
    assert one(section, "aside .sub").text == "(2.\u202fNc3 White has a slight advantage)"


def test_black_is_numbered_after_a_remark_and_in_a_sideline(lesson: BeautifulSoup) -> None:
    texts = {str(tag["id"]): tag.text for tag in lesson.select("#l-main a.m")}
    assert texts["main@1...d5"] == "1…d5"
    assert texts["main@1...e5"] == "1…e5"
    assert texts["main@1...e5~2...Nc6"] == "2…Nc6"
    assert texts["main@2...Qxd5"] == "Qxd5"


def test_glyphs_are_signs_up_to_six_and_words_beyond(lesson: BeautifulSoup) -> None:
    move = one(lesson, "[id='main@3.Nc3']")
    assert move.text == "3.\u202fNc3!"
    assert [tag.text for tag in lesson.select("#l-main .n")] == [
        "White has a slight advantage",
        "White is in zugzwang",
    ]


def test_a_remark_is_running_text_with_its_markdown(lesson: BeautifulSoup) -> None:
    remark = one(lesson, "#l-main .c")
    assert remark.decode_contents() == "The “first” step, <em>at last</em>."


def test_the_page_carries_every_line_as_python_chess_plays_it(
    course: Course, lesson: BeautifulSoup
) -> None:
    data = json.loads(one(lesson, "#lesson-data").text)
    assert (data["course"], data["lesson"]) == ("harbour", "forks")
    (carried,) = data["lines"]
    line = course.lessons["forks"].lines["main"]
    placements, _ = read_moves(carried["from"], carried["moves"])
    assert len(carried["say"]) == len(line.plies) == len(placements) - 1
    for ply in line.plies:
        board = chess.Board()
        for index in line.path(ply.index):
            board.push_san(line.plies[index - 1].san)
        assert placements[ply.index] == placement_of(board)


def test_the_plate_opens_at_the_first_diagram(lesson: BeautifulSoup) -> None:
    data = json.loads(one(lesson, "#lesson-data").text)
    assert data["at"] == "main@2.exd5"
    men = {tag["data-s"]: tag["href"] for tag in lesson.select("#plate .men use")}
    board = chess.Board()
    for san in ("e4", "d5", "exd5"):
        board.push_san(san)
    assert len(men) == len(board.piece_map())
    assert men[str(chess.D5)] == "#p-wp"


def test_marked_places_have_their_sets_on_the_plate(lesson: BeautifulSoup) -> None:
    sets = lesson.select("#plate .set")
    assert [tag["data-at"] for tag in sets] == ["main@2.exd5"]


def test_a_lesson_without_lines_has_neither_plate_nor_pgn(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "lessons/bare.html")
    assert not soup.select("#plate")
    assert not soup.select("#lesson-data")
    assert not soup.select("svg.sprite")


# ---------------------------------------------------------------------- running text


def test_a_move_in_prose_leads_to_its_place_and_one_that_stands_nowhere_is_text(
    lesson: BeautifulSoup,
) -> None:
    first = one(lesson, "article > p:first-of-type")
    found = [(tag["href"], tag.text) for tag in first.select("a.m")]
    assert found == [("#main@1.e4", "1.\u202fe4"), ("#main@1...d5", "1…d5!")]
    assert "9.Nf3" in first.text


def test_links_are_those_of_the_site(lesson: BeautifulSoup) -> None:
    hrefs = {tag.text: tag["href"] for tag in lesson.select("article > p a")}
    assert hrefs["the end"] == "#main@3.Nc3"
    assert hrefs["the other lesson"] == "pins.html#other@2...Nc6"
    assert hrefs["a page"] == "../lessons/pins.html#h-more"
    assert hrefs["a rule"] == "../principles/look-twice.html"
    assert hrefs["a site"] == "https://example.org/x"


def test_an_image_leads_to_the_folder_of_images_with_its_size(lesson: BeautifulSoup) -> None:
    image = one(lesson, "article img")
    assert (image["src"], image["width"], image["height"]) == ("../images/board.png", "40", "30")


def test_the_letters_of_a_lesson_are_those_it_wishes_for(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "lessons/pins.html")
    assert one(soup, "[id='other@2.Nf3']").text == "2.\u202fSf3"


# ---------------------------------------------------------------------- the other blocks


def test_diagrams_are_numbered_and_say_where_they_stand(lesson: BeautifulSoup) -> None:
    first, second = lesson.select("figure.dg")
    assert (first["id"], second["id"]) == ("d-1", "d-2")
    assert one(first, "figcaption a")["href"] == "#main@2.exd5"
    assert "After 2.exd5" in one(first, "figcaption").text
    label = str(one(first, "svg.bd")["aria-label"])
    assert "Black to move" in label
    assert "d8 attacks d5" in label
    assert one(second, "svg.bd")["aria-label"] == "The queen came out"


def test_a_claim_is_printed_and_the_coachs_word_is_marked_as_such(lesson: BeautifulSoup) -> None:
    items = lesson.select("section.cl li")
    assert [one(item, ".said").text for item in items] == [
        "d5 is attacked 1 time by White",
        "White stands well",
    ]
    assert [tag.text for tag in lesson.select("section.cl .kn")] == ["the coach’s word"]


def test_tags_join_a_move_and_a_principle(lesson: BeautifulSoup) -> None:
    first, second = lesson.select("ul.tags li")
    assert [tag["href"] for tag in first.select("a")] == [
        "#main@2...Qxd5",
        "../principles/look-twice.html",
    ]
    assert "it hits <her>" in second.text


def test_an_exercise_hides_hints_and_answer_until_they_are_asked_for(
    lesson: BeautifulSoup,
) -> None:
    exercise = one(lesson, "#x-hit-her")
    assert one(exercise, ".task").text == "Hit the “queen”."
    hint, answer = exercise.select("details")
    assert "A knight can." in hint.text
    assert "3.\u202fNc3" in answer.text
    assert one(answer, ".wrong li").text == "3.\u202fa3 Too slow, 3…Qe4+ hurts."
    assert "Nc3" not in exercise.text.replace(answer.text, "")


def test_a_card_shows_its_board(lesson: BeautifulSoup) -> None:
    card = one(lesson, "section.cards li")
    assert one(card, ".q .cb svg.bd")
    assert "What now?" in one(card, ".q").text
    assert "Take it." in one(card, "details").text


# ---------------------------------------------------------------------- indexes


def test_a_principle_shows_the_moves_that_were_tagged_with_it(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "principles/look-twice.html")
    examples = soup.select(".shown li")
    assert [one(item, "a.in")["href"] for item in examples] == [
        "../lessons/forks.html#main@2...Qxd5",
        "../lessons/forks.html#main@3.Nc3",
    ]
    about = one(soup, ".about")
    assert {tag["href"] for tag in about.select("a")} == {
        "../lessons/forks.html",
        "../lessons/pins.html",
    }


def test_a_reference_on_a_principle_page_leads_to_its_lesson(site: dict[str, bytes]) -> None:
    article = one(soup_of(site, "principles/look-twice.html"), "article")
    assert [tag["href"] for tag in article.select("a")] == [
        "../lessons/forks.html#main@2...Qxd5",
        "../lessons/forks.html",
    ]


def test_lines_and_shared_positions_are_listed(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "lines.html")
    links = {str(tag["href"]) for tag in soup.select("a")}
    assert {"lessons/forks.html#l-main", "lessons/pins.html#l-other"} <= links


def test_a_game_stands_on_the_page_of_sources(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "sources.html")
    assert "Club evening, 1901" in soup.text
    assert load_theme("press").credits[0] in soup.text


def test_lessons_follow_one_another(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "lessons/pins.html")
    assert one(soup, "a[rel=prev]")["href"] == "forks.html"
    assert "Part one" in one(soup, ".meta").text
