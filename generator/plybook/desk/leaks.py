"""The last look before publication: no withheld name, no address, no telephone number gets out."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from plybook.desk.moment import epoch_day
from plybook.desk.withheld import withheld_names
from plybook.desk.work import Work
from plybook.diagnostics import Span, shown
from plybook.site.inspection.privacy import Leak, leaks
from plybook.text import LOCK_FILE
from plybook.text.consent import CONSENT_FILE, Consent, read_consent
from plybook.text.model import CourseDraft, LessonDraft, PrincipleDraft
from plybook.text.people import People, name_key, words_of
from plybook.text.source import excerpt_of_file

__all__ = ["held_back", "look_for_leaks"]

_CODES: Final = {"name": "withheld-name", "mail": "address-in-text", "phone": "phone-in-text"}
_HEAD: Final = re.compile(r"---.*?\n---", re.DOTALL)  # YAML before a page
#: A comment behind a value; what stands in quotation marks before it is passed over whole.
_COMMENT: Final = re.compile(
    r"""^(?:[^#"'\n]|(?<=\S)#|"[^"\n]*"|(?<!\w)'[^'\n]*'|(?<=\w)')*?((?:^|(?<=\s))#[^\n]*)""",
    re.MULTILINE,
)
_COACH: Final = re.compile(r"^(`{3,}|~{3,})[ \t]*coach\b.*?^\1", re.MULTILINE | re.DOTALL)
_SHORTEST: Final = 3  # letters of a part of a name that is looked for alone
_HELP: Final = {
    "name": (
        "write `White`, `Black` or an invented name; `plybook explain privacy`",
        "where the word is an everyday one, put `=` before the name in your list of withheld names",
    ),
    "mail": ("delete it; an address of the club goes into course.yaml: `contact: …`",),
    "phone": ("delete it; a number of the club goes into course.yaml: `contact: …`",),
}


def look_for_leaks(work: Work) -> Work:
    """Site: report every withheld name, address and number that the new pages show."""
    assert work.draft is not None
    consent = read_consent(work.folder / CONSENT_FILE, report=work.report)
    day = _day(work.draft)
    if consent.people and not day:
        work.report.add(
            "no-day-for-consent",
            consent.people[0].span,
            "no day is known, so consent that is over would still count",
            help="write `changed: YEAR-MONTH-DAY` into a lesson's head, or set SOURCE_DATE_EPOCH",
        )
    names = held_back(withheld_names(work.draft.file.ident), consent, day=day)
    allowed = frozenset(filter(None, [work.draft.file.contact]))
    faults: dict[tuple[str, Span, str], list[str]] = {}  # one cause, and the pages it is read on
    for leak in leaks(work.files, _people(names), allowed=allowed):
        for span in _spans(leak, work.draft):
            what = f"{_what(leak)} would be published"
            faults.setdefault((leak.kind, span, what), []).append(leak.path)
    placed = {what for _, span, what in faults if span.file in work.draft.sources}
    for (kind, span, what), paths in faults.items():
        if what in placed and span.file in paths and span.file not in work.draft.sources:
            continue  # a page made of others: the place in a lesson says enough
        note = f"it is read in {next((one for one in paths if one.endswith('.html')), paths[0])}"
        work.report.add(_CODES[kind], span, what, notes=[note], help=_HELP[kind])
    return work


def _what(leak: Leak) -> str:
    if leak.kind == "name":
        return f"`{shown(leak.text, limit=24)}` is a withheld name and"
    return f"the {'address' if leak.kind == 'mail' else 'number'} `{shown(leak.text, limit=24)}`"


def held_back(withheld: tuple[str, ...], consent: Consent, *, day: str) -> Iterator[str]:
    """Yield the names, or the parts of them, that must not be read anywhere on a day.

    Of a person with valid consent it is what the shown name keeps back. Of one whose consent is
    over it is the whole name, and how it was shown. An empty day is before every end.
    """
    told: set[tuple[str, ...]] = set()
    for name in (*withheld, *(person.name for person in consent.people)):
        key = name_key(name)
        if key in told:
            continue
        told.add(key)
        person = consent.valid_entry(name, day=day, is_begun=True)
        if person is None:
            yield name
            yield from (f"={entry.shown}" for entry in consent.entries_of(name))
        else:
            hidden = [one for one in words_of(person.name) if one not in words_of(person.shown)]
            yield from (one for one in hidden if len(one) >= _SHORTEST)
            if hidden:
                yield f"={person.name}"


def _day(draft: CourseDraft) -> str:
    """Return the day on which consent must hold, "" where none is known.

    A build reads no clock, or the same course would give other bytes tomorrow. The day is that of
    $SOURCE_DATE_EPOCH (reproducible-builds.org), else the newest `changed` of the lessons.
    """
    day = epoch_day(os.environ)
    if day is not None:
        return day
    return max((lesson.changed or "" for lesson in draft.lessons), default="")


# ---------------------------------------------------------------------- where it comes from


def _spans(leak: Leak, draft: CourseDraft) -> Iterator[Span]:
    """Yield where a leak stands in the source: of its page, else anywhere, else the page itself."""
    page = _page_of(leak.path, draft)
    own = [page.file] if page is not None else []
    drafts = {lesson.file for lesson in draft.lessons if lesson.is_draft}
    hidden = {LOCK_FILE, *own, *drafts}
    others = [file for file in draft.sources if file not in hidden]
    for files in (own, others):
        found = [span for file in files if (span := _span_in(file, leak, draft)) is not None]
        if found:
            yield from found
            return
    named = [
        Span.of_file(file)
        for file in (*draft.sources, *draft.images)
        if leak.kind == "name" and _people([leak.name]).are_in(file)
    ]
    yield from named or [Span.of_file(page.file if page is not None else leak.path)]


def _page_of(path: str, draft: CourseDraft) -> LessonDraft | PrincipleDraft | None:
    """Return the lesson or principle of a page, by its address."""
    folder, _, name = path.rpartition("/")
    pages: Sequence[LessonDraft | PrincipleDraft] = ()
    if folder == "lessons":
        pages = draft.lessons
    elif folder == "principles":
        pages = draft.principles
    return next((one for one in pages if one.slug == name.partition(".")[0]), None)


def _span_in(file: str, leak: Leak, draft: CourseDraft) -> Span | None:
    text = draft.sources[file]
    if leak.kind == "name":
        found = [(one.start, one.end) for one in _people([leak.name]).find(text)]
    else:
        found = [one.span() for one in re.finditer(re.escape(leak.text), text)]
    kept_back = _unpublished(file, text)
    found = [one for one in found if not any(a < one[1] and one[0] < b for a, b in kept_back)]
    # The whole name may be withheld and a part of it shown: what was read comes first.
    words = words_of(leak.text)
    found.sort(key=lambda one: (words_of(text[slice(*one)]) != words, one))
    return excerpt_of_file(file, text).span(*found[0]) if found else None


def _unpublished(file: str, text: str) -> list[tuple[int, int]]:
    """Return the places of a text that no page shows: comments of YAML, and blocks for the coach.

    A `#` begins a comment at the start of a line and behind a space (YAML 1.2.2, section 6.6).
    """
    head = _HEAD.match(text)
    end = len(text) if file.endswith(".yaml") else head.end() if head else 0
    comments = [found.span(1) for found in _COMMENT.finditer(text, 0, end)]
    return comments + [found.span() for found in _COACH.finditer(text, end)]


def _people(names: Iterable[str]) -> People:
    return People(names, wants_capitals=True)
