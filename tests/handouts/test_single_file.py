"""One HTML file, alone in its folder: it asks for nothing, says nothing, and steps through all."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Browser, expect

from browser.reader import Reader, reading
from browser.told import ToldLesson, read_told
from plybook.desk.work import Work
from plybook.site.handouts.leaves import Rewriter
from plybook.site.handouts.single_file import course_page, lesson_page

PHONE = {"width": 390, "height": 844}

# A file with all pages takes long to open on a machine that has other work to do.
expect.set_options(timeout=30_000)


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory, work: Work, trial_work: Work) -> Path:
    """A folder for each file, with nothing beside it."""
    folder = tmp_path_factory.mktemp("alone")
    assert work.course is not None
    assert trial_work.course is not None
    for name, content in {
        "course": course_page(work.course, work.files),
        "lesson": lesson_page(work.course, work.files, "queen-waits"),
        "trial": course_page(trial_work.course, trial_work.files),
        "special": lesson_page(trial_work.course, trial_work.files, "special"),
    }.items():
        (folder / name).mkdir()
        (folder / name / "page.html").write_bytes(content)
    return folder


@pytest.fixture
def course(browser: Browser, alone: Path) -> Iterator[Reader]:
    """A reader of the whole demo course on a phone."""
    with reading(browser, alone / "course", viewport=PHONE) as reader:
        yield reader


@pytest.fixture
def lesson(browser: Browser, alone: Path) -> Iterator[Reader]:
    with reading(browser, alone / "lesson", viewport=PHONE) as reader:
        yield reader


@pytest.fixture(scope="module")
def told(trial_folder: Path) -> Mapping[str, ToldLesson]:
    return {one.slug: one for one in read_told(trial_folder)}


def soup_of(path: Path) -> BeautifulSoup:
    return BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")


def walk(reader: Reader, told_lesson: ToldLesson) -> list[str]:
    """Return the places reached by the button; each shows what python-chess computes."""
    lead = f"lessons/{told_lesson.slug}/"
    reached = []
    for line in told_lesson.lines:
        for begin in (line.start, *line.branches()):
            reader.follow(lead + begin.fragment)
            reader.focus("nxt")
            for place in line.way_on(begin.fragment):
                if place is not begin:
                    reader.press("Enter")
                assert reader.placement() == place.placement, place.fragment
                reached.append(place.fragment)
    return reached


@pytest.mark.parametrize("slug", ["special", "hidden"])
def test_every_ply_of_a_lesson_is_shown_within_the_course(
    browser: Browser,
    alone: Path,
    told: Mapping[str, ToldLesson],
    slug: str,
) -> None:
    with reading(browser, alone / "trial") as reader:
        reader.open("page.html", f"lessons/{slug}")
        assert sorted(walk(reader, told[slug])) == sorted(told[slug].places)


def test_every_ply_is_shown_in_a_file_of_one_lesson(
    browser: Browser,
    alone: Path,
    told: Mapping[str, ToldLesson],
) -> None:
    with reading(browser, alone / "special") as reader:
        reader.open("page.html")
        assert sorted(walk(reader, told["special"])) == sorted(told["special"].places)


def test_words_that_look_like_an_address_stay_as_the_coach_wrote_them() -> None:
    """A place and a principle's page are rewritten where they are one, not where they look so."""
    remarks = ["open@start", "#main@3...Nf6", "05-queen-waits.html", "../principles/gone.html"]
    data = {
        "at": "open@1.e4",
        "rules": [["open@start", "../principles/rule.html"], ["Gone", "../principles/gone.html"]],
        "lines": [{"name": "open", "say": remarks, "why": {"1": [[0, 1, "a.html"]]}}],
        "text": {"said": "rule.html#x"},
    }
    table = {"id": "forks/one", "say": remarks, "answers": remarks}
    page = (
        '<html lang="en"><head><title>Forks</title></head><body class="lesson">'
        f'<script type="application/json" id="lesson-data">{json.dumps(data)}</script>'
        f'<script type="application/json" class="xd" id="xd-one">{json.dumps(table)}</script>'
        "</body></html>"
    )
    pages = {"lessons/forks.html": page.encode(), "principles/rule.html": b""}
    rewriter = Rewriter(pages, shown=frozenset(pages), instead={})
    leaf = BeautifulSoup(rewriter.leaf("lessons/forks.html", parts="").html, "html.parser")
    board, trial = (json.loads(tag.get_text()) for tag in leaf.select("script"))
    assert board == {
        **data,
        "at": "lessons/forks/open@1.e4",
        "rules": [["open@start", "#principles/rule"], ["Gone", "#lessons/forks"]],
    }
    assert trial == table


def test_fonts_and_pictures_are_in_the_file(course: Reader) -> None:
    course.open("page.html", "lessons/hard", whole=True)
    assert course.all("[...document.images].map((image) => image.naturalWidth)") == [1]
    assert course.all("[...document.fonts].some((face) => face.status === 'loaded')")


def test_an_address_opens_its_page_and_its_place(course: Reader) -> None:
    course.open("page.html", "lessons/queen-waits/errand@6...Qc6")
    assert course.page.title() == "The queen waits · First Principles"
    assert course.plate().places == ["lessons/queen-waits/errand@6...Qc6"]
    assert course.all("document.querySelectorAll('.leaf').length") == 1


def test_an_address_of_a_heading_brings_it_into_view(course: Reader) -> None:
    course.open("page.html", "lessons/queen-waits/h-the-rule", whole=True)
    expect(course.page.locator("#h-the-rule")).to_be_focused()
    assert 0 <= course.all("document.activeElement.getBoundingClientRect().top") < PHONE["height"]


def test_links_lead_from_page_to_page_and_back(course: Reader) -> None:
    course.open("page.html")
    course.page.click("h3 a >> nth=0")
    expect(course.page).to_have_title(re.compile("^The centre first"))
    course.page.click("#prv")
    course.page.click("nav.ft a.after")
    expect(course.page).to_have_title(re.compile("^Bring the pieces out"))
    assert course.plate().caption
    course.page.go_back()
    expect(course.page).to_have_title(re.compile("^The centre first"))


def test_a_reload_stays_at_the_place(course: Reader) -> None:
    course.open("page.html", "lessons/queen-waits/errand@start")
    course.page.click("#nxt")
    expect(course.page).to_have_url(re.compile(r"errand@1\.e4$"))
    course.page.reload()
    assert course.plate().places == ["lessons/queen-waits/errand@1.e4"]


def test_a_principle_of_one_lesson_is_told_in_its_file(lesson: Reader) -> None:
    lesson.open("page.html")
    lesson.page.click(".about a >> nth=0")
    expect(lesson.page.locator("#r-queen-waits")).to_be_focused()
    assert "leaf" in str(lesson.all("document.querySelector('.leaf').className"))


@pytest.mark.parametrize("name", ["course", "lesson", "trial", "special"])
def test_without_the_script_every_link_leads_somewhere(alone: Path, name: str) -> None:
    soup = soup_of(alone / name / "page.html")
    ids = [str(tag["id"]) for tag in soup.find_all(id=True)]
    assert len(ids) == len(set(ids))
    for link in soup.select("[href]"):
        address = str(link["href"])
        assert address.startswith(("#", "https:", "data:application/vnd.chess-pgn;")), address
        assert not address.startswith("#") or address[1:] in ids, address
    for name_of in ("aria-labelledby", "data-go"):
        for tag in soup.select(f"[{name_of}]"):
            assert str(tag[name_of]).removeprefix("#") in ids


@pytest.mark.parametrize("name", ["course", "lesson"])
def test_nothing_is_asked_for_outside_the_file(alone: Path, name: str) -> None:
    text = (alone / name / "page.html").read_text(encoding="utf-8")
    assert "SECRET-OF-THE-COACH" not in text
    soup = BeautifulSoup(text, "html.parser")
    assert not soup.select("link, iframe, object, embed, base, form")
    for tag in soup.select("[src]"):
        assert str(tag["src"]).startswith("data:")
    style = "".join(tag.get_text() for tag in soup.select("style"))
    assert set(re.findall(r"url\(\"?([a-z]*:?)", style)) <= {"data:"}
    assert "@import" not in style


@pytest.mark.parametrize("name", ["course", "lesson"])
def test_the_policy_names_each_script_and_allows_no_other(alone: Path, name: str) -> None:
    soup = soup_of(alone / name / "page.html")
    policy = str(soup.select("meta[http-equiv]")[0]["content"])
    allowed = dict(part.split(" ", 1) for part in policy.split("; "))
    scripts = [tag for tag in soup.select("script") if tag.get("type") != "application/json"]
    assert allowed["script-src"].count("'sha256-") == len(scripts)
    assert allowed["default-src"] == "'none'"
    assert "unsafe" not in policy
    assert "'self'" not in policy


def test_a_script_that_was_put_in_does_not_run(
    browser: Browser,
    alone: Path,
    tmp_path: Path,
) -> None:
    text = (alone / "lesson" / "page.html").read_text(encoding="utf-8")
    changed = text.replace("</body>", "<script>document.title = 'taken'</script></body>")
    (tmp_path / "page.html").write_text(changed, encoding="utf-8")
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.goto((tmp_path / "page.html").as_uri())
    assert page.title().startswith("The queen waits")
    context.close()


def test_a_file_of_one_lesson_carries_its_pgn_for_saving(lesson: Reader) -> None:
    lesson.open("page.html")
    with lesson.page.expect_download() as saving:
        lesson.page.click("a[download]")
    assert saving.value.suggested_filename == "queen-waits.pgn"
    assert saving.value.path().read_text(encoding="utf-8").startswith('[Event "')
