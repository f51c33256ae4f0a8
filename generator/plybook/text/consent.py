"""consent.yaml: who may be shown by name, how, who recorded it, and until when.

It stays in the course folder or beside it and is never published. Who has no entry is not named.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Final, Literal

import msgspec

from plybook.diagnostics import Report, Span, shown
from plybook.text.fields import DAY
from plybook.text.heads import Head, read_yaml
from plybook.text.people import People, name_key, split_name, words_of
from plybook.text.source import excerpt_of_file, read_text

__all__ = ["CONSENT_FILE", "Consent", "Person", "PublicGame", "consent_of", "read_consent"]

CONSENT_FILE: Final = "consent.yaml"
_LIMIT: Final = 256 * 1024
_KEYS: Final = ("people", "public")
_HUMP: Final = re.compile("(?<=[a-z])(?=[A-Z])")

Words = Annotated[str, msgspec.Meta(min_length=1)]
Day = Annotated[str, msgspec.Meta(pattern=DAY)]
Scope = Literal["initials", "first name", "full"]


class _PersonFields(msgspec.Struct, forbid_unknown_fields=True):
    name: Words
    scope: Scope
    recorded_by: Words
    recorded: Day
    until: Day
    shown: Words | None = None


class _PublicFields(msgspec.Struct, forbid_unknown_fields=True):
    white: Words
    black: Words
    source: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Consent for one name as PGN files have it. Days are year-month-day and compare as text."""

    name: str
    shown: str
    recorded: str
    until: str
    span: Span

    def is_valid(self, day: str) -> bool:
        """Return whether the consent holds on a day."""
        return self.recorded <= day <= self.until


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicGame:
    """A game of public figures, told by its players as the file names them."""

    white: str
    black: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Consent:
    """All entries of a consent file."""

    people: tuple[Person, ...] = ()
    public: tuple[PublicGame, ...] = ()
    text: str = ""

    def entries_of(self, name: str) -> tuple[Person, ...]:
        """Return all entries of a person, however the name is spelt there."""
        key = name_key(name)
        return tuple(person for person in self.people if name_key(person.name) == key)

    def valid_entry(self, name: str, *, day: str, is_begun: bool = False) -> Person | None:
        """Return the first entry of a person that holds on a day, None for no consent.

        With `is_begun` the day it was recorded does not count, and an empty day is before every
        end: the day of a build is often that of an older lesson.
        """
        for person in self.entries_of(name):
            if (day <= person.until) if is_begun else person.is_valid(day):
                return person
        return None

    def public_game(self, white: str, black: str) -> PublicGame | None:
        """Return the entry of a public game, None without one."""
        return next((one for one in self.public if (one.white, one.black) == (white, black)), None)


def read_consent(path: Path, *, report: Report) -> Consent:
    """Return what a consent file says; without a file, that nobody may be named.

    An entry at fault is reported and counts for nothing.
    """
    if not path.exists():
        return Consent()
    text = read_text(path, file=path.name, limit=_LIMIT, report=report)
    return Consent() if text is None else consent_of(text, file=path.name, report=report)


def consent_of(text: str, *, file: str, report: Report) -> Consent:
    """Return what the text of a consent file says. An entry at fault is reported."""
    head = read_yaml(excerpt_of_file(file, text), report=report)
    if head is None:
        return Consent()
    for key in head.values:
        if key not in _KEYS:
            report.add(
                "unknown-key",
                head.key_spans[(key,)],
                f"unknown key `{shown(key)}`",
                help=f"known keys: {', '.join(_KEYS)}",
            )
    people = (_person(head, at, report) for at in range(len(_entries(head, "people", report))))
    public = (_public(head, at, report) for at in range(len(_entries(head, "public", report))))
    return Consent(
        people=tuple(one for one in people if one is not None),
        public=tuple(one for one in public if one is not None),
        text=text,
    )


def _entries(head: Head, key: str, report: Report) -> list[Any]:
    found = head.values.get(key) or []
    if isinstance(found, list):
        return found
    report.add(
        "wrong-type",
        head.at(key),
        f"`{key}` must be a list, not one value",
        help="write each entry below it, beginning with `- `",
    )
    return []


def _fields(head: Head, key: str, at: int, kind: type[Any], report: Report) -> Any:
    try:
        return msgspec.convert(head.values[key][at], kind)
    except msgspec.ValidationError as error:
        report.add(
            "bad-value",
            head.at(key, at),
            f"entry {at + 1} of `{key}`: {shown(str(error).split(' - at')[0].lower(), limit=44)}",
            help="`plybook explain privacy` shows a whole entry",
        )
        return None


def _person(head: Head, at: int, report: Report) -> Person | None:
    fields = _fields(head, "people", at, _PersonFields, report)
    if fields is None:
        return None
    as_shown = fields.shown or _scoped(fields.name, fields.scope)
    if not _is_within(as_shown, fields.name, fields.scope):
        report.add(
            "bad-value",
            head.at("people", at, "shown"),
            f"`shown` tells more than the scope `{fields.scope}` allows",
            help="shorten it, or delete the line: plybook makes one from the scope",
        )
        return None
    return Person(
        name=fields.name,
        shown=as_shown,
        recorded=fields.recorded,
        until=fields.until,
        span=head.at("people", at),
    )


def _public(head: Head, at: int, report: Report) -> PublicGame | None:
    fields = _fields(head, "public", at, _PublicFields, report)
    if fields is None:
        return None
    return PublicGame(white=fields.white, black=fields.black, source=fields.source)


def _scoped(name: str, scope: Scope) -> str:
    first, family = split_name(name)
    if scope == "full":
        return f"{first} {family}".strip()
    if scope == "first name":
        return first.split()[0] if first else f"{family[:1]}."
    return " ".join(f"{word[0]}." for word in f"{first} {family}".split())


def _is_within(as_shown: str, name: str, scope: Scope) -> bool:
    """Return whether a shown name keeps back what its scope keeps back."""
    first, family = split_name(name)
    if scope == "full":
        return True
    hidden = family if scope == "first name" else f"{first} {family}"
    words = {word for word in words_of(hidden) if len(word) > 1}  # of initials the rest is hidden
    told = words_of(_HUMP.sub(" ", as_shown))
    told += tuple(word.removesuffix("s") for word in told)  # of a genitive
    return words.isdisjoint(told) and not People([hidden, *hidden.split()]).are_in(as_shown)
