"""The course folder at its rim: links, folders that are shut, what a desktop leaves behind."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagnostics.folder import LESSON, PICTURE, check, place, write
from plybook.diagnostics import Report
from plybook.text import read_course_folder
from plybook.text.source import read_text


@pytest.mark.parametrize("kind", ["lessons", "principles", "images"])
def test_a_link_in_place_of_a_folder_is_refused(tmp_path: Path, kind: str) -> None:
    course = write(tmp_path / "course", {})
    (course / kind).rename(tmp_path / "elsewhere")
    (course / kind).symlink_to(tmp_path / "elsewhere")
    (fault,) = check(course)
    assert (fault.code, place(fault)) == ("unreadable-file", f"{kind}:1:1-1")
    assert "link" in fault.message


@pytest.mark.parametrize("kind", ["lessons", "principles", "images"])
def test_a_folder_that_cannot_be_listed_is_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    """The system's refusal is played: who runs the tests may be allowed everything."""
    course = write(tmp_path, {})
    listdir = os.listdir

    def refuse(path: Path) -> list[str]:
        if Path(path).name == kind:
            raise PermissionError(13, "Permission denied")
        return listdir(path)

    monkeypatch.setattr(os, "listdir", refuse)
    report = Report()
    read_course_folder(course, report=report)
    (fault,) = report.sorted()
    assert (fault.code, fault.span.file) == ("unreadable-file", kind)
    assert "Permission denied" in fault.message


def test_a_file_in_place_of_a_folder_is_reported(tmp_path: Path) -> None:
    course = write(tmp_path, {}, without=(PICTURE,))
    (course / "images").rmdir()
    (course / "images").write_text("not a folder")
    (fault,) = check(course)
    assert (fault.code, fault.span.file) == ("unreadable-file", "images")


def test_a_lesson_that_cannot_be_looked_at_is_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a folder that may be listed and not entered, every question is refused."""
    lesson = write(tmp_path, {}) / LESSON

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    report = Report()
    with monkeypatch.context() as shut:
        for question in ("open", "lstat", "readlink"):
            shut.setattr(os, question, refuse)
        assert read_text(lesson, file=LESSON, limit=1000, report=report) is None
    (fault,) = report.sorted()
    assert (fault.code, fault.span.file) == ("unreadable-file", LESSON)


@pytest.mark.parametrize("name", ["Thumbs.db", ".DS_Store", "desktop.ini", ".directory"])
def test_what_a_desktop_leaves_among_the_images_is_passed_over(tmp_path: Path, name: str) -> None:
    course = write(tmp_path, {f"images/{name}": b"\x00not a picture"})
    assert check(course) == ()
    assert read_course_folder(course, report=Report()).images == (PICTURE,)
