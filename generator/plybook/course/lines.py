"""Playing the lines of all lessons, each after the line it starts from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plybook.board import START, Line, Position, open_place, play_line, read_fen
from plybook.course.model import Place
from plybook.course.places import resolve_in_line
from plybook.diagnostics import Report, near_miss
from plybook.text.model import FenText, LessonDraft, MovesDraft, Reference

__all__ = ["Lines", "play_lines"]


@dataclass(slots=True)
class Lines:
    """All lines of the course while it is being put together, and how references find them."""

    by_lesson: Mapping[str, dict[str, Line]]
    aliases: Mapping[str, str]  # slug or numbered file name -> slug
    drafts: frozenset[str]
    written: Mapping[str, tuple[str, ...]]  # the names of all blocks, played or not
    unread: frozenset[str]  # lessons whose text could not be read: they may have any line
    partly: frozenset[str]  # lessons with a block that could not be read: it may be a line

    @property
    def broken(self) -> frozenset[tuple[str, str]]:
        """The blocks that could not be played at all, by lesson and name."""
        return frozenset(
            (slug, name)
            for slug, names in self.written.items()
            for name in names
            if name not in self.by_lesson[slug]
        )

    def resolve(self, reference: Reference, *, lesson: str | None, report: Report) -> Place | None:
        """Return the place a reference in `lesson` names, or None after a report.

        `lesson` is None for a page that is no lesson.
        """
        slug = self._lesson_of(reference, lesson, report)
        if slug is None:
            return None
        line = self.by_lesson[slug].get(reference.line)
        if line is None:
            if reference.line not in self.written[slug] and slug not in self.unread | self.partly:
                self._report_unknown_line(reference, slug, report)
            return None
        index = resolve_in_line(line, reference, report=report)
        return None if index is None else Place(slug, reference.line, index)

    def _lesson_of(self, reference: Reference, lesson: str | None, report: Report) -> str | None:
        if reference.lesson is None:
            if lesson is None:
                report.add(
                    "unknown-lesson",
                    reference.span,
                    f"`{reference}` does not say of which lesson",
                    help=f"write the lesson before it: `LESSON/{reference}`",
                )
            return lesson
        slug = self.aliases.get(reference.lesson)
        if slug is None:
            near = near_miss(reference.lesson, self.by_lesson)
            report.add(
                "unknown-lesson",
                reference.span,
                f"no lesson `{reference.lesson}`",
                help=f"did you mean `{near}`?" if near else (),
            )
        elif slug in self.drafts and lesson not in self.drafts:
            report.add(
                "unknown-lesson",
                reference.span,
                f"the lesson `{slug}` is a draft, so its positions are not published",
                help="take `draft: true` out of its head, or refer to another lesson",
            )
            return None
        return slug

    def _report_unknown_line(self, reference: Reference, slug: str, report: Report) -> None:
        names = self.written[slug]
        near = near_miss(reference.line, names)
        elsewhere = [other for other, lines in self.written.items() if reference.line in lines]
        if near:
            advice = f"did you mean `{near}`?"
        elif elsewhere:
            advice = f"did you mean `{elsewhere[0]}/{reference.line}`?"
        else:
            advice = f"lines here: {', '.join(names)}" if names else "this lesson has no lines"
        report.add("unknown-line", reference.span, f"no line `{reference.line}`", help=advice)


def play_lines(lessons: tuple[LessonDraft, ...], *, report: Report) -> Lines:
    """Return every `moves` block of the lessons, played."""
    player = _Player(lessons, report)
    for lesson in lessons:
        for block in lesson.blocks:
            if isinstance(block, MovesDraft):
                player.play(lesson.slug, block.name)
    return player.lines()


class _Player:
    def __init__(self, lessons: tuple[LessonDraft, ...], report: Report) -> None:
        self._report = report
        self._blocks = {
            (lesson.slug, block.name): block
            for lesson in lessons
            for block in lesson.blocks
            if isinstance(block, MovesDraft)
        }
        self._played: dict[tuple[str, str], Line | None] = {}
        self._lessons = lessons
        self._aliases = aliases_of(lessons)
        written: dict[str, list[str]] = {lesson.slug: [] for lesson in lessons}
        for slug, name in self._blocks:
            written[slug].append(name)
        self._written = {slug: tuple(names) for slug, names in written.items()}
        self._so_far: dict[str, dict[str, Line]] = {lesson.slug: {} for lesson in lessons}
        self._known = self._lines(self._so_far)

    def lines(self) -> Lines:
        """Return what has been played, in the order the lessons were written."""
        return self._lines(
            {
                slug: {name: played[name] for name in self._written[slug] if name in played}
                for slug, played in self._so_far.items()
            }
        )

    def _lines(self, by_lesson: dict[str, dict[str, Line]]) -> Lines:
        return Lines(
            by_lesson=by_lesson,
            aliases=self._aliases,
            drafts=frozenset(lesson.slug for lesson in self._lessons if lesson.is_draft),
            written=self._written,
            unread=frozenset(lesson.slug for lesson in self._lessons if not lesson.is_read),
            partly=frozenset(lesson.slug for lesson in self._lessons if None in lesson.blocks),
        )

    def play(self, slug: str, name: str) -> None:
        """Play a line, and before it the lines it starts from."""
        waiting: list[tuple[str, str]] = []
        key: tuple[str, str] | None = (slug, name)
        while key in self._blocks and key not in self._played:
            if key in waiting:
                self._report_cycle(waiting[waiting.index(key) :])
                break
            waiting.append(key)
            key = self._source(key)
        for one in reversed(waiting):
            if one not in self._played:
                self._play_one(one)

    def _play_one(self, key: tuple[str, str]) -> None:
        slug, name = key
        block = self._blocks[key]
        start = self._start(slug, block)
        self._played[key] = None
        if start is not None:
            line = play_line(
                name,
                block.movetext,
                start=start,
                span=block.span,
                report=self._report,
                ends=block.ends,
            )
            self._played[key] = self._so_far[slug][name] = line

    def _source(self, key: tuple[str, str]) -> tuple[str, str] | None:
        """Return the line that a line starts from, or None."""
        start = self._blocks[key].start
        if not isinstance(start, Reference):
            return None
        return self._aliases.get(start.lesson or key[0], ""), start.line

    def _report_cycle(self, circle: list[tuple[str, str]]) -> None:
        """Report the last of the lines of a circle, which cannot be played then."""
        last = self._blocks[circle[-1]]
        assert isinstance(last.start, Reference)
        self._played[circle[-1]] = None
        self._report.add(
            "reference-cycle",
            last.start.span,
            "this line starts from a line that starts from it",
            notes=(" → ".join(f"{slug}/{name}" for slug, name in [*circle, circle[0]]),),
            help="let one of them start from a FEN or from the start of the game",
        )

    def _start(self, slug: str, block: MovesDraft) -> Position | None:
        match block.start:
            case None:
                return START
            case FenText():
                return read_fen(block.start, is_partial=block.is_partial, report=self._report)
            case Reference():
                return self._from_reference(slug, block.start)

    def _from_reference(self, slug: str, reference: Reference) -> Position | None:
        place = self._known.resolve(reference, lesson=slug, report=self._report)
        if place is None:
            return None
        return open_place(self._so_far[place.lesson][place.line], place.index)


def aliases_of(lessons: tuple[LessonDraft, ...]) -> dict[str, str]:
    """Return the ways to name a lesson: its slug, and its file name with the number."""
    aliases = {lesson.slug: lesson.slug for lesson in lessons}
    for lesson in lessons:
        stem = lesson.file.rpartition("/")[2].removesuffix(".md")
        aliases.setdefault(stem, lesson.slug)
    return aliases
