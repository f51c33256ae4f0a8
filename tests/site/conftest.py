"""The pages of the small course, made once."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from plybook.course import Course
from plybook.site.pages.build import build_pages
from plybook.site.pages.theme import load_theme
from small_course import IMAGE, course_in, soup_of, write_course


@pytest.fixture(scope="session")
def course(tmp_path_factory: pytest.TempPathFactory) -> Course:
    return course_in(write_course(tmp_path_factory.mktemp("course")))


@pytest.fixture(scope="session")
def site(course: Course) -> dict[str, bytes]:
    return build_pages(course, load_theme("press"), images={"images/board.png": IMAGE})


@pytest.fixture(scope="session")
def lesson(site: dict[str, bytes]) -> BeautifulSoup:
    return soup_of(site, "lessons/forks.html")
