"""What leaves the text room: drafts of lessons and blocks, frozen, each part with its span."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from plybook.diagnostics import Span

# ------------------------------------------------------------------ references


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a reference: the position after this move (`4...g6` is number 4, black)."""

    number: int
    is_white: bool
    san: str  # as written, without `!` and `?`

    def __str__(self) -> str:
        return f"{self.number}{'.' if self.is_white else '...'}{self.san}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """A position named by the coach: `lesson/line@place`; `start` and `end` have no steps."""

    lesson: str | None  # None: the lesson it stands in
    line: str
    edge: str | None  # "start", "end", or None when steps say the place
    steps: tuple[Step, ...] = ()
    span: Span

    def __str__(self) -> str:
        prefix = f"{self.lesson}/" if self.lesson else ""
        return f"{prefix}{self.line}@{self.edge or '>'.join(map(str, self.steps))}"


# ------------------------------------------------------------------ prose


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """A numbered move in running text, alone or as one of a run.

    `run` numbers the runs of a lesson; the moves of one run follow one another on the board.
    A move without its own number (`Ke7` in `6.Bxf7+ Ke7`) is `optional`: it becomes a control
    when it continues the line and stays plain text when it does not.
    """

    step: Step
    run: int
    optional: bool
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link or image target as the coach wrote it. Images have `is_image`."""

    target: str
    reference: Reference | None
    is_image: bool
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """Parsed Markdown: the parser's tokens, never changed once they have left the text room.

    A fence token of one of our blocks carries `meta["block"]`, the block's index in its lesson;
    a `mention` token carries `meta["mention"]`, its index in `mentions`; a link or image token
    carries `meta["link"]`, its index in `links`.
    """

    tokens: tuple[Any, ...]  # markdown_it.token.Token: the library's type stays in its rooms
    mentions: tuple[Mention, ...] = ()
    links: tuple[Link, ...] = ()
    headings: tuple[str, ...] = ()  # ids, in order


EMPTY_PROSE = Prose(tokens=())


# ------------------------------------------------------------------ movetext


@dataclass(frozen=True, slots=True, kw_only=True)
class Comment:
    """A comment between braces: its text and the parsed inline Markdown."""

    text: str
    prose: Prose
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveNumber:
    """A printed move number: `5.` or `5...`. `value` is None when it was misprinted (reported)."""

    value: int | None
    is_white: bool
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class PlyDraft:
    """One move as written. `text` has neither number nor suffix glyph."""

    text: str
    span: Span
    number: MoveNumber | None = None
    nags: tuple[int, ...] = ()
    comments_before: tuple[Comment, ...] = ()
    comments: tuple[Comment, ...] = ()
    variations: tuple[VariationDraft, ...] = ()  # each replaces this move


@dataclass(frozen=True, slots=True, kw_only=True)
class VariationDraft:
    """Moves in order, from the opening bracket's place on (or the first line of the block)."""

    plies: tuple[PlyDraft, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class MovetextDraft:
    """Movetext as written. `is_whole` is False when a fault cut the reading short."""

    main: VariationDraft
    result: str | None = None
    result_span: Span | None = None
    is_whole: bool = True


# ------------------------------------------------------------------ blocks


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """An arrow or a mark as written: its role and squares. `is_arrow` tells them apart.

    An arrow has two squares (`pin`: three, pinner, pinned, behind); a mark has one.
    """

    is_arrow: bool
    role: str
    squares: tuple[str, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class FenText:
    """A FEN as written after `from fen`."""

    fen: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedDrawings:
    """Drawings that show on the stepping board at one place of the line."""

    place: Reference
    drawings: tuple[Drawing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovesDraft:
    """A `moves` block."""

    name: str
    title: str | None
    start: Reference | FenText | None  # None: the start of the game
    view: str | None
    source: str | None
    ends: FenText | None
    is_partial: bool
    letters: str | None
    drawings: tuple[PlacedDrawings, ...]
    movetext: MovetextDraft
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class DiagramDraft:
    """A `diagram` block: a still picture of a position."""

    place: Reference
    caption: Prose | None
    caption_text: str | None
    alt: str | None
    view: str | None
    drawings: tuple[Drawing, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimDraft:
    """One sentence of a `claims` block."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimsDraft:
    """A `claims` block: sentences about one position."""

    place: Reference
    claims: tuple[ClaimDraft, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class TagDraft:
    """One line of a `tags` block: a move, what it does, to which principle."""

    place: Reference
    verb: str  # obeys, breaks, punishes
    principle: str
    principle_span: Span
    reason: str | None
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class TagsDraft:
    """A `tags` block of one line."""

    line: str
    line_span: Span
    tags: tuple[TagDraft, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongTry:
    """A wrong try of an exercise, with the coach's feedback."""

    move: MovetextDraft
    feedback: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExerciseDraft:
    """An `exercise` block, as written."""

    name: str
    board: Reference
    task: str
    task_span: Span
    check: str
    check_span: Span
    answers: tuple[MovetextDraft, ...]
    answer_text: str | None  # for tasks that are answered in words
    claim: Located | None  # the sentence that a true-or-false task asks about
    wrong: tuple[WrongTry, ...]
    replies: tuple[MovetextDraft, ...]
    hints: tuple[str, ...]
    hint_spans: tuple[Span, ...]
    level: Located | None  # a level of the course
    twin: Reference | None
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class CardDraft:
    """One recall card. Either side may show a board."""

    question: str
    answer: str
    question_board: Reference | None
    answer_board: Reference | None
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class CardsDraft:
    """A `cards` block."""

    cards: tuple[CardDraft, ...]
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class CoachDraft:
    """A `coach` block: Markdown for the coach alone, kept unparsed."""

    text: str
    span: Span


Block = (
    MovesDraft | DiagramDraft | ClaimsDraft | TagsDraft | ExerciseDraft | CardsDraft | CoachDraft
)


# ------------------------------------------------------------------ pages and the course


@dataclass(frozen=True, slots=True, kw_only=True)
class Located:
    """A value of a head with its place, for diagnostics of later rooms."""

    value: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonDraft:
    """One lesson as written. `file` is the path from the course folder.

    `is_read` is False when its text could not be read: what is not there may have been written.
    """

    slug: str
    file: str
    title: str
    subtitle: str | None
    level: Located | None
    minutes: int | None
    needs: tuple[Located, ...]
    teaches: tuple[Located, ...]
    practises: tuple[Located, ...]
    language: str | None
    letters: str | None
    hides_next: bool
    is_draft: bool
    changed: str | None  # YYYY-MM-DD
    prose: Prose
    blocks: tuple[Block | None, ...]  # None: a block too broken to read, already reported
    span: Span
    is_read: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PrincipleDraft:
    """One principle as written: a rule and a page of prose. `is_read` as in a lesson.

    `kept_by`, `broken_by`, `justified_by`, `punished_by` name kinds of facts of the ledger.
    """

    slug: str
    file: str
    title: str
    short: str
    since: str | None
    kept_by: tuple[Located, ...] = ()
    broken_by: tuple[Located, ...] = ()
    justified_by: tuple[Located, ...] = ()
    punished_by: tuple[Located, ...] = ()
    prose: Prose
    span: Span
    is_read: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDraft:
    """A part of the course: a title and its lessons."""

    title: str
    lessons: tuple[Located, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseFile:
    """course.yaml, read. `is_whole` is False when something in it is at fault."""

    title: str
    ident: str
    club: str | None
    author: str | None
    language: str
    letters: str
    levels: tuple[str, ...]
    parts: tuple[PartDraft, ...]
    theme: str
    site_url: str | None
    licence: str | None
    contact: str | None = None  # an address or a number that pages may show
    span: Span
    recall: tuple[int, ...] = (1, 3, 8)  # weeks from one recall to the next, rising
    paper: tuple[Literal["sheet", "key", "cards"], ...] = ()  # what a site offers to print
    is_whole: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDraft:
    """A whole course folder as written, lessons in file order. `sources` maps file to text."""

    file: CourseFile
    lessons: tuple[LessonDraft, ...]
    principles: tuple[PrincipleDraft, ...]
    lock: str | None  # the text of positions.lock
    images: tuple[str, ...]  # paths from the course folder
    sources: Mapping[str, str] = field(repr=False)
