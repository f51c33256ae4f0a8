"""The last look before publication: no withheld name, no address, no telephone number gets out."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from plybook.desk.withheld import withheld_names
from plybook.desk.work import Work
from plybook.diagnostics import Span, shown
from plybook.site.inspection.privacy import Leak, leaks
from plybook.text.consent import CONSENT_FILE, Consent, read_consent
from plybook.text.model import CourseDraft, LessonDraft, PrincipleDraft
from plybook.text.people import People, words_of
from plybook.text.source import excerpt_of_file

__all__ = ["held_back", "look_for_leaks"]

_CODES: Final = {"name": "withheld-name", "mail": "address-in-text", "phone": "phone-in-text"}
_HEAD: Final = re.compile(r"---.*?\n---", re.DOTALL)  # YAML before a page
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
    names = held_back(withheld_names(work.draft.file.ident), consent, day=_day(work.draft))
    allowed = frozenset(filter(None, [work.draft.file.contact]))
    for leak in leaks(work.files, _people(names), allowed=allowed):
        for span in _spans(leak, work.draft):
            work.report.add(
                _CODES[leak.kind], span, f"{_what(leak)} would be published", help=_HELP[leak.kind]
            )
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
    entries = {person.name.casefold(): person for person in consent.people}
    for name in dict.fromkeys((*withheld, *(person.name for person in consent.people))):
        person = entries.get(name.removeprefix("=").strip().casefold())
        if person is None:
            yield name
        elif day and day > person.until:
            yield from (name, f"={person.shown}")
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
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdecimal():
        moment = datetime.datetime.fromtimestamp(int(epoch), tz=datetime.UTC)
        return moment.date().isoformat()
    return max((lesson.changed or "" for lesson in draft.lessons), default="")


# ---------------------------------------------------------------------- where it comes from


def _spans(leak: Leak, draft: CourseDraft) -> Iterator[Span]:
    """Yield where a leak stands in the source: of its page, else anywhere, else the page itself."""
    page = _page_of(leak.path, draft)
    own = [page.file] if page is not None else []
    others = [file for file in draft.sources if file not in own]
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
    head = _HEAD.match(text)
    yaml_end = len(text) if file.endswith(".yaml") else head.end() if head else 0
    place = next((one for one in found if not _is_comment(text, one[0], yaml_end=yaml_end)), None)
    return None if place is None else excerpt_of_file(file, text).span(*place)


def _is_comment(text: str, at: int, *, yaml_end: int) -> bool:
    """Return whether a place stands in a line of YAML that is a comment: it is not published."""
    return at < yaml_end and text[text.rfind("\n", 0, at) + 1 : at].lstrip().startswith("#")


def _people(names: Iterable[str]) -> People:
    return People(names, wants_capitals=True)
