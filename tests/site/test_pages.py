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
from bs4 import BeautifulSoup

from plybook.course import Course
from plybook.site.pages.build import build_lesson_page
from plybook.site.pages.policy import POLICY
from plybook.site.pages.theme import load_theme
from plybook.site.wording.fragments import fragments_of
from plybook.site.wording.stepper import read_moves
from site_lines import placement_of
from small_course import IMAGE, one, pages, soup_of, write_course

PROGRAM: Final = """
import hashlib, sys
from pathlib import Path
from plybook.course import assemble
from plybook.diagnostics import Report
from plybook.site.pages.build import build_pages
from plybook.site.pages.theme import load_theme
from plybook.text import read_course_folder

report = Report()
draft = read_course_folder(Path(sys.argv[1]), report=report)
files = build_pages(assemble(draft, report=report), load_theme("press"))
print(hashlib.sha256(repr(list(files.items())).encode()).hexdigest())
"""


# ---------------------------------------------------------------------- the whole site


def test_every_page_and_file_of_the_site_is_there(site: dict[str, bytes]) -> None:
    assert sorted(path for path in site if not path.startswith("assets/")) == [
        "course.pgn",
        "images/board.png",
        "index.html",
        "lessons/bare.html",
        "lessons/forks.html",
        "lessons/forks.pgn",
        "lessons/pins.html",
        "lessons/pins.pgn",
        "lines.html",
        "my-work.html",
        "plan.html",
        "principles/index.html",
        "principles/look-twice.html",
        "room/forks.html",
        "room/pins.html",
        "search.html",
        "sources.html",
        "warm-up.html",
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
    (sheet,) = [site[path].decode() for path in site if "/style-" in path]
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
