"""What the pages of one build share, and how a page that is kept says what it was made from.

A page made alone sees the course through `Stock.seen_by`: all it looks up there goes through one
question and answer, so that its list of questions is the manifest of what it was made from.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import FunctionType, MethodType
from typing import Any, Final, TypeVar, cast

from markupsafe import Markup

from plybook.board.model import Line
from plybook.course.model import Course, Evidence, Meeting, Place
from plybook.kept import Ask
from plybook.site.drawing.sprite import sprite
from plybook.site.pages.evidence import Touched
from plybook.site.pages.theme import Theme
from plybook.site.pages.views import CourseView
from plybook.site.pictures.images import Image
from plybook.site.wording.stepper import json_for_script

__all__ = ["Assets", "Stock", "data_script", "make_assets", "watched"]

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")

_FONT_URL: Final = re.compile(r"url\((['\"]?)([^'\")]+)\1\)")
_KEYS: Final = object()  # the question for all keys of a table
_NOTHING: Final = object()  # the answer where a table has no such key


@dataclass(frozen=True, slots=True, kw_only=True)
class Assets:
    """The files that pages share, by path, and the paths of style sheets and scripts by name."""

    files: Mapping[str, bytes]
    stylesheets: Mapping[str, str]
    scripts: Mapping[str, str]


def make_assets(theme: Theme) -> Assets:
    """Return style sheets, scripts and fonts; each name holds a digest of its content."""
    files: dict[str, bytes] = {}
    renamed: dict[str, str] = {}
    for name, content in theme.fonts:
        is_font = name.endswith(".woff2")  # a licence text is read by people: it keeps its name
        published = _digested(name, content) if is_font else name
        renamed[name] = published
        files[f"assets/{published}"] = content
    css = _FONT_URL.sub(lambda found: f'url("{renamed.get(found[2], found[2])}")', theme.stylesheet)
    paths: dict[str, dict[str, str]] = {"css": {}, "js": {}}
    for ending, texts in (
        ("css", {"style": css, **theme.more_sheets}),
        ("js", {"board": theme.script, **theme.more_scripts}),
    ):
        for name, text in texts.items():
            content = text.encode()
            path = paths[ending][name] = f"assets/{_digested(f'{name}.{ending}', content)}"
            files[path] = content
    return Assets(files=files, stylesheets=paths["css"], scripts=paths["js"])


def data_script(name: str, setting: str, value: Any) -> tuple[str, bytes]:
    """Return path and content of a script that does no more than set one value.

    `setting` is its beginning, up to the value. The value is parsed as JSON, so that no key of it
    is ever code.
    """
    text = json.dumps(json_for_script(value), ensure_ascii=True)
    content = f"{setting}JSON.parse({text});\n".encode("ascii")
    return f"assets/{_digested(f'{name}.js', content)}", content


def _digested(name: str, content: bytes) -> str:
    stem, _, ending = name.rpartition(".")
    return f"{stem}-{hashlib.sha256(content).hexdigest()[:10]}.{ending}"


class Stock:
    """Looked-up things of a course in a theme. Each table is made when it is first asked for."""

    def __init__(
        self,
        course: Course,
        theme: Theme,
        *,
        view: CourseView,
        images: Mapping[str, Image] | None = None,
        is_for_coach: bool = False,
    ) -> None:
        """With `is_for_coach` pages show what no pupil sees: the coach's notes."""
        self.course = course
        self.theme = theme
        self.view = view
        self.is_for_coach = is_for_coach
        self.images: Mapping[str, Image] = images or {}

    @cached_property
    def assets(self) -> Assets:
        """The files that pages share."""
        return make_assets(self.theme)

    @cached_property
    def sprite(self) -> Markup:
        """The drawings that boards use."""
        return sprite(self.theme.pieces)

    @cached_property
    def pages_of_files(self) -> Mapping[str, str]:
        """The page of each file of the course."""
        course = self.course
        return {
            **{one.draft.file: f"lessons/{slug}.html" for slug, one in course.lessons.items()},
            **{page.file: f"principles/{slug}.html" for slug, page in course.principles.items()},
        }

    @cached_property
    def headings(self) -> Mapping[str, tuple[str, ...]]:
        """The ids of the headings of each page, by its file."""
        course = self.course
        return {
            **{one.draft.file: one.draft.prose.headings for one in course.lessons.values()},
            **{page.file: page.prose.headings for page in course.principles.values()},
        }

    @cached_property
    def meetings(self) -> Mapping[str, tuple[Meeting, ...]]:
        """The meetings that each lesson takes part in, most telling first."""
        found: dict[str, list[Meeting]] = {}
        for meeting in self.course.meetings:
            for name in dict.fromkeys(place.lesson for place in meeting.places):
                found.setdefault(name, []).append(meeting)
        return {slug: tuple(meetings) for slug, meetings in found.items()}

    @cached_property
    def touched(self) -> Touched:
        """The principles that the course's moves touch."""
        return Touched(self.course)

    def answer(self, name: Hashable) -> Any:
        """Return what a name stands for: the one way in which a kept page looks things up.

        A name is (whose, field) or (whose, field, key): of the course, or of this stock.
        """
        match name:
            case ("touched", Place() as place):
                return self.touched.at(place, self.course.line(place))
            case (owner, str(field)):
                return getattr(self.course if owner == "course" else self, field)
            case (owner, str(field), key):
                table = getattr(self.course if owner == "course" else self, field)
                return tuple(table) if key is _KEYS else table.get(key, _NOTHING)
        raise KeyError(name)


class _WatchedMapping(Mapping[K, V]):
    """A table of which every look is a question."""

    def __init__(self, owner: str, field: str, ask: Ask) -> None:
        self._name = owner, field
        self._ask = ask

    def __getitem__(self, key: K) -> V:
        found = self._ask((*self._name, key))
        if found is _NOTHING:
            raise KeyError(key)
        return cast(V, found)

    def __iter__(self) -> Iterator[K]:
        return iter(self._ask((*self._name, _KEYS)))

    def __len__(self) -> int:
        return len(self._ask((*self._name, _KEYS)))


class _Watched:
    """An object of which every look at a field is a question; its methods run on it as well."""

    def __init__(self, owner: str, real: object, ask: Ask) -> None:
        self._owner, self._real, self._ask = owner, real, ask

    def __getattr__(self, field: str) -> Any:
        of_class = getattr(type(self._real), field, None)
        if field == "touched":
            return _WatchedTouched(self._ask)
        if isinstance(of_class, FunctionType):
            return MethodType(of_class, self)
        if isinstance(getattr(self._real, field), Mapping):
            return _WatchedMapping(self._owner, field, self._ask)
        return self._ask((self._owner, field))


class _WatchedTouched(Touched):
    """What moves touch, each move a question."""

    def __init__(self, ask: Callable[[Any], tuple[Evidence, ...]]) -> None:
        self._ask = ask

    def at(self, place: Place, line: Line) -> tuple[Evidence, ...]:
        """Return what the move before a place of a line does, the most urgent first."""
        return self._ask(("touched", place))


def watched(stock: Stock, ask: Ask) -> tuple[Course, Stock]:
    """Return the course and the stock as a page sees them that is to be kept."""
    course = cast(Course, _Watched("course", stock.course, ask))
    return course, cast(Stock, _Watched("stock", stock, ask))
