"""One browser a worker, and the sites it reads: built once, in a folder with a difficult name."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, Playwright

from browser.exercise_course import write_exercise_course
from browser.reader import Reader, reading
from browser.told import ToldLesson, read_told
from browser.tools import ROOT, chromium_path, need_module
from browser.trial_course import write_trial_course
from plybook.desk.work import BUILD, CHECK, Work, run

#: A memory stick may be called anything: spaces, `#`, `%` and letters outside ASCII.
STICK: Final = "Клуб #1 at 100%41 здесь"
COURSE: Final = ROOT / "curriculum"

_SWITCHES: Final = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser(request: pytest.FixtureRequest) -> Iterator[Browser]:
    need_module("playwright", of="playwright")
    program = chromium_path()
    driver: Playwright = request.getfixturevalue("driver")
    chromium = driver.chromium.launch(executable_path=program, args=_SWITCHES)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def trial_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_trial_course(tmp_path_factory.mktemp("trial"))


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo course: what is built and what is expected come from the same text."""
    return Path(shutil.copytree(COURSE, tmp_path_factory.mktemp("demo") / "course"))


@pytest.fixture(scope="session")
def sites(
    tmp_path_factory: pytest.TempPathFactory, demo_folder: Path, trial_folder: Path
) -> Mapping[str, Path]:
    """The demo course in both themes, and the trial course: folders by name."""
    stick = tmp_path_factory.mktemp("stick") / STICK
    stick.mkdir()
    built = {}
    for folder, names in (
        (demo_folder, {"press": "press", "slate": "slate"}),
        (trial_folder, {"trial": "press", "trial-slate": "slate"}),
    ):
        checked = run(CHECK, Work(folder=folder))
        assert checked.report.errors == 0
        for name, theme in names.items():
            built[name] = stick / name
            run(BUILD[len(CHECK) :], replace(checked, out=built[name], theme=theme))
    return built


@pytest.fixture(scope="session")
def tries_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A course with an exercise of each kind, built."""
    folder = write_exercise_course(tmp_path_factory.mktemp("tries") / "course")
    return _built(folder, tmp_path_factory.mktemp("stick") / STICK)


@pytest.fixture(scope="session")
def german_tries_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same in German, with the letters of that language."""
    folder = tmp_path_factory.mktemp("tries") / "course"
    write_exercise_course(folder, language="de", letters="german")
    return _built(folder, tmp_path_factory.mktemp("stick") / STICK)


def _built(folder: Path, out: Path) -> Path:
    checked = run(CHECK, Work(folder=folder))
    assert checked.report.errors == 0
    run(BUILD[len(CHECK) :], replace(checked, out=out))
    return out


@pytest.fixture(scope="module")
def tries(browser: Browser, tries_site: Path) -> Iterator[Reader]:
    """A reader of the course of exercises, at a desk."""
    with reading(browser, tries_site) as reader:
        yield reader


@pytest.fixture(scope="session")
def demo_told(demo_folder: Path) -> Mapping[str, ToldLesson]:
    """The lessons of the demo course by slug, as python-chess plays them."""
    return {lesson.slug: lesson for lesson in read_told(demo_folder)}


@pytest.fixture(scope="session")
def trial_told(trial_folder: Path) -> Mapping[str, ToldLesson]:
    return {lesson.slug: lesson for lesson in read_told(trial_folder)}


@pytest.fixture(scope="module")
def trial(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    """A reader of the trial course, at a desk."""
    with reading(browser, sites["trial"]) as reader:
        yield reader


@pytest.fixture(scope="module")
def press(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    """A reader of the demo course in one theme, for what both themes have in common."""
    with reading(browser, sites["press"]) as reader:
        yield reader


@pytest.fixture(scope="module")
def slate(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    """The same in the other theme."""
    with reading(browser, sites["slate"]) as reader:
        yield reader


@pytest.fixture(scope="module", params=["press", "slate"])
def demo(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path]
) -> Iterator[Reader]:
    """A reader of the demo course, at a desk, in each theme."""
    with reading(browser, sites[request.param]) as reader:
        yield reader


@pytest.fixture(autouse=True)
def _calm(request: pytest.FixtureRequest) -> Iterator[None]:
    """After each test that reads: no message in the console, no request outside the site."""
    yield
    for name in ("trial", "press", "slate", "demo", "tries"):
        if name in request.fixturenames:
            request.getfixturevalue(name).is_calm()
