"""A small site in two versions, a place to publish it, and a disk that fails on demand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from plybook.site.publishing import disk, publish
from plybook.site.publishing.manifest import MANIFEST

OLD = {
    "index.html": b"<p>old front page</p>" * 40,
    "lessons/anchor.html": b"<p>old lesson</p>" * 40,
    "lessons/anchor.pgn": b"1. e4 e5 *",
    "lessons/gone.html": b"<p>only in the old site</p>",
    "style.css": b"p { color: black }",
    "pictures/harbour/quay.png": b"picture",
}
NEW = {
    "index.html": b"<p>new front page</p>" * 50,
    "lessons/anchor.html": b"<p>new lesson</p>" * 50,
    "lessons/anchor.pgn": b"1. e4 e5 *",
    "lessons/come.html": b"<p>only in the new site</p>",
    "principles/count.html": b"<p>a folder the old site has not</p>",
    "style.css": b"p { color: navy }",
}
STEPS = tuple(name for name in disk.__all__ if name != "Tree")
STRATEGIES = ("exchange", "renames", "mount point", "busy", "inside")


class Site:
    """A target folder beside a course folder, with nothing else in their parent."""

    def __init__(self, top: Path) -> None:
        self.top = top
        self.course = top / "course"
        self.course.mkdir()
        self.out = top / "site"

    def publish(self, files: dict[str, bytes], **options: Any) -> publish.Published:
        return publish.publish(files, self.out, course_folder=self.course, **options)

    def content(self) -> dict[str, bytes] | None:
        """Return what a reader finds, None when there is no site. The manifest is left out."""
        if not self.out.is_dir():
            return None
        return {
            path: self.read(path)
            for path in disk.tree(self.out).files
            if path != MANIFEST and not path.startswith(".plybook.")
        }

    def read(self, path: str) -> bytes:
        return (self.out / path).read_bytes()

    def names_beside(self) -> set[str]:
        return {entry.name for entry in self.top.iterdir()} - {"course"}

    def names_inside(self) -> set[str]:
        return {entry.name for entry in self.out.iterdir()}


class Faults:
    """Counts the steps on the disk and fails at one of them, or at it and all that follow.

    A step fails before or after it was done. A write that fails before leaves half of its content.
    """

    def __init__(self) -> None:
        self.count = 0
        self.at: int | None = None
        self.raised = 0
        self.error: Callable[[], BaseException] = KeyboardInterrupt
        self.is_final = False
        self.is_after = False

    def arm(
        self, at: int, error: Callable[[], BaseException], *, is_final: bool, is_after: bool
    ) -> None:
        self.count, self.raised, self.at = 0, 0, at
        self.error, self.is_final, self.is_after = error, is_final, is_after

    def disarm(self) -> None:
        self.at = None

    @property
    def is_reached(self) -> bool:
        """Whether the publication had so many steps."""
        return self.at is not None and self.count > self.at

    def wrap(self, name: str, step: Callable[..., Any]) -> Callable[..., Any]:
        def run(*arguments: Any) -> Any:
            here, self.count = self.count, self.count + 1
            is_due = self.at is not None and (here == self.at or (self.is_final and here > self.at))
            if is_due and not (self.is_after and here == self.at):
                if name == "write_new" and here == self.at:
                    step(arguments[0], arguments[1][: len(arguments[1]) // 2])
                self.strike()
            result = step(*arguments)
            if is_due:
                self.strike()
            return result

        return run

    def strike(self) -> None:
        self.raised += 1
        raise self.error()
