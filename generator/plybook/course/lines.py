"""Playing the lines of all lessons, each after the line it starts from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from plybook.board import START, Line, Position, open_place, play_line, read_fen
from plybook.course.model import Place
from plybook.course.places import resolve_in_line
from plybook.diagnostics import Report, near_miss
from plybook.kept import Kept
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


@dataclass(frozen=True, slots=True)
class _Written:
    """The `moves` blocks of a lesson by name. `is_alone`: none of them starts from another line."""

    blocks: Mapping[str, MovesDraft]
    names: tuple[str, ...]
    is_alone: bool
    is_partly: bool

    @classmethod
    def of(cls, lesson: LessonDraft) -> _Written:
        blocks = {block.name: block for block in lesson.blocks if isinstance(block, MovesDraft)}
        return cls(
            blocks=blocks,
            names=tuple(blocks),
            is_alone=not any(isinstance(block.start, Reference) for block in blocks.values()),
            is_partly=None in lesson.blocks,
        )


def play_lines(
    lessons: tuple[LessonDraft, ...], *, report: Report, kept: Kept | None = None
) -> Lines:
    """Return every `moves` block of the lessons, played. Lines that stand in `kept` are taken up.

    A lesson of which nothing has changed has the same mapping of its lines as before.
    """
    player = _Player(lessons, kept or Kept(), report)
    for lesson in lessons:
        player.play_lesson(lesson)
    return player.lines()


class _Player:
    def __init__(self, lessons: tuple[LessonDraft, ...], kept: Kept, report: Report) -> None:
        self._report = report
        self._kept = kept
        self._played: dict[tuple[str, str], Line | None] = {}
        self._lessons = {lesson.slug: lesson for lesson in lessons}
        self._written = {
            lesson.slug: kept.take(
                "written", lesson.slug, (lesson,), partial(_written, lesson), report=report
            )
            for lesson in lessons
        }
        for kind in ("written", "lines"):
            kept.only(kind, self._written.keys())
        self._so_far: dict[str, dict[str, Line]] = {lesson.slug: {} for lesson in lessons}
        self._known = Lines(
            by_lesson=self._so_far,
            aliases=kept.same("aliases", aliases_of(lessons)),
            drafts=frozenset(lesson.slug for lesson in lessons if lesson.is_draft),
            written={slug: written.names for slug, written in self._written.items()},
            unread=frozenset(lesson.slug for lesson in lessons if not lesson.is_read),
            partly=frozenset(slug for slug, each in self._written.items() if each.is_partly),
        )

    def lines(self) -> Lines:
        """Return what has been played, in the order the lessons were written."""
        self._kept.only("line", self._played.keys())
        return self._known

    def play_lesson(self, lesson: LessonDraft) -> None:
        """Play the lines of a lesson, and before them those they start from."""
        slug, written = lesson.slug, self._written[lesson.slug]
        if not written.is_alone:
            for name in written.names:
                self.play(slug, name)
            played = self._so_far[slug]
            self._so_far[slug] = self._kept.take(
                "lines",
                slug,
                (lesson, *played.values()),
                lambda _: {name: played[name] for name in written.names if name in played},
                report=self._report,
            )
        elif not self._so_far[slug]:
            self._play_alone(slug)

    def _play_alone(self, slug: str) -> None:
        """Play the lines of a lesson that starts from no other line."""
        blocks = self._written[slug].blocks
        self._so_far[slug] = self._kept.take(
            "lines",
            slug,
            (self._lessons[slug],),
            lambda report: {
                name: line
                for name, block in blocks.items()
                if (line := _played(block, None, report)) is not None
            },
            report=self._report,
        )

    def play(self, slug: str, name: str) -> None:
        """Play a line, and before it the lines it starts from."""
        waiting: list[tuple[str, str]] = []
        key: tuple[str, str] | None = (slug, name)
        while key is not None and self._is_waiting(key):
            if key in waiting:
                self._report_cycle(waiting[waiting.index(key) :])
                break
            waiting.append(key)
            key = self._source(key)
        for one in reversed(waiting):
            if one not in self._played:
                self._play_one(one)

    def _is_waiting(self, key: tuple[str, str]) -> bool:
        """Return whether a line is there to be played; a lesson that stands alone is, at once."""
        written = self._written.get(key[0])
        if written is None or key[1] not in written.blocks or key in self._played:
            return False
        if written.is_alone:
            if not self._so_far[key[0]]:
                self._play_alone(key[0])
            return False
        return True

    def _block(self, key: tuple[str, str]) -> MovesDraft:
        return self._written[key[0]].blocks[key[1]]

    def _play_one(self, key: tuple[str, str]) -> None:
        slug, name = key
        block = self._block(key)
        self._played[key] = None
        origin: tuple[Line, int] | None = None
        if isinstance(block.start, Reference):
            place = self._known.resolve(block.start, lesson=slug, report=self._report)
            if place is None:
                return
            origin = self._so_far[place.lesson][place.line], place.index
        line = self._kept.take(
            "line",
            key,
            (block, *(origin or ())),
            lambda report: _played(block, origin, report),
            report=self._report,
        )
        if line is not None:
            self._played[key] = self._so_far[slug][name] = line

    def _source(self, key: tuple[str, str]) -> tuple[str, str] | None:
        """Return the line that a line starts from, or None."""
        start = self._block(key).start
        if not isinstance(start, Reference):
            return None
        return self._known.aliases.get(start.lesson or key[0], ""), start.line

    def _report_cycle(self, circle: list[tuple[str, str]]) -> None:
        """Report the last of the lines of a circle, which cannot be played then."""
        last = self._block(circle[-1])
        assert isinstance(last.start, Reference)
        self._played[circle[-1]] = None
        self._report.add(
            "reference-cycle",
            last.start.span,
            "this line starts from a line that starts from it",
            notes=(" → ".join(f"{slug}/{name}" for slug, name in [*circle, circle[0]]),),
            help="let one of them start from a FEN or from the start of the game",
        )


def _written(lesson: LessonDraft, report: Report) -> _Written:
    return _Written.of(lesson)


def _played(block: MovesDraft, origin: tuple[Line, int] | None, report: Report) -> Line | None:
    """Return a block played, from a place of another line where it starts from one."""
    match block.start:
        case None:
            start: Position | None = START
        case FenText():
            start = read_fen(block.start, is_partial=block.is_partial, report=report)
        case Reference():
            start = open_place(*origin) if origin else None
    if start is None:
        return None
    return play_line(
        block.name,
        block.movetext,
        start=start,
        span=block.span,
        report=report,
        ends=block.ends,
    )


def aliases_of(lessons: tuple[LessonDraft, ...]) -> dict[str, str]:
    """Return the ways to name a lesson: its slug, and its file name with the number."""
    aliases = {lesson.slug: lesson.slug for lesson in lessons}
    for lesson in lessons:
        stem = lesson.file.rpartition("/")[2].removesuffix(".md")
        aliases.setdefault(stem, lesson.slug)
    return aliases
