"""Paper as it comes out of a printer: by WeasyPrint as PDF, and by Chromium from the same file."""

from __future__ import annotations

import builtins
import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import ModuleType
from typing import Any, Final

import pytest

from browser.tools import chromium_path, missing, need_module
from paper.trial import demo_course, make
from plybook.diagnostics import UsageError
from plybook.site.paper.chosen import choose, choose_mixed
from plybook.site.paper.papers import Paper
from plybook.site.paper.pdf import as_pdf, is_paper_of

_PER_MM: Final = 10  # pixels of a rendered page


@pytest.fixture(scope="module")
def papers() -> Mapping[str, Paper]:
    """The papers of a lesson, and of three lessons mixed, by name."""
    course = demo_course()
    bundles = (choose(course, "count-first"), choose_mixed(course, tuple(course.lessons)[:2]))
    return {paper.name: paper for bundle in bundles for paper in make(course, bundle)}


@pytest.fixture(scope="module")
def pdfs(papers: Mapping[str, Paper]) -> Mapping[str, bytes]:
    need_module("weasyprint", of="weasyprint")
    need_module("pypdfium2", of="pypdfium2")
    try:
        return {name: as_pdf(paper.html, course="trial") for name, paper in papers.items()}
    except UsageError as error:  # without Pango
        missing(str(error))


@pytest.fixture(scope="module")
def printed(
    papers: Mapping[str, Paper],
    tmp_path_factory: pytest.TempPathFactory,
    request: pytest.FixtureRequest,
) -> Iterator[Any]:
    """A page of Chromium that has each paper opened by name, and its messages."""
    need_module("playwright", of="playwright")
    program = chromium_path()
    folder = tmp_path_factory.mktemp("printed")
    browser = request.getfixturevalue("driver").chromium.launch(
        executable_path=program, args=["--no-sandbox", "--disable-gpu", "--no-first-run"]
    )
    page = browser.new_page()
    page.emulate_media(media="print")
    told: list[str] = []
    page.on("console", lambda message: told.append(message.text))
    page.on("request", lambda request: told.append(request.url))

    def opened(name: str) -> Any:
        path = folder / f"{name}.html"
        path.write_text(papers[name].html, encoding="utf-8")
        page.goto(path.as_uri())
        outside = [text for text in told if not text.startswith(("file:", "data:"))]
        assert outside == []
        return page

    yield opened
    browser.close()


def document(content: bytes) -> Any:
    import pypdfium2

    return pypdfium2.PdfDocument(content)


def texts(content: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in document(content)]


def rendered(content: bytes, page: int) -> Any:
    """A page in grey, ten pixels a millimetre."""
    picture = document(content)[page].render(scale=_PER_MM * 25.4 / 72, grayscale=True)
    return picture.to_pil().convert("L")


# ---------------------------------------------------------------------- PDF


def test_a_pdf_is_the_same_bytes_each_time(
    papers: Mapping[str, Paper], pdfs: Mapping[str, bytes]
) -> None:
    for name in ("count-first-sheet", "count-first-key"):
        assert as_pdf(papers[name].html, course="trial") == pdfs[name]


def test_a_pdf_is_known_as_a_paper_of_its_course(pdfs: Mapping[str, bytes]) -> None:
    for content in pdfs.values():
        assert is_paper_of("trial", content)
        assert not is_paper_of("tria", content)
        assert not is_paper_of("trial", content[: content.rindex(b"startxref")])
        assert not is_paper_of("trial", b"my own notes" + content)


def test_the_mark_of_a_pdf_moves_nothing_in_it(pdfs: Mapping[str, bytes]) -> None:
    """The last part names the place of the table of objects (ISO 32000-1, section 7.5.5)."""
    for content in pdfs.values():
        number, end = content.rpartition(b"startxref\n")[2].split(b"\n", 1)
        assert end.rstrip() == b"%%EOF"
        assert re.match(rb"xref\b|[0-9]+ 0 obj\b", content[int(number) :])


def test_every_page_of_a_pdf_is_a4(pdfs: Mapping[str, bytes]) -> None:
    for content in pdfs.values():
        for page in document(content):
            assert page.get_size() == pytest.approx((595.3, 841.9), abs=0.5)


def test_every_printed_page_names_club_title_and_code(pdfs: Mapping[str, bytes]) -> None:
    code = choose(demo_course(), "count-first").code
    for name in ("count-first-sheet", "count-first-key", "count-first-cards"):
        for text in texts(pdfs[name]):
            assert code in text
            assert "Tidemark Juniors" in text
            assert "Count before you jump" in text


def test_every_printed_page_has_its_number(pdfs: Mapping[str, bytes]) -> None:
    for name, content in pdfs.items():
        pages = texts(content)
        for number, text in enumerate(pages, start=1):
            said = f"{number} / {len(pages)}" if "key" in name else f"{number} of {len(pages)}"
            assert said in text, name


@pytest.mark.parametrize("per_page", [4, 6, 8])
def test_printed_diagrams_are_45_millimetres_wide_at_least(per_page: int) -> None:
    """Measured on the page: the longest black runs are the frames around the 64 squares."""
    need_module("weasyprint", of="weasyprint")
    course = demo_course()
    bundle = choose_mixed(course, tuple(course.lessons)[:2])
    sheet = make(course, bundle, per_page=per_page)[0]
    picture = rendered(as_pdf(sheet.html, course="trial"), 0)
    width = picture.width
    black = picture.point(lambda grey: 0 if grey < 100 else 255).tobytes()
    runs = [
        len(run)
        for start in range(0, len(black), width)
        for run in black[start : start + width].split(b"\xff")
        if 42 * _PER_MM < len(run) < 85 * _PER_MM
    ]
    assert len(runs) >= 2 * per_page
    assert min(runs) >= 45 * _PER_MM


def test_fronts_and_backs_are_cut_by_the_same_marks(pdfs: Mapping[str, bytes]) -> None:
    from PIL import ImageChops, ImageOps

    front, back = (rendered(pdfs["mixed-cards"], page) for page in (0, 1))
    turned = ImageOps.mirror(back)
    for box in ((60, 150, 140, 2800), (1960, 150, 2040, 2800), (100, 2790, 2000, 2835)):
        strip = front.crop(box)
        assert strip.getextrema()[0] < 100  # there are marks
        difference = ImageChops.difference(strip, turned.crop(box))
        apart = sum(1 for value in difference.tobytes() if value > 128)
        assert apart <= strip.width * strip.height * 0.001


def test_a_question_and_its_answer_lie_on_one_card(printed: Any) -> None:
    page = printed("mixed-cards")
    places = page.evaluate(
        """() => [...document.querySelectorAll(".pg")].map((leaf, at) =>
          [...leaf.querySelectorAll(".cd .tag b")].map((tag) => {
            const box = tag.closest(".cd").getBoundingClientRect();
            const of = leaf.getBoundingClientRect();
            return [+tag.textContent, box.left - of.left, of.right - box.right, box.top - of.top];
          }))"""
    )
    for front, back in zip(places[::2], places[1::2], strict=True):
        questions = {number: (left, top) for number, left, _, top in front}
        answers = {number: (right, top) for number, _, right, top in back}
        assert questions.keys() == answers.keys()
        for number, place in questions.items():
            assert place == pytest.approx(answers[number], abs=0.5)


# ---------------------------------------------------------------------- from a browser


def test_chromium_prints_as_many_pages_as_the_pdf_has(
    printed: Any, pdfs: Mapping[str, bytes]
) -> None:
    for name, content in pdfs.items():
        page = printed(name)
        by_chromium = page.pdf(prefer_css_page_size=True, print_background=False)
        assert len(document(by_chromium)) == len(document(content)), name


def test_on_a_sheet_nothing_overlaps_and_nothing_is_cut_off(printed: Any) -> None:
    for name in ("count-first-sheet", "mixed-sheet"):
        faults = printed(name).evaluate(
            """() => [...document.querySelectorAll(".it")].flatMap((item) => {
              const box = (one) => one.getBoundingClientRect();
              const own = box(item), task = box(item.querySelector(".task"));
              const write = box(item.querySelector(".write"));
              const board = box(item.querySelector("svg"));
              const faults = [];
              if (task.bottom > write.top + 0.5) faults.push("task and lines");
              if (task.right > own.right + 0.5) faults.push("task too wide");
              for (const part of item.querySelectorAll(".hd, .level"))
                if (part.scrollWidth > part.clientWidth + 1) faults.push("head too wide");
              if (board.width * 360 / 385 < 45 * 96 / 25.4) faults.push("small board");
              if (write.bottom > own.bottom + 0.5) faults.push("lines too low");
              return faults.map((fault) => item.querySelector(".nr").textContent + " " + fault);
            })"""
        )
        assert faults == [], name


def test_on_a_card_the_text_stays_inside(printed: Any) -> None:
    for name in ("count-first-cards", "mixed-cards"):
        faults = printed(name).evaluate(
            """() => [...document.querySelectorAll(".cd .tx p")].filter((text) => {
              const own = text.getBoundingClientRect();
              const room = text.parentElement.getBoundingClientRect();
              return own.top < room.top - 0.5 || own.bottom > room.bottom + 0.5
                || own.left < room.left - 0.5 || own.right > room.right + 0.5;
            }).map((text) => text.textContent)"""
        )
        assert faults == [], name


# ---------------------------------------------------------------------- what may be missing


def test_a_missing_library_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(UsageError, match=r"pip install 'plybook\[pdf\]'") as told:
        as_pdf("<!doctype html><title>x</title>", course="trial")
    assert "\n" not in str(told.value)


def test_a_missing_pango_is_told_with_the_packages_of_debian(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = builtins.__import__

    def without_pango(name: str, *rest: Any, **more: Any) -> ModuleType:
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without_pango)
    with pytest.raises(UsageError, match=r"apt install libpango-1\.0-0") as told:
        as_pdf("<!doctype html><title>x</title>", course="trial")
    assert "\n" not in str(told.value)


def test_a_pdf_is_never_fetched_for() -> None:
    """A paper holds no address; if one came in, nothing outside the file would be read."""
    need_module("weasyprint", of="weasyprint")
    page = f'<!doctype html><title>x</title><img src="{Path(__file__).as_uri()}">'
    with pytest.raises(BaseException, match="Error fetching"):  # it is none of the usual ones
        as_pdf(page, course="trial")
