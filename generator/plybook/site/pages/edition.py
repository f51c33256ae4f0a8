"""The course in a theme, ready to be made into pages: what every page needs, worked out once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from plybook import __version__
from plybook.board import ledger, open_place
from plybook.board.model import Line, Mark, Ply, Position, Side
from plybook.course.model import Course, Lesson, Meeting, Place
from plybook.course.recall import items_of
from plybook.site.drawing.diagram import board_svg, plate_svg
from plybook.site.pages.evidence import Touched
from plybook.site.pages.policy import POLICY
from plybook.site.pages.stock import Assets, Stock, make_assets
from plybook.site.pages.theme import Theme
from plybook.site.pages.views import CourseView, PageView
from plybook.site.pictures.images import Image
from plybook.site.wording.catalogue import catalogue
from plybook.site.wording.fragments import fragments_of
from plybook.site.wording.languages import is_right_to_left, words_for
from plybook.site.wording.stepper import encode_moves, read_moves
from plybook.site.wording.typography import quotes_of
from plybook.site.wording.words import Words, after, marks_words, position_words, turn_words, where
from plybook.text.model import MovesDraft
from plybook.text.notation import OWN_LETTERS, letters_of

__all__ = ["Assets", "Edition", "Sheet", "course_view", "make_assets"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A line with what its pages say of it, by place where a tuple is indexed."""

    lesson: str
    line: Line
    draft: MovesDraft
    title: str
    letters: str
    view: Side
    fragments: tuple[str, ...]
    moves: str  # for the page script
    placements: tuple[str, ...]

    def ply(self, place: int) -> Ply | None:
        """Return the move that leads to a place, None at the start."""
        return self.line.plies[place - 1] if place else None


@cache
def _templates(folders: tuple[Path, ...], language: str) -> Environment:
    """Return the templates of a theme in a language, compiled once; a changed file anew."""
    environment = Environment(
        extensions=["jinja2.ext.i18n"],
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.install_gettext_translations(  # type: ignore[attr-defined]  # added by the extension
        catalogue(language), newstyle=True
    )
    return environment


def course_view(course: Course) -> CourseView:
    """Return what every page says of the course."""
    return CourseView(
        title=course.file.title,
        club=course.file.club or "",
        author=course.file.author or "",
        language=course.file.language,
        licence=course.file.licence or "",
        ident=course.file.ident,
        levels=course.file.levels,
        lesson_count=len(course.lessons),
        recall=" ".join(map(str, course.file.recall)),
        has_recall=any(map(items_of, course.lessons.values())),
    )


class Edition:
    """One build of a course in a theme. What is asked for twice is worked out once."""

    def __init__(
        self,
        course: Course,
        theme: Theme,
        *,
        images: Mapping[str, Image] | None = None,
        stock: Stock | None = None,
    ) -> None:
        """Without a `stock` that several editions share, make one."""
        if stock is None:
            stock = Stock(course, theme, view=course_view(course), images=images)
        self.course = course
        self.theme = theme
        self._stock = stock
        self._sheets: dict[tuple[str, str], Sheet] = {}
        self._positions: dict[Place, Position] = {}

    @property
    def images(self) -> Mapping[str, Image]:
        """The pictures of the course by their path."""
        return self._stock.images

    @property
    def is_for_coach(self) -> bool:
        """Whether the pages show what no pupil sees."""
        return self._stock.is_for_coach

    @property
    def assets(self) -> Assets:
        """The files that pages share."""
        return self._stock.assets

    @property
    def view(self) -> CourseView:
        """What every page says of the course."""
        return self._stock.view

    @property
    def pages_of_files(self) -> Mapping[str, str]:
        """The page of each file of the course."""
        return self._stock.pages_of_files

    @property
    def touched(self) -> Touched:
        """The principles that the course's moves touch."""
        return self._stock.touched

    def meetings_of(self, slug: str) -> tuple[Meeting, ...]:
        """Return the meetings that a lesson takes part in, most telling first."""
        return self._stock.meetings.get(slug, ())

    def headings_of(self, file: str) -> tuple[str, ...]:
        """Return the ids of the headings of a page by its file."""
        return self._stock.headings.get(file, ())

    # ---------------------------------------------------------------- words

    def words(self, language: str | None = None) -> Words:
        """Return the words of a page in `language`, or in the course's."""
        return words_for(language or self.course.file.language)

    def quotes(self, language: str | None = None) -> tuple[str, str, str, str]:
        """Return the quotation marks of a page in `language`, or in the course's."""
        return quotes_of(language or self.course.file.language)

    def letters(self, *wishes: str | None, language: str | None = None) -> str:
        """Return the first letter set that is wished for, else the course's.

        A page in `language`, or in the course's, may wish for the letters of its own.
        """
        wish = next((wish for wish in wishes if wish), self.course.file.letters)
        return letters_of(language or self.course.file.language) if wish == OWN_LETTERS else wish

    # ---------------------------------------------------------------- lines

    def sheets(self, lesson: Lesson) -> tuple[Sheet, ...]:
        """Return the lines of a lesson in the order of its blocks."""
        return tuple(
            self.sheet(lesson.slug, block.name)
            for block in lesson.draft.blocks
            if isinstance(block, MovesDraft) and block.name in lesson.lines
        )

    def sheet(self, slug: str, name: str) -> Sheet:
        """Return a line of a lesson with what pages say of it."""
        lesson = self.course.lessons[slug]
        found = self._sheets.get((slug, name))
        if found is None:
            found = self._sheets[slug, name] = self._make_sheet(lesson, name)
        return found

    def _make_sheet(self, lesson: Lesson, name: str) -> Sheet:
        line = lesson.lines[name]
        draft = next(
            block
            for block in lesson.draft.blocks
            if isinstance(block, MovesDraft) and block.name == name
        )
        moves = encode_moves(line)
        return Sheet(
            lesson=lesson.slug,
            line=line,
            draft=draft,
            title=draft.title or self.words(lesson.draft.language).line,
            letters=self.letters(
                draft.letters, lesson.draft.letters, language=lesson.draft.language
            ),
            view=cast(Side, draft.view or "white"),
            fragments=fragments_of(line),
            moves=moves,
            placements=read_moves(line.start.placement, moves)[0],
        )

    def sheet_of(self, place: Place) -> Sheet:
        """Return the line a place stands in."""
        return self.sheet(place.lesson, place.line)

    def ledger(self, sheet: Sheet) -> ledger.Ledger:
        """Return the ledger of a line."""
        return self.course.ledgers[sheet.lesson, sheet.line.name]

    def position(self, place: Place) -> Position:
        """Return the position of a place."""
        found = self._positions.get(place)
        if found is None:
            line = self.sheet_of(place).line
            found = self._positions[place] = open_place(line, place.index)
        return found

    def fragment(self, place: Place) -> str:
        """Return the fragment of a place, without `#`."""
        return self.sheet_of(place).fragments[place.index]

    def address(self, place: Place, *, root: str) -> str:
        """Return the address of a place from a page whose way to the top is `root`."""
        return f"{root}lessons/{place.lesson}.html#{self.fragment(place)}"

    def place_words(self, place: Place, words: Words) -> str:
        """Return "After 4…g6" or "The start"."""
        sheet = self.sheet_of(place)
        return after(sheet.ply(place.index), words, letters=sheet.letters)

    def title_of(self, place: Place, words: Words) -> str:
        """Return a place for readers of another page: lesson, line, move."""
        lesson = self.course.lessons[place.lesson]
        sheet = self.sheet_of(place)
        line = words.line_of.format(lesson=lesson.draft.title, line=sheet.title)
        return words.place_of.format(
            title=line if sheet.draft.title else lesson.draft.title,
            place=where(sheet.ply(place.index), words, letters=sheet.letters),
        )

    def board(
        self,
        place: Place,
        words: Words,
        *,
        marks: tuple[Mark, ...] = (),
        seen_from: Side | None = None,
        alt: str | None = None,
        small: bool = False,
        live: bool = False,
    ) -> Markup:
        """Return a picture of a place. A small one has no coordinates; a live one can move."""
        sheet = self.sheet_of(place)
        position = self.position(place)
        ply = sheet.ply(place.index)
        label = alt or words.board.format(
            place=after(ply, words, letters=sheet.letters),
            turn=turn_words(position, words),
            words=position_words(position, words, has_turn=False),
            marks=marks_words(marks, words),
        )
        last = (ply.origin, ply.target) if ply else None
        if live:
            side = seen_from or sheet.view
            return plate_svg(position, seen_from=side, last=last, mark_sets={}, label=label.strip())
        return board_svg(
            position,
            seen_from=seen_from or sheet.view,
            marks=marks,
            last=last,
            label=label.strip(),
            coordinates=not small,
            small=small,
        )

    # ---------------------------------------------------------------- pages

    def block(self, macro: str, *values: Any, language: str | None = None) -> Markup:
        """Return the HTML of one block by its macro in blocks.html, in a page's language."""
        blocks: Any = self._environment(language).get_template("blocks.html").module
        render: Callable[..., Markup] = getattr(blocks, macro)
        return render(*values)

    def document(self, template: str, *, language: str | None = None, **views: Any) -> str:
        """Return a file that is no page of the site, such as a sheet, in a language."""
        document = self._environment(language).get_template(template)
        return document.render(course=self.view, **views)

    def _environment(self, language: str | None) -> Environment:
        return _templates(self.theme.template_folders, language or self.course.file.language)

    def page(
        self,
        template: str,
        *,
        kind: str,
        title: str,
        root: str,
        language: str | None = None,
        has_boards: bool,
        parts: tuple[str, ...] = (),
        data: tuple[str, ...] = (),
        **views: Any,
    ) -> bytes:
        """Return a whole page. `parts` names the further sheets and scripts it loads, in order.

        `data` are paths of scripts that only set values; they come before those of `parts`.
        """
        sheets, scripts = self.assets.stylesheets, self.assets.scripts
        tag = language or self.course.file.language
        view = PageView(
            kind=kind,
            title=title,
            language=tag,
            is_right_to_left=is_right_to_left(tag),
            words_language=self.words(tag).language,
            root=root,
            stylesheets=tuple(root + sheets[name] for name in ("style", *parts) if name in sheets),
            scripts=(
                root + scripts["board"],
                *(root + path for path in data),
                *(root + scripts[name] for name in parts if name in scripts),
            ),
            policy=POLICY,
            sprite=self._stock.sprite if has_boards else Markup(),
            generator=f"plybook {__version__}",
        )
        page = self._environment(language).get_template(template)
        text = page.render(page=view, course=self.view, **views)
        return text.encode()
