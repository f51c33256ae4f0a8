"""The course as the preview shows it: the last state without a fault, and what is wrong since."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from threading import RLock
from typing import Final

from plybook.course import Course, assemble
from plybook.desk.cache_place import kept_verdicts
from plybook.desk.preview.dressing import Dress, own_files
from plybook.desk.preview.refutations import refuted_lines, with_refutations
from plybook.desk.preview.slip import Fault, faults_of, slip_html
from plybook.desk.work import CHECK, Work, run
from plybook.diagnostics import Report, Severity, Span, UsageError
from plybook.kept import Kept
from plybook.site.pages.edition import Edition, course_view
from plybook.site.pages.kept_site import KeptSite
from plybook.site.pages.stock import Stock
from plybook.site.pages.theme import load_theme
from plybook.site.paper.published import paper_groups
from plybook.text import COURSE_FILE

__all__ = ["File", "ShownCourse"]

#: Faults with which pages can be drawn all the same: the coach sees the refutation on the board.
_DRAWABLE: Final = frozenset({"false-claim"})


@dataclass(frozen=True, slots=True)
class File:
    """A file as it is served. `number` rises whenever a page becomes another one."""

    content: bytes
    number: int


@dataclass(frozen=True, slots=True)
class _State:
    """A state of the course that can be drawn."""

    course: Course
    stock: Stock
    site: KeptSite | None  # None: there has been no state without a fault


class ShownCourse:
    """Answers with the files of the site as it stands; `refresh` makes it follow the folder.

    Several threads may ask; one at a time is answered.
    """

    def __init__(self, folder: Path, *, theme: str | None, jobs: int, secret: str) -> None:
        self._folder = folder
        self._theme = theme
        self._jobs = jobs
        self._dress = Dress(secret)
        self._own = own_files(secret)
        self._kept = Kept()
        self._lock = RLock()
        self._state: _State | None = None
        self._faults: tuple[Fault, ...] = ()
        self._is_old = False
        self._numbers: dict[str, tuple[bytes, int]] = {}
        self._count = 0

    def refresh(self) -> Work | None:
        """Read the folder anew and return what was found, None where there is no course now."""
        with self._lock:
            try:
                work = run(
                    CHECK,
                    Work(
                        folder=self._folder,
                        theme=self._theme,
                        jobs=self._jobs,
                        shows_drafts=True,
                        kept=self._kept,
                    ),
                )
            except UsageError:
                self._lose_course()
                return None
            self._take(work)
            return work

    def _lose_course(self) -> None:
        report = Report()
        report.add("unreadable-file", Span.of_file(COURSE_FILE), f"`{COURSE_FILE}` is not there")
        self._faults, self._is_old = faults_of(report.sorted(), {}, {}, {}), True

    def _take(self, work: Work) -> None:
        assert work.course is not None
        assert work.draft is not None
        errors = {one.code for one in work.report if one.severity is Severity.ERROR}
        self._is_old = not errors <= _DRAWABLE
        refuted = refuted_lines(work.draft, work.course)
        if not self._is_old:
            stock = self._stock_of(work, self._with_refutations(work, refuted))
            site = KeptSite(stock, self._kept, more=paper_groups(stock.course))
            self._state = _State(stock.course, stock, site)
        elif self._state is None or self._state.site is None:
            self._state = _State(work.course, self._stock_of(work, work.course), None)
        assert self._state is not None
        pages = {file: f"/{page}" for file, page in self._state.stock.pages_of_files.items()}
        lines = {} if self._is_old else refuted
        self._faults = faults_of(work.report.sorted(), work.draft.sources, pages, lines)

    def _with_refutations(self, work: Work, refuted: Mapping[Span, str]) -> Course:
        """Return the course with its false claims refuted on the board."""
        assert work.course is not None
        assert work.draft is not None
        if not refuted:
            return work.course
        course = assemble(
            with_refutations(work.draft, work.course, refuted, self._kept),
            report=Report(),
            cache=self._kept.take("verdicts", "", (), lambda _: kept_verdicts(), report=Report()),
            kept=self._kept,
            shows_drafts=True,
        )
        # The lines that were added are no lines of the coach: no verdict may rest on them.
        return replace(course, verdicts=work.course.verdicts)

    def _stock_of(self, work: Work, course: Course) -> Stock:
        try:
            theme = load_theme(self._theme or course.file.theme)
        except UsageError:  # the theme of course.yaml is not there, which has been reported
            theme = load_theme("press")
        return Stock(course, theme, view=course_view(course), images=work.images, is_for_coach=True)

    # ---------------------------------------------------------------- files

    def find(self, path: str) -> File | None:
        """Return a file of the site or of the preview itself, None where there is none."""
        own = self._own.get(path)
        if own is not None:
            return File(own, 0)
        with self._lock:
            if self._state is None:
                return None
            content = self._drawn(self._state, path)
            if content is None or not path.endswith(".html"):
                return None if content is None else File(content, 0)
            slip = self._slip(self._state, path)
            number = self._number(path, content + slip.encode())
            return File(self._dress.dressed(content, slip, number), number)

    def _drawn(self, state: _State, path: str) -> bytes | None:
        if state.site is not None:
            return state.site.find(path)
        edition = Edition(state.course, state.stock.theme, stock=state.stock)
        if path.startswith("assets/"):
            return edition.assets.files.get(path)
        if not path.endswith(".html"):
            return None
        return edition.page(
            "faults.html",
            kind="faults",
            title=edition.words().say("Nothing to show yet"),
            root="../" * path.count("/"),
            has_boards=False,
        )

    def _slip(self, state: _State, path: str) -> str:
        edition = Edition(state.course, state.stock.theme, stock=state.stock)
        files = {page: file for file, page in state.stock.pages_of_files.items()}
        file = files.get(path)
        drafts = {one.draft.file for one in state.course.lessons.values() if one.draft.is_draft}
        return slip_html(
            edition,
            self._faults,
            file=file,
            is_draft=file in drafts,
            is_old=self._is_old and state.site is not None,
        )

    def _number(self, path: str, content: bytes) -> int:
        """Return the number of a page: another one, and a higher one, when it has changed."""
        digest = hashlib.blake2b(content, digest_size=16).digest()
        known = self._numbers.get(path)
        if known is None or known[0] != digest:
            self._count += 1
            known = self._numbers[path] = (digest, self._count)
        return known[1]
