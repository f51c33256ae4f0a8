"""E-mail addresses and telephone numbers in running text.

Both are told strictly: a move list, a FEN, a date or an ISBN is none of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

__all__ = ["Contact", "contacts_in"]

#: As most programs take it: RFC 5322 allows more than anybody writes. The last part has letters
#: only, so that `line@3.exd5` is none.
_HOST: Final = re.compile(r"@(?:[A-Za-z0-9-]{1,63}\.)+[A-Za-z]{2,24}(?![\w-])")
_LOCAL: Final = re.compile(r"[A-Za-z0-9._%+-]{1,64}\Z")
#: With a country's number (`+44 20 …`, `0049 …`, ITU-T E.123), with the 0 of a national number and
#: spaces or hyphens behind the area, or in the North American form of three, three and four.
_PHONES: Final = (
    r"(?<![\w.,/@=-])(?:\+|00)[1-9][0-9]{0,2}(?:[ ./()-]{0,2}[0-9]){6,12}(?!\w)",
    r"(?<![\w.,:/@=-])\(?0[1-9][0-9]{1,4}\)?[ /-][0-9]{2,8}(?:[ -][0-9]{2,8}){0,3}"
    r"(?![\w/-]|\.[0-9])",
    r"(?<![\w.,:/@=-])(?:\([2-9][0-9]{2}\) ?|[2-9][0-9]{2}[-.])[0-9]{3}[-.][0-9]{4}(?![\w-])",
)
_PHONE_AT: Final = re.compile("|".join(_PHONES))
#: Where a number could be: a run of what numbers are written with, quick to find.
_RUN: Final = re.compile(r"[+(0-9][0-9 ()./+-]{7,}")
_MOST_BEFORE: Final = 65  # of an address, before its @
_DIGITS: Final = re.compile(r"[0-9]")
_LEAST_DIGITS: Final = 8
#: Before a number that is counted otherwise.
_NO_PHONE: Final = re.compile(r"(?:ISBN|ISSN|DOI)[\s:0-9-]*$", re.IGNORECASE)


class Contact(NamedTuple):
    """An address or a number: its place in the text (0-based, end excluded) and what it is."""

    start: int
    end: int
    kind: Literal["mail", "phone"]
    text: str


def contacts_in(text: str) -> Iterator[Contact]:
    """Yield the e-mail addresses and telephone numbers of a text, in order."""
    found = [*_mails(text), *_phones(text)]
    yield from sorted(found)


def _mails(text: str) -> Iterator[Contact]:
    for host in _HOST.finditer(text):
        begin = max(host.start() - _MOST_BEFORE, 0)
        local = _LOCAL.search(text[begin : host.start()])
        if local is not None:
            start = begin + local.start()
            yield Contact(start, host.end(), "mail", text[start : host.end()])


def _phones(text: str) -> Iterator[Contact]:
    for run in _RUN.finditer(text):
        for found in _PHONE_AT.finditer(text, run.start(), run.end() + 2):
            is_counted = len(_DIGITS.findall(found[0])) >= _LEAST_DIGITS
            if is_counted and not _NO_PHONE.search(text, max(found.start() - 24, 0), found.start()):
                yield Contact(found.start(), found.end(), "phone", found[0])
