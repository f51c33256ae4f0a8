"""Sheets, keys and cards: check the course, make the papers, write the files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import click

from plybook.course import Course
from plybook.desk.printing import FAULTS, show_all
from plybook.desk.work import CHECK, Work, find_course, run
from plybook.diagnostics import UsageError, near_miss, shown
from plybook.files import read_regular, write_whole
from plybook.site.pages.edition import Edition
from plybook.site.pages.theme import load_theme
from plybook.site.paper.chosen import Bundle, choose, choose_mixed
from plybook.site.paper.papers import Kind, Paper, make_papers

__all__ = ["write_sheets"]

_FOLDER: Final = "paper"
_MARK: Final = b"plybook"  # every file of ours names its maker


def write_sheets(
    names: Sequence[str],
    *,
    course: Path | None,
    out: Path | None,
    kinds: tuple[Kind, ...],
    per_page: int | None,
    is_mixed: bool,
    has_pdf: bool,
    theme: str | None,
) -> int:
    """Write the papers and return the exit code; a course with a fault prints nothing.

    Each file that was written is named on the standard output.
    """
    folder = find_course(course)
    work = run(CHECK, Work(folder=folder))
    if work.course is None or work.report.errors:
        show_all(work)
        click.echo("no sheet was written: the course has faults", err=True)
        return FAULTS
    slugs = _slugs(work.course, names)
    edition = Edition(work.course, load_theme(theme or work.course.file.theme))
    bundles = (
        [choose_mixed(work.course, slugs)]
        if is_mixed
        else [choose(work.course, slug) for slug in slugs]
    )
    papers = [
        paper
        for bundle in bundles
        for paper in _papers_of(edition, bundle, kinds, per_page=per_page)
    ]
    files = _files(papers, has_pdf=has_pdf)
    _write(out if out is not None else folder.resolve().parent / _FOLDER, files)
    return 0


def _slugs(course: Course, names: Sequence[str]) -> list[str]:
    """Return the lessons that are named, each once, or all; by slug, or by file as in `02-pins`."""
    by_file = {Path(lesson.draft.file).name: slug for slug, lesson in course.lessons.items()}
    found: dict[str, None] = {}
    for name in names:
        file = Path(name).name
        slug = name if name in course.lessons else by_file.get(file) or by_file.get(f"{file}.md")
        if slug is None:
            near = near_miss(name, tuple(course.lessons))
            hint = f"did you mean `{near}`?" if near else f"lessons: {', '.join(course.lessons)}"
            raise UsageError(f"there is no lesson `{shown(name)}`; {hint}")
        found[slug] = None
    return list(found or course.lessons)


def _papers_of(
    edition: Edition, bundle: Bundle, kinds: tuple[Kind, ...], *, per_page: int | None
) -> tuple[Paper, ...]:
    papers = make_papers(edition, bundle, kinds, per_page=per_page)
    made = {paper.kind for paper in papers}
    if "sheet" not in made:
        click.echo(f"{bundle.name}: no exercises, so no sheet", err=True)
    if "cards" in kinds and "cards" not in made:
        click.echo(f"{bundle.name}: no cards", err=True)
    return papers


def _files(papers: Sequence[Paper], *, has_pdf: bool) -> dict[str, bytes]:
    """Return the files by name. All are made before the first is written."""
    files = {}
    for paper in papers:
        files[f"{paper.name}.html"] = paper.html.encode()
        if has_pdf:
            from plybook.site.paper.pdf import as_pdf

            files[f"{paper.name}.pdf"] = as_pdf(paper.html)
    return files


def _write(folder: Path, files: Mapping[str, bytes]) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in files:
            _refuse_foreign(folder / name)
        for name, content in files.items():
            write_whole(folder / name, content)
            click.echo(folder / name)
    except OSError as error:
        place = shown(str(error.filename or folder), limit=200)
        raise UsageError(f"cannot write {place}: {error.strerror}") from error


def _refuse_foreign(path: Path) -> None:
    """Raise UsageError for a file that is not ours: a coach's own work is never written over."""
    if path.exists() and _MARK not in read_regular(path):
        raise UsageError(f"{path} was not made by plybook; move it, or choose another --out")
