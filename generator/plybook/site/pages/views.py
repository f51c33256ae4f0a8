"""What a template receives: plain frozen values, all text ready, all fragments already escaped.

Templates decide where things stand, never what is true. A `Markup` value is finished HTML or SVG;
every `str` is text that the template engine escapes.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

__all__ = [
    "CardView",
    "ClaimView",
    "CourseView",
    "DiagramView",
    "ExampleGroupView",
    "ExampleView",
    "ExerciseView",
    "IndexView",
    "LegendView",
    "LessonView",
    "LineEntryView",
    "LineView",
    "LinkView",
    "MeetingView",
    "PageView",
    "PartView",
    "PlateView",
    "PrincipleView",
    "SourceView",
    "SourcesView",
    "TagView",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkView:
    """A link: where to and its words. `note` is small text beside it (a level, "4 minutes")."""

    href: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseView:
    """What every page says of the course."""

    title: str
    club: str
    author: str
    language: str
    licence: str
    ident: str
    levels: tuple[str, ...]
    lesson_count: int
    recall: str  # weeks from one recall to the next: "1 3 8"
    has_recall: bool  # whether there is a card or an exercise to come back


@dataclass(frozen=True, slots=True, kw_only=True)
class PageView:
    """One page: `root` is the way to the site's top ("" or "../"), assets start from there."""

    kind: str  # front, lesson, principle, principles, lines, sources, work, warm-up, plan, room
    title: str
    language: str
    is_right_to_left: bool
    words_language: str  # of the site's own words; English where they are not translated
    root: str
    stylesheets: tuple[str, ...]  # with root
    scripts: tuple[str, ...]  # with root, in the order in which they run
    policy: str  # the content security policy
    sprite: Markup  # the drawings the page's boards use; empty when it has none
    generator: str  # "plybook 0.1.0"


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendView:
    """One row of the legend: the role's word and a small picture of its mark."""

    role: str
    name: str
    picture: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateView:
    """The live board of a lesson page, standing at the lesson's first key position."""

    board: Markup  # the SVG, with one <g class="set" data-at=...> a marked place
    caption: str  # "After 4...g6"
    line_title: str
    turn: str  # "White to move"
    turn_side: str  # white, black
    words: str  # the position in words
    at: str  # the fragment it stands at
    legend: tuple[LegendView, ...]  # every role that some place of the page uses
    rails: Markup  # one <svg class="rail" data-line=...> a line, a chart where it tells something
    out: str  # the men that are out at this place: "Men out: White 3, Black 1", "" without a chart
    data: Markup  # the JSON of the stepping data, safe in a script element
    hides_next: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DiagramView:
    """A still picture. `number` counts the diagrams of a page."""

    number: int
    board: Markup
    href: str  # the fragment of its position, "" when the page has no such line
    place: str  # "After 4...g6" or "The start"
    turn: str
    caption: Markup
    legend: tuple[LegendView, ...]  # roles in this picture, for print


@dataclass(frozen=True, slots=True, kw_only=True)
class LineView:
    """A `moves` block. `moves` is the flowing movetext with its sidelines in order."""

    name: str
    title: str
    start_href: str
    moves: Markup
    chart: Markup  # the men that come out, for paper and without the script; "" where it is dull
    source: str
    pgn_href: str
    elsewhere: tuple[LinkView, ...]  # the same positions in other lessons


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimView:
    """One claim: the sentence and how it is known.

    `kind` is proved, holds or word, and picks the sign; `known` says it: "to depth 5".
    """

    sentence: Markup
    kind: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TagView:
    """What one move does to a principle."""

    move: Markup
    verb: str
    principle: LinkView
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialView:
    """How an exercise is tried: by `moves`, by `truth`, in `words`, or only read (empty)."""

    kind: str
    data: Markup  # for the page script


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseView:
    """An exercise printed plainly: board, task, hints and the answer out of sight."""

    ident: str
    number: int
    board: Markup
    place: str
    turn: str
    turn_side: str
    task: Markup
    hints: tuple[Markup, ...]
    answer: Markup
    wrong: tuple[tuple[Markup, Markup], ...]  # move, feedback
    level: Markup  # its stars and its name, "" when it is not said
    trial: TrialView


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """A recall card, question and answer, either with a board.

    `ident` names it in the browser's store, `name` on its page.
    """

    ident: str
    name: str
    question: Markup
    answer: Markup
    question_board: Markup
    answer_board: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonView:
    """A lesson page."""

    number: int
    slug: str
    title: str
    subtitle: str
    level: Markup
    minutes: int  # 0: not said
    part: str
    changed: str
    needs: tuple[LinkView, ...]
    teaches: tuple[LinkView, ...]
    practises: tuple[LinkView, ...]
    previous: LinkView | None
    next: LinkView | None
    body: Markup
    plate: PlateView | None
    pgn_href: str
    paper: tuple[LinkView, ...]  # what can be printed of it
    signs: tuple[tuple[str, str, str], ...]  # kind, word, meaning: of the claims on the page
    exercise_words: Markup  # for the page script, "" where nothing can be tried


@dataclass(frozen=True, slots=True, kw_only=True)
class PartView:
    """A part on the front page with its lessons. `title` is empty for lessons in no part."""

    title: str
    lessons: tuple[LessonEntryView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonEntryView:
    """A lesson as listed on the front page."""

    number: int
    link: LinkView
    subtitle: str
    level: Markup
    minutes: int
    teaches: tuple[LinkView, ...]
    board: Markup  # a small picture of its first key position, "" without lines


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexView:
    """The front page."""

    parts: tuple[PartView, ...]
    levels: tuple[Markup, ...]  # from easy to hard; empty where no lesson has one
    principles: tuple[LinkView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExampleView:
    """A place where a principle is kept, broken or punished. The move in it leads there."""

    board: Markup
    sentence: Markup  # "4...Bxf3: the bishop moves again"
    link: LinkView  # the lesson


@dataclass(frozen=True, slots=True, kw_only=True)
class ExampleGroupView:
    """The places where a principle is kept, or broken, or …: some at once, the rest folded away.

    `plain` are those beyond all measure, without a board.
    """

    verb: str  # kept, broken, justified, punished
    title: str
    count: int
    shown: tuple[ExampleView, ...]
    folded: tuple[ExampleView, ...]
    plain: tuple[ExampleView, ...]
    first: str  # what a reader should know before these examples, "" where nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class PrincipleView:
    """A principle page, and an entry of the index of principles."""

    slug: str
    title: str
    short: str
    since: str
    href: str
    body: Markup
    taught: tuple[LinkView, ...]
    practised: tuple[LinkView, ...]
    groups: tuple[ExampleGroupView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEntryView:
    """A line in the index of lines: where it stands, its first moves."""

    link: LinkView
    lesson: LinkView
    moves: Markup
    plies: int  # half-moves


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetingView:
    """One position that stands in several lines."""

    board: Markup
    words: str
    places: tuple[LinkView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceView:
    """A game or line with a source."""

    source: str
    link: LinkView


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcesView:
    """The page of sources and credits. `credits` are finished sentences of the theme."""

    sources: tuple[SourceView, ...]
    credits: tuple[str, ...]
