"""Sheets, keys and cards: check the course, make the papers, write the files."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Final

import click

from plybook.course import Course
from plybook.desk.handouts import Handout, mark, put_all
from plybook.desk.printing import FAULTS, show_all
from plybook.desk.work import CHECK, Work, find_course, look_for_leaks, run
from plybook.diagnostics import UsageError, near_miss, shown
from plybook.site.pages.edition import Edition
from plybook.site.pages.theme import load_theme
from plybook.site.paper.chosen import Bundle, choose, choose_mixed
from plybook.site.paper.papers import Kind, Paper, make_papers
from plybook.text import COURSE_FILE

__all__ = ["write_sheets"]

_FOLDER: Final = "paper"


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
    """Write the papers and return the exit code.

    A course with a fault prints nothing, nor does one of which a paper would show what is held
    back. Each file that was written is named on the standard output.
    """
    folder, names = _course_of(course, names)
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
    if _leak(work, papers):
        click.echo("no sheet was written", err=True)
        return FAULTS
    place = out if out is not None else folder.resolve().parent / _FOLDER
    handouts = _handouts(papers, work.course, place, has_pdf=has_pdf)
    with suppress(OSError):  # what cannot be made is told when the files are written
        place.mkdir(parents=True, exist_ok=True)
    return put_all(handouts)


def _course_of(course: Path | None, names: Sequence[str]) -> tuple[Path, Sequence[str]]:
    """Return the course folder and the lessons named; a folder may stand before the lessons."""
    if course is not None or not names:
        return find_course(course), names
    if (Path(names[0]) / COURSE_FILE).is_file():
        return Path(names[0]), names[1:]
    try:
        return find_course(None), names
    except UsageError as error:
        raise UsageError(f"{error}; name one here with `--course DIR`") from error


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


def _leak(work: Work, papers: Sequence[Paper]) -> bool:
    """Return whether a paper shows a withheld name, an address or a number, and say where."""
    before = frozenset(work.report)
    pages = {f"{_FOLDER}/{paper.name}.html": paper.html.encode() for paper in papers}
    looked = look_for_leaks(replace(work, files=pages))
    show_all(looked, but=before)
    return looked.report.errors > 0


def _handouts(
    papers: Sequence[Paper], course: Course, folder: Path, *, has_pdf: bool
) -> list[Handout]:
    """Return the files. All are made before the first is written."""
    files = []
    for paper in papers:
        made = [("html", "paper", paper.html.encode())]
        if has_pdf:
            from plybook.site.paper.pdf import as_pdf

            made.append(("pdf", "pdf", as_pdf(paper.html, course=course.file.ident)))
        files += [
            Handout(
                target=folder / f"{paper.name}.{ending}",
                content=content,
                is_ours=mark(form, course),
            )
            for ending, form, content in made
        ]
    return files
