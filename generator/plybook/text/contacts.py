"""E-mail addresses and telephone numbers in running text.

Both are told strictly: a move list, a FEN, a date or an ISBN is none of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

__all__ = ["Contact", "contacts_in"]

#: As most programs take it: RFC 5322 allows more than anybody writes. The last part has letters
#: only, so that `line@3.exd5` is none. Hosts may have letters of any script (RFC 6531).
_HOST: Final = re.compile(r"@(?:[^\W_](?:[^\W_]|-){0,62}\.)+[^\W\d_]{2,24}(?![\w-])")
_LOCAL: Final = re.compile(r"[\w.%+-]{1,64}\Z")
#: With a country's number (`+44 20 …`, `0049 …`, ITU-T E.123), with the 0 of a national number, in
#: the North American form of three, three and four, with the 8 of a Russian one, or in threes.
#: Numbers are read with the spaces and hyphens of ASCII, and a line end as a space.
_PHONES: Final = (
    r"(?<![\w.,/@=-])(?:\+|00)[1-9][0-9]{0,2}(?:[ ./()-]{0,2}[0-9]){6,12}(?!\w)",
    r"(?<![\w.,:/@=-])\(?0[1-9][0-9]{1,4}\)?[ /-][0-9]{2,8}(?:[ -][0-9]{2,8}){0,3}"
    r"(?![\w/-]|\.[0-9])",
    r"(?<![\w.,:/@=-])(?:\([2-9][0-9]{2}\) ?|[2-9][0-9]{2}[-.])[0-9]{3}[-.][0-9]{4}(?![\w-])",
    # in pairs, as in France: 06 12 34 56 78
    r"(?<![\w.,:/@=-])(?<![0-9] )0[1-9](?:([ .-])[0-9]{2})(?:\1[0-9]{2}){3}(?![\w/-]|[ .][0-9])",
    # in one piece: ten or eleven digits; a bar code has twelve or thirteen
    r"(?<![\w.,:/@=-])(?<![0-9] )0[1-9][0-9]{8,9}(?![\w/-]|[ .][0-9])",
    # nine digits in threes, as in Spain and Poland
    r"(?<![\w.,:/@=-])(?<![0-9] )[5-9][0-9]{2} [0-9]{3} [0-9]{3}(?![\w/-]|[ .][0-9])",
    r"(?<![\w.,:/@=-])8 ?\([0-9]{3,5}\) ?[0-9]{1,3}(?:[ -][0-9]{2,3}){1,2}(?![\w/-])",
)
_PHONE_AT: Final = re.compile("|".join(_PHONES))
#: A time of day, as clubs write them in rows: 0930-1130. A number with such parts alone is none.
_TIMES: Final = re.compile(
    r"(?:[01][0-9]|2[0-3])[0-5][0-9](?:[ -](?:[01][0-9]|2[0-3])[0-5][0-9])+\Z"
)
#: One character for each, so that places stay: spaces without a break, hyphens, dashes.
_AS_ASCII: Final = (
    *((space, " ") for space in "\u00a0\u2007\u2009\u202f\n\t"),
    *((dash, "-") for dash in "‐‑‒–—−"),
)
#: Where a number could be: a run of what numbers are written with, quick to find.
_RUN: Final = re.compile(r"[+(0-9][0-9 ()./+-]{7,}")
_MOST_BEFORE: Final = 65  # of an address, before its @
_DIGITS: Final = re.compile(r"[0-9]")
_LEAST_DIGITS: Final = 8
_BAR_CODE: Final = 13  # digits
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
    plain = text
    for sign, ascii_sign in _AS_ASCII:
        plain = plain.replace(sign, ascii_sign)
    for run in _RUN.finditer(plain):
        for found in _PHONE_AT.finditer(plain, run.start(), run.end() + 2):
            start, end = found.span()
            is_counted = len(_DIGITS.findall(found[0])) >= _LEAST_DIGITS
            is_other = (
                _TIMES.match(found[0])
                or _is_bar_code(found[0])
                or _NO_PHONE.search(plain, max(start - 24, 0), start)
            )
            if is_counted and not is_other:
                yield Contact(start, end, "phone", text[start:end])


def _is_bar_code(number: str) -> bool:
    """Return whether thirteen digits in one piece end with the check digit of EAN-13 (GS1)."""
    if len(number) != _BAR_CODE or not number.isdecimal():
        return False
    odd, even = number[::2], number[1::2]
    return (sum(map(int, odd)) + 3 * sum(map(int, even))) % 10 == 0
