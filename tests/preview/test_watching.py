"""Whatever is done to a course folder is seen, and nothing is seen where nothing is done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from queue import Empty, Queue
from threading import Event, Thread

import pytest

from plybook.desk.preview.watching import look_at, watch
from preview.editing import write_course

_PATIENCE = 20


@contextmanager
def watched(folder: Path) -> Iterator[Queue[None]]:
    changes: Queue[None] = Queue()
    stop = Event()
    thread = Thread(
        target=watch,
        args=(folder, look_at(folder), lambda: changes.put(None)),
        kwargs={"stop": stop},
    )
    thread.start()
    try:
        yield changes
    finally:
        stop.set()
        thread.join()


_LESSON = "lessons/04-on.md"


@pytest.mark.parametrize(
    "change",
    [
        lambda course: (course / _LESSON).write_text("other", encoding="utf-8"),
        lambda course: (course / _LESSON).unlink(),
        lambda course: (course / _LESSON).rename(course / "lessons" / "07-on.md"),
        lambda course: (course / "lessons" / "08-new.md").write_text("new", encoding="utf-8"),
        lambda course: (course / "course.yaml").unlink(),
        lambda course: (course / "positions.lock").write_text("x", encoding="utf-8"),
        lambda course: (course / "images" / "board.png").write_bytes(b"other"),
        lambda course: (course / "principles").rename(course / "rules"),
    ],
    ids=["written", "deleted", "renamed", "new", "course", "lock", "image", "folder"],
)
def test_a_change_is_seen(tmp_path: Path, change: Callable[[Path], object]) -> None:
    write_course(tmp_path)
    with watched(tmp_path) as changes:
        change(tmp_path)
        changes.get(timeout=_PATIENCE)


def test_a_quiet_folder_is_left_in_peace(tmp_path: Path) -> None:
    write_course(tmp_path)
    with watched(tmp_path) as changes, pytest.raises(Empty):
        changes.get(timeout=0.5)


def test_links_are_looked_at_and_not_followed(tmp_path: Path) -> None:
    write_course(tmp_path)
    outside = tmp_path / "outside.txt"
    outside.write_text("x", encoding="utf-8")
    (tmp_path / "images" / "link.png").symlink_to(outside)
    before = [sign for sign in look_at(tmp_path) if "link" in sign[0]]
    outside.write_text("longer than before", encoding="utf-8")
    assert [sign for sign in look_at(tmp_path) if "link" in sign[0]] == before
