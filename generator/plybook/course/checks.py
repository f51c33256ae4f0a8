"""How lessons name one another: prerequisites, principles, levels, parts, links and images."""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from functools import partial
from typing import Final

from plybook.board import ledger
from plybook.course.model import Part
from plybook.diagnostics import Report, Span, near_miss, shown
from plybook.kept import Kept
from plybook.resources import shipped_folder
from plybook.text.addresses import is_external, target_of
from plybook.text.model import (
    CourseDraft,
    CourseFile,
    ExerciseDraft,
    LessonDraft,
    Link,
    Located,
    PrincipleDraft,
    TagsDraft,
)
from plybook.text.walk import proses_of

__all__ = ["check_heads", "check_links", "sort_parts"]

_FACTS: Final = {kind.value: meaning for kind, meaning in ledger.VOCABULARY.items()}


def check_heads(draft: CourseDraft, aliases: Mapping[str, str], *, report: Report) -> None:
    """Report names in heads and tags that nothing in the course answers to."""
    principles = [principle.slug for principle in draft.principles]
    order = {lesson.slug: at for at, lesson in enumerate(draft.lessons)}
    in_cycle = _check_cycles(draft.lessons, aliases, report)
    drafts = {lesson.slug for lesson in draft.lessons if lesson.is_draft}
    _check_theme(draft.file, report)
    _check_facts(draft.principles, report)
    _check_taught(draft.lessons, set(principles), report)
    for lesson in draft.lessons:
        for named in (*lesson.teaches, *lesson.practises):
            _check_principle(named.value, named.span, principles, report)
        for block in lesson.blocks:
            if isinstance(block, TagsDraft):
                for tag in block.tags:
                    _check_principle(tag.principle, tag.principle_span, principles, report)
            elif isinstance(block, ExerciseDraft) and block.level:
                _check_level(block.level, draft.file, report)
        if lesson.level:
            _check_level(lesson.level, draft.file, report)
        for need in lesson.needs:
            slug = _check_lesson(need, aliases, order, report)
            if slug in drafts and not lesson.is_draft:
                _report_draft("unknown-lesson", slug, need.span, report)
                continue
            if slug and order[slug] > order[lesson.slug] and need not in in_cycle:
                report.add(
                    "later-prerequisite",
                    need.span,
                    f"`{lesson.slug}` needs `{slug}`, which comes after it",
                    help="give the files numbers in the order in which they are taught",
                )


def _report_draft(code: str, name: str, span: Span, report: Report) -> None:
    report.add(
        code,
        span,
        f"`{name}` is a draft, so no pupil can open it",
        help="take `draft: true` out of its head, or name another lesson",
    )


def _check_theme(file: CourseFile, report: Report) -> None:
    themes = sorted(path.parent.name for path in shipped_folder("themes").glob("*/theme.yaml"))
    if file.theme not in themes:
        near = near_miss(file.theme, themes)
        report.add(
            "unknown-theme",
            file.span,
            f"no theme `{shown(file.theme)}`",
            help=f"did you mean `{near}`?" if near else f"themes: {', '.join(themes)}",
        )


def _check_principle(name: str, span: Span, known: list[str], report: Report) -> None:
    if name not in known:
        near = near_miss(name, known)
        report.add(
            "unknown-principle",
            span,
            f"no principle `{shown(name)}`",
            help=f"did you mean `{near}`?" if near else f"write principles/{shown(name)}.md",
        )


def _check_facts(principles: tuple[PrincipleDraft, ...], report: Report) -> None:
    """Report names of facts that are none, and facts that cannot do what a principle asks."""
    for principle in principles:
        for role, names in (
            (ledger.Role.KEEP, principle.kept_by),
            (ledger.Role.BREAK, principle.broken_by),
            (ledger.Role.JUSTIFY, principle.justified_by),
            (ledger.Role.PUNISH, principle.punished_by),
        ):
            for name in names:
                _check_fact(name, role, report)


def _check_fact(named: Located, role: ledger.Role, report: Report) -> None:
    fitting = [name for name, meaning in _FACTS.items() if role in meaning.roles]
    offer = f"facts that can {role.value} one: {', '.join(fitting)}"
    if named.value not in _FACTS:
        near = near_miss(named.value, _FACTS)
        report.add(
            "unknown-fact",
            named.span,
            f"the ledger knows no fact `{shown(named.value)}`",
            help=(*((f"did you mean `{near}`?",) if near else ()), offer),
        )
    elif role not in _FACTS[named.value].roles:
        roles = [other.value for other in ledger.Role if other in _FACTS[named.value].roles]
        report.add(
            "misused-fact",
            named.span,
            f"`{named.value}` cannot {role.value} a principle",
            notes=(f"it can {' or '.join(roles)} one",),
            help=offer,
        )


def _check_taught(lessons: tuple[LessonDraft, ...], known: set[str], report: Report) -> None:
    """Report principles that a lesson practises and neither it nor one before it teaches."""
    taught: dict[str, bool] = {}  # by principle, whether a published lesson teaches it
    for lesson in lessons:
        for named in lesson.teaches:
            taught[named.value] = taught.get(named.value, False) or not lesson.is_draft
        for named in lesson.practises:
            is_taught = taught.get(named.value, False) or (
                lesson.is_draft and named.value in taught
            )
            if named.value in known and not is_taught:
                later = [
                    other.slug
                    for other in lessons
                    if named.value in {one.value for one in other.teaches}
                ]
                report.add(
                    "practised-before-taught",
                    named.span,
                    f"`{named.value}` is practised here, and no lesson so far teaches it",
                    notes=(f"`{later[0]}` teaches it",) if later else (),
                    help="add it to `teaches` of this lesson or of one before it",
                )


def _check_level(level: Located, file: CourseFile, report: Report) -> None:
    levels = file.levels
    if level.value not in levels and file.is_whole:
        near = near_miss(level.value, levels)
        known = f"levels of this course: {', '.join(levels)}" if levels else "add it to `levels`"
        report.add(
            "unknown-level",
            level.span,
            f"no level `{shown(level.value)}`",
            help=f"did you mean `{near}`?" if near else known,
        )


def _check_lesson(
    named: Located, aliases: Mapping[str, str], order: Mapping[str, int], report: Report
) -> str | None:
    slug = aliases.get(named.value)
    if slug is None:
        near = near_miss(named.value, order)
        report.add(
            "unknown-lesson",
            named.span,
            f"no lesson `{shown(named.value)}`",
            help=f"did you mean `{near}`?" if near else f"lessons: {', '.join(order)}",
        )
    return slug


def _check_cycles(
    lessons: tuple[LessonDraft, ...], aliases: Mapping[str, str], report: Report
) -> set[Located]:
    """Report each lesson that needs itself by way of others; return the needs of such circles."""
    needs = {
        lesson.slug: [(aliases[need.value], need) for need in lesson.needs if need.value in aliases]
        for lesson in lessons
    }
    done: set[str] = set()
    in_cycle: set[Located] = set()
    for lesson in lessons:
        if lesson.slug in done:
            continue
        path, taken, ahead = [lesson.slug], list[Located](), [iter(needs[lesson.slug])]
        while path:
            other, need = next(ahead[-1], ("", None))
            if need is None:  # all needs of this lesson have been followed
                done.add(path.pop())
                ahead.pop()
                del taken[-1:]
            elif other in path:
                first = path.index(other)
                in_cycle.update((*taken[first:], need))
                report.add(
                    "prerequisite-cycle",
                    need.span,
                    "a lesson needs itself in the end",
                    notes=(" → ".join((*path[first:], other)),),
                    help="take one of these `needs` out",
                )
            elif other not in done:
                path.append(other)
                taken.append(need)
                ahead.append(iter(needs[other]))
    return in_cycle


# ---------------------------------------------------------------------- parts


def sort_parts(
    draft: CourseDraft, shown: list[str], aliases: Mapping[str, str], *, report: Report
) -> tuple[Part, ...]:
    """Return the parts with the lessons that are shown; those in no part come last, untitled."""
    order = {lesson.slug: at for at, lesson in enumerate(draft.lessons)}
    seen: dict[str, str] = {}
    parts = []
    last = -1
    for part in draft.file.parts:
        members = []
        for named in part.lessons:
            slug = _check_lesson(named, aliases, order, report)
            if slug is None:
                continue
            if slug in seen:
                report.add(
                    "lesson-in-two-parts",
                    named.span,
                    f"`{slug}` is already in “{seen[slug]}”",
                    help="keep it in one part",
                )
                continue
            if order[slug] < last:
                report.add(
                    "part-order",
                    named.span,
                    f"`{slug}` comes earlier by its file name",
                    help="list the lessons in the order of their files, or renumber the files",
                )
            last = max(last, order[slug])
            seen[slug] = part.title
            members.append(slug)
        parts.append(Part(title=part.title, lessons=tuple(s for s in members if s in shown)))
    return (*parts, *_rest(draft, shown, seen, report))


def _rest(
    draft: CourseDraft, shown: list[str], seen: Mapping[str, str], report: Report
) -> tuple[Part, ...]:
    rest = tuple(slug for slug in shown if slug not in seen)
    if draft.file.parts:
        files = {lesson.slug: lesson.file for lesson in draft.lessons if not lesson.is_draft}
        for slug in files.keys() & set(rest):
            report.add(
                "lesson-in-no-part",
                Span.of_file(files[slug]),
                f"`{slug}` is in no part of course.yaml",
                help="add it to the `lessons` of a part",
            )
    return (Part(title="", lessons=rest),) if rest else ()


# ---------------------------------------------------------------------- links


def check_links(draft: CourseDraft, *, report: Report, kept: Kept | None = None) -> None:
    """Report links to pages and headings that are not there, and images that are missing."""
    kept = kept or Kept()
    pages: dict[str, LessonDraft | PrincipleDraft] = {
        lesson.file: lesson for lesson in draft.lessons
    }
    pages.update((principle.file, principle) for principle in draft.principles)
    images = set(draft.images)
    kept.only("links", pages)
    for file, page in pages.items():
        for link in kept.take("links", file, (page,), partial(_links, page), report=report):
            _check_link(link, file, pages, images, report)


def _links(page: LessonDraft | PrincipleDraft, report: Report) -> tuple[Link, ...]:
    """Return the links of a page into the course, and report pictures from elsewhere."""
    found = []
    for prose in proses_of(page):
        for link in prose.links:
            if link.is_image and is_external(link.target):
                report.add(
                    "bad-link",
                    link.span,
                    "a picture from another site is not shown",
                    notes=("pages fetch nothing from elsewhere, so that they work offline",),
                    help="put the picture into the folder images/",
                )
            elif link.reference is None and not is_external(link.target):
                found.append(link)
    return tuple(found)


def _check_link(
    link: Link,
    file: str,
    pages: Mapping[str, LessonDraft | PrincipleDraft],
    images: set[str],
    report: Report,
) -> None:
    target, heading = target_of(link.target, file=file)
    if link.is_image:
        if target not in images:
            near = near_miss(target, images)
            report.add(
                "missing-image",
                link.span,
                f"no image `{shown(target)}`",
                help=f"did you mean `{near}`?" if near else "put it into the folder images/",
            )
        return
    page = pages.get(target)
    if page is None:
        near = near_miss(target, pages)
        report.add(
            "broken-link",
            link.span,
            f"nothing in the course is called `{shown(target)}`",
            help=f"did you mean `{posixpath.relpath(near, posixpath.dirname(file))}`?"
            if near
            else "link to a lesson or principle by its file: `02-men-out.md`",
        )
    elif isinstance(page, LessonDraft) and page.is_draft and not _is_draft(pages[file]):
        _report_draft("broken-link", page.file, link.span, report)
    elif heading and page.is_read and heading not in _heading_names(page):
        near = near_miss(heading, _heading_names(page))
        report.add(
            "broken-link",
            link.span,
            f"`{page.file}` has no heading `{shown(heading)}`",
            help=f"did you mean `#{near}`?" if near else (),
        )


def _is_draft(page: LessonDraft | PrincipleDraft) -> bool:
    return isinstance(page, LessonDraft) and page.is_draft


def _heading_names(page: LessonDraft | PrincipleDraft) -> set[str]:
    """Return the ways to name a heading: its id, with and without the leading `h-`."""
    names = page.prose.headings
    return {*names, *(name.removeprefix("h-") for name in names)}
