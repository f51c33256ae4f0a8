"""The order of work, as one table: what `check` and `build` do, stage by stage."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from plybook.board import Doubt, Opinion, ask_engine, read_opinions, write_opinions
from plybook.course import Course, assemble
from plybook.desk.cache_place import keep_verdicts, kept_verdicts
from plybook.desk.progress import Progress
from plybook.diagnostics import Report, UsageError, shown
from plybook.kept import Kept
from plybook.text import COURSE_FILE, CourseDraft, read_course_folder
from plybook.text.source import signature

if TYPE_CHECKING:  # the site room takes longer to load than `check` takes to run
    from plybook.site.inspection.validate import Problem
    from plybook.site.pictures.images import Image
    from plybook.site.publishing.publish import Published

__all__ = ["BUILD", "CHECK", "PUBLISH", "InvalidSiteError", "Stage", "Work", "find_course", "run"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What one run has done so far. `report` is the only part that grows in place."""

    folder: Path
    out: Path | None = None
    theme: str | None = None  # another theme than the course's
    checks_lock: bool = True
    jobs: int = 1  # processes that may settle claims
    engine: str | None = None  # the program asked for opinions; without it, those on record
    shows_drafts: bool = False  # the coach's own view: lessons that are not published yet too
    shows_progress: bool = False  # on a terminal
    kept: Kept = field(default_factory=Kept)  # made by earlier runs, for this one to take up
    report: Report = field(default_factory=Report)
    draft: CourseDraft | None = None
    course: Course | None = None
    images: Mapping[str, Image] = field(default_factory=dict)
    files: Mapping[str, bytes] = field(default_factory=dict)
    published: Published | None = None


#: What an engine said of the claims that cannot be proved, in the course folder: to be read and,
#: if the coach likes, kept with the course. Deleting it changes no verdict.
OPINIONS_FILE: Final = "opinions.json"


class InvalidSiteError(Exception):
    """The pages just made are not fit to be published: our bug, never the coach's."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(f"{len(problems)} faults in the pages just made")
        self.problems = problems


class Stage(NamedTuple):
    """One step of the work. One that needs a clean course is not taken while there is a fault."""

    take: Callable[[Work], Work]
    needs_clean: bool = False


def run(stages: tuple[Stage, ...], work: Work, *, warnings_stop: bool = False) -> Work:
    """Return the work after its stages, or after those before one that needs a clean course.

    With `warnings_stop` a course with warnings is not clean.
    """
    for stage in stages:
        found = work.report
        if stage.needs_clean and (found.errors or (warnings_stop and found.warnings)):
            break
        work = stage.take(work)
    return work


def find_course(start: Path | None) -> Path:
    """Return the course folder: `start`, or the nearest folder upward from here that is one.

    A folder `curriculum` in that place counts too. Raises UsageError when there is none, or when
    the way there cannot be gone.
    """
    try:
        return _found_course(start)
    except OSError as error:
        place = "here" if start is None else shown(str(start), limit=200)
        raise UsageError(f"cannot look for {COURSE_FILE} in {place}: {error.strerror}") from error


def _found_course(start: Path | None) -> Path:
    if start is not None:
        if (start / COURSE_FILE).is_file():
            return start
        raise UsageError(f"no {COURSE_FILE} in {start}")
    here = Path.cwd()
    for folder in (here, *here.parents):
        for candidate in (folder, folder / "curriculum"):
            if (candidate / COURSE_FILE).is_file():
                return candidate
    raise UsageError(
        f"no {COURSE_FILE} here or in a folder above; `plybook new DIR` makes a course"
    )


# ---------------------------------------------------------------------- the stages


def read(work: Work) -> Work:
    """Text: read every file of the folder."""
    draft = read_course_folder(work.folder, report=work.report, kept=work.kept)
    return replace(work, draft=draft)


def hang_together(work: Work) -> Work:
    """Board and course: play the lines, test what is drawn, resolve what is referred to."""
    assert work.draft is not None
    cache = work.kept.take("verdicts", "", (), lambda _: kept_verdicts(), report=work.report)
    known = cache.changes
    opinions = _Opinions(work)
    with Progress("proving", size=1) as bar:
        course = assemble(
            work.draft,
            report=work.report,
            checks_lock=work.checks_lock,
            cache=cache,
            jobs=work.jobs,
            opinions=opinions.give,
            kept=work.kept,
            shows_drafts=work.shows_drafts,
            tell=bar.show_of if work.shows_progress else None,
        )
    opinions.record()
    if cache.changes != known:
        keep_verdicts(cache)
    return replace(work, course=course)


class _Opinions:
    """The opinions on record, or those of the engine, which then take their place."""

    def __init__(self, work: Work) -> None:
        self._work = work
        self._path = work.folder / OPINIONS_FILE
        self._recorded = read_opinions(self._path, report=work.report)
        self._asked: dict[Doubt, Opinion] = {}

    def give(self, doubts: Sequence[Doubt]) -> Mapping[Doubt, Opinion]:
        if self._work.engine is None:
            return self._recorded
        self._asked = ask_engine(self._work.engine, doubts)
        return self._asked

    def record(self) -> None:
        """Write what the engine said; what is asked no more goes, unless a fault hides it."""
        if self._work.engine is not None:
            kept = self._recorded if self._work.report.errors else {}
            write_opinions(self._path, {**kept, **self._asked})


def read_images(work: Work) -> Work:
    """Site: read the images and take out what they say of camera and place."""
    if work.course is None or not work.course.images:
        return work
    from plybook.site.pictures.images import read_images as read_them

    names = work.course.images
    images = work.kept.take(
        "images",
        "",
        (names, *(signature(work.folder / name) for name in names)),
        lambda report: read_them(work.folder, names, report=report),
        report=work.report,
    )
    return replace(work, images=images)


def draw_pages(work: Work) -> Work:
    """Site: make every page and picture."""
    assert work.course is not None
    from plybook.site.pages.build import build_pages
    from plybook.site.pages.theme import load_theme
    from plybook.site.paper.published import paper_groups

    theme = load_theme(work.theme or work.course.file.theme)
    files = build_pages(work.course, theme, images=work.images, more=paper_groups(work.course))
    return replace(work, files=files)


def validate_pages(work: Work) -> Work:
    """Site: read the pages as a stranger would; every link resolves, every move is replayed."""
    from plybook.site.inspection.validate import validate

    problems = validate(work.files)
    if problems:
        raise InvalidSiteError(problems)
    return work


def look_for_leaks(work: Work) -> Work:
    """Site: nobody's name, address or number gets out that must not."""
    from plybook.desk.leaks import look_for_leaks as look

    return look(work)


def publish_folder(work: Work) -> Work:
    """Site: put the new site in the place of the old one, whole."""
    assert work.out is not None
    assert work.course is not None
    from plybook.site.publishing.publish import publish

    ident = work.course.file.ident
    done = publish(work.files, work.out, course_folder=work.folder, course=ident)
    return replace(work, published=done)


CHECK: Final = (Stage(read), Stage(hang_together), Stage(read_images))
PUBLISH: Final = (
    Stage(draw_pages, needs_clean=True),
    Stage(validate_pages, needs_clean=True),
    Stage(look_for_leaks, needs_clean=True),
    Stage(publish_folder, needs_clean=True),
)
BUILD: Final = (*CHECK, *PUBLISH)
