"""Sheets and keys as documents: what stands on them, what must not, and the code they share."""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag

from paper.trial import course_with, demo_course, mixed_papers, papers_of
from plybook.course import Course
from plybook.site.paper.layout import PER_PAGE, ROOM

SLUGS = ("gates", "ladders")


@pytest.fixture
def trial(tmp_path: Path) -> Course:
    return course_with(tmp_path)


def text_of(soup: Tag, selector: str) -> list[str]:
    return [" ".join(found.get_text(" ").split()) for found in soup.select(selector)]


def tight(text: str) -> str:
    """A text without any space: figurines and number spaces part what is one move."""
    return "".join(text.split())


# ---------------------------------------------------------------------- the sheet


def test_a_sheet_holds_each_exercise_in_order_with_number_task_and_lines(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    assert text_of(sheet, ".it .nr") == ["1", "2", "3", "4"]
    assert text_of(sheet, ".it .task") == [
        "Find the “mate”.",
        "True or false? One man alone attacks f7.",
        "Bring a knight out.",
        "How many white men attack f7?",
    ]
    assert all(item.select(".write .ln") for item in sheet.select(".it"))
    assert all(len(item.select("svg title")) == 1 for item in sheet.select(".it"))


def test_the_side_to_move_is_told_by_word_and_by_mark(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    told = [
        (" ".join(turn.get_text().split()), circle["fill"])
        for turn in sheet.select(".it .turn")
        for circle in turn.select("circle")
    ]
    white, black = ("White to move", "#fff"), ("Black to move", "#000")
    assert told == [white, black, black, black]


def test_an_answer_begins_with_its_move_number(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    assert [item.select(".ln")[0].get_text() for item in sheet.select(".it")] == [
        "4.",
        "",
        "2…",
        "",
    ]


def test_a_true_or_false_task_has_two_boxes_and_a_count_has_none(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    assert text_of(sheet, ".tick") == ["True False"]
    assert len(sheet.select(".tick .box")) == 2


def test_stars_count_the_level_of_the_exercise_or_else_of_its_lesson(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    stars = [
        [path["fill"] for path in item.select(".stars path")].count("#000")
        for item in sheet.select(".it")
    ]
    assert stars == [3, 1, 1, 2]  # Mast, twice the lesson's Quay, Deck
    assert text_of(sheet, ".lv") == ["Mast", "Quay", "Quay", "Deck"]
    assert papers_of(trial, "ladders")["sheet"].select(".stars") == []


def test_a_sheet_asks_for_name_and_date_once(trial: Course) -> None:
    sheet = papers_of(trial, "gates")["sheet"]
    assert text_of(sheet, ".blank") == ["Name", "Date"]


@pytest.mark.parametrize("slug", demo_course().lessons)
def test_a_sheet_gives_no_answer_no_hint_and_no_wrong_try_away(slug: str) -> None:
    course = demo_course()
    papers = papers_of(course, slug)
    if "sheet" not in papers:
        pytest.skip("this lesson has no exercise")
    keys = papers["key"].select(".k")
    items = papers["sheet"].select(".it")
    assert len(keys) == len(items) > 0
    for key, item in zip(keys, items, strict=True):
        shown = tight(item.get_text())
        for said in text_of(key, ".said"):  # a count is a word of its own or stands nowhere
            assert not re.search(
                rf"\b{re.escape(said)}\b", " ".join(text_of(item, ".task, .write"))
            )
        for part in key.select(".ans .mt, .wrong .mt, .hints li, .wrong li"):
            assert tight(part.get_text()) not in shown


@pytest.mark.parametrize("wanted", [4, 6, 8])
def test_a_page_holds_as_many_exercises_as_are_asked_for(wanted: int) -> None:
    """Or the next fewer, where a task of the sheet is too long for so small a place."""
    course = demo_course()
    sheet = mixed_papers(course, *list(course.lessons)[:3], per_page=wanted)["sheet"]
    longest = max(len(task) for task in text_of(sheet, ".task"))
    held = max(n for n in PER_PAGE if n <= wanted and longest <= ROOM[n])
    assert all(len(page.select(".it")) <= held for page in sheet.select(".pg"))
    assert len(sheet.select(".pg")) == -(-len(sheet.select(".it")) // held)


def test_pages_say_their_number_and_how_many_there_are() -> None:
    sheet = mixed_papers(demo_course())["sheet"]
    pages = len(sheet.select(".pg"))
    assert pages > 1
    assert text_of(sheet, ".fo") == [f"Page {at} of {pages}" for at in range(1, pages + 1)]


def test_a_long_task_gets_a_larger_place(tmp_path: Path) -> None:
    long = "Bring a knight out. " * 6
    course = course_with(tmp_path, gates=("Bring a knight out.", long))
    assert papers_of(course, "gates", per_page=8)["sheet"].select(".pg.n6")


# ---------------------------------------------------------------------- the key


def test_a_key_holds_solutions_wrong_tries_with_why_and_reply_and_hints(trial: Course) -> None:
    key = papers_of(trial, "gates")["key"]
    assert [tight(text) for text in text_of(key, ".ans")] == [
        "4.Qxf7#",
        "2…Nf63.d3quietandsound3…Bc5",
        "or2…Nc6",
    ]
    assert text_of(key, ".said") == ["False. The bishop looks at it as well.", "2"]
    assert [tight(text) for text in text_of(key, ".wrong li")] == [
        tight("4. Bxf7+ A check, and the king walks off."),
        tight("4. Qxe5+ A pawn with check. Reply: 4…Nxe5. That loses 8 points."),
    ]
    assert len(key.select(".k")[0].select(".hints li")) == 2


def test_a_key_says_where_the_coachs_judgement_stands_for_a_proof(trial: Course) -> None:
    key = papers_of(trial, "gates")["key"]
    (known,) = key.select(".k")[2].select(".known")
    assert known.get_text().endswith("the coach’s word: many moves do it")


def test_the_numbers_and_boards_of_the_key_are_those_of_the_sheet(trial: Course) -> None:
    papers = papers_of(trial, "gates")
    for selector in (".nr", ".task", "svg title"):
        assert text_of(papers["key"], selector) == text_of(papers["sheet"], selector)


# ---------------------------------------------------------------------- the code


def codes_of(papers: dict[str, BeautifulSoup]) -> set[str]:
    return {code for paper in papers.values() for code in text_of(paper, ".run .code")}


def test_sheet_key_and_cards_carry_one_code_on_every_page(trial: Course) -> None:
    papers = papers_of(trial, "gates")
    assert papers.keys() == {"sheet", "key", "cards"}
    (code,) = codes_of(papers)
    assert re.fullmatch(r"[2-9A-HJ-NP-Z]{3}-[2-9A-HJ-NP-Z]{3}", code)
    for kind in ("sheet", "cards"):
        pages = papers[kind].select(".pg")
        assert pages
        assert all(page.select(".run .code") for page in pages)
    assert papers["key"].select("thead .run .code")  # the head of a table, repeated in print
    assert set(text_of(papers["cards"], ".tag span")) == {code}


CHANGES = {
    "an answer": ("answer: 2... Nc6", "answer: 2... Bc5"),
    "a remark in an answer": ("{quiet *and* sound}", "{quiet}"),
    "a task": ("Bring a knight out.", "Bring out a knight."),
    "feedback": ("A check, and the king walks off.", "A check. The king walks off."),
    "a hint": ("hint: Follow the lines.", "hint: Follow each line."),
    "a level": ("level: Mast", "level: Deck"),
    "a card": ("The pawn on f7.\n", "The f-pawn.\n"),
    "the position": ("board: main@2.Bc4", "board: main@1.e4"),
    "the order": ("exercise the-gate", "exercise one-gate"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_the_code_changes_with(change: str, trial: Course, tmp_path: Path) -> None:
    if change == "the position":
        change_of = (
            "board: main@2.Bc4\ntask: Bring a knight out.\ncheck: none because many moves do it\n"
            "answer: 2... Nf6 3. d3 {quiet *and* sound} 3... Bc5\nanswer: 2... Nc6",
            "board: main@1...e5\ntask: Bring a knight out.\ncheck: none because many moves do it\n"
            "answer: 2. Nf3",
        )
    else:
        change_of = CHANGES[change]
    changed = course_with(tmp_path / "changed", gates=change_of)
    assert codes_of(papers_of(changed, "gates")) != codes_of(papers_of(trial, "gates"))


@pytest.mark.parametrize(
    "change",
    [("Some words.", "Some other words.\n\nAnd more."), ("Two ways in", "Two ways")],
    ids=["the text around it", "the subtitle"],
)
def test_the_code_does_not_change_with(
    change: tuple[str, str], trial: Course, tmp_path: Path
) -> None:
    changed = course_with(tmp_path / "changed", gates=change)
    assert codes_of(papers_of(changed, "gates")) == codes_of(papers_of(trial, "gates"))


# ---------------------------------------------------------------------- mixed


def test_a_mixed_sheet_names_no_lesson_and_the_key_does(trial: Course) -> None:
    papers = mixed_papers(trial, *SLUGS)
    shown = papers["sheet"].get_text()
    assert "Gates" not in shown
    assert "Ladders" not in shown
    assert sorted(text_of(papers["key"], ".from")) == ["Gates & ladders"] * 4 + ["Ladders"]


def test_a_mixed_sheet_is_shuffled_the_same_way_each_time() -> None:
    course = demo_course()
    tasks = text_of(mixed_papers(course)["sheet"], ".task")
    plain = [
        text
        for slug in course.lessons
        if "sheet" in (papers := papers_of(course, slug))
        for text in text_of(papers["sheet"], ".task")
    ]
    assert sorted(tasks) == sorted(plain)
    assert tasks != plain
    assert tasks == text_of(mixed_papers(course, *reversed(course.lessons))["sheet"], ".task")


# ---------------------------------------------------------------------- the file


@pytest.mark.parametrize("theme", ["press", "slate"])
@pytest.mark.parametrize("kind", ["sheet", "key", "cards"])
def test_a_paper_needs_nothing_beside_it(trial: Course, kind: str, theme: str) -> None:
    paper = papers_of(trial, "gates", theme=theme)[kind]
    assert paper.select("script, link, img, iframe, [src], [style]") == []
    (style,) = paper.select("style")
    digest = b64encode(sha256(style.get_text().encode()).digest()).decode()
    first, policy = paper.select("head > *")[:2]
    assert first["charset"] == "utf-8"
    assert policy["http-equiv"] == "Content-Security-Policy"
    assert f"style-src 'sha256-{digest}'" in str(policy["content"])
    assert "default-src 'none'" in str(policy["content"])
    addresses = re.findall(r"url\(\"?([a-z]*:?)", style.get_text())
    assert set(addresses) <= {"data:"}


@pytest.mark.parametrize("kind", ["sheet", "key", "cards"])
def test_each_board_has_its_own_drawings_under_its_own_ids(trial: Course, kind: str) -> None:
    paper = papers_of(trial, "gates")[kind]
    ids = [str(element["id"]) for element in paper.select("[id]")]
    assert len(ids) == len(set(ids))
    boards = [svg for svg in paper.select("svg") if svg.title]
    assert boards
    for board in boards:
        own = {str(element["id"]) for element in board.select("[id]")}
        used = {str(element["href"])[1:] for element in board.select("use[href]")}
        used |= {str(element["clip-path"])[5:-1] for element in board.select("[clip-path]")}
        assert used
        assert used <= own
        assert board.select("[class]:not(g)") == []  # page styles do not reach it on paper
