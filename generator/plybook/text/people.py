"""Names of people in text: found whatever their case, their accents and the order of their parts.

A name is looked for whole, and by each of its parts of three letters or more. Parts that are words
of the game (King, White) are looked for in the whole name only: they stand on every page.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

__all__ = ["FoundName", "People", "folded", "name_forms", "split_name", "words_of"]

_SHORTEST: Final = 3
#: Letters that Unicode does not take apart into a letter and an accent.
_PLAIN: Final = str.maketrans({"ø": "o", "đ": "d", "ł": "l", "ı": "i", "æ": "ae", "œ": "oe"})
_NOT_PLAIN: Final = re.compile("[øđłıæœ]")
_ACCENTS: Final = re.compile("[\u0300-\u036f]+")
_WORDS: Final = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_PIECES: Final = re.compile(r"[^\W\d_]+")
_OF_THE_GAME: Final = frozenset(
    {
        *("white", "black", "king", "queen", "rook", "bishop", "knight", "pawn"),
        *("castle", "check", "mate", "chess", "board", "game", "move", "club", "team", "player"),
        *("opponent", "unknown", "anonymous", "computer", "the", "and", "von", "van", "der", "den"),
    }
)
#: What a word of an address has beside it, in the run of characters without a space around it.
_IN_ADDRESS: Final = re.compile(r"[/_@=%\d]|[.-]\w|\w[.-]$")
_FAR: Final = 64  # characters to each side that are looked at
#: Between the parts of a name anything may stand that is no letter and no digit, but not much.
_GAP: Final = r"[\W_]{1,3}"


class FoundName(NamedTuple):
    """A name found in a text: its place there (0-based, end excluded), and whose it is."""

    start: int
    end: int
    name: str


@lru_cache(1 << 12)
def _folded_character(character: str) -> str:
    return folded(character)


def folded(text: str) -> str:
    """Return a text in small letters without accents, for comparison alone."""
    if text.isascii():
        return text.lower()
    plain = _ACCENTS.sub("", unicodedata.normalize("NFD", text)).casefold()
    return plain.translate(_PLAIN) if _NOT_PLAIN.search(plain) else plain


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text, folded."""
    return tuple(_WORDS.findall(folded(text)))


def split_name(name: str) -> tuple[str, str]:
    """Return first names and family name of `Family, First` (as PGN has it) or `First Family`."""
    family, comma, first = (part.strip() for part in name.partition(","))
    if comma:
        return first, family
    words = name.split()
    return (" ".join(words[:-1]), words[-1]) if len(words) > 1 else (name.strip(), "")


def name_forms(name: str, *, is_whole_only: bool = False) -> tuple[str, ...]:
    """Return patterns for a folded text that match a name: whole in either order, then by parts."""
    words = _WORDS.findall(folded(name))
    if not words:
        return ()
    first, family = (_WORDS.findall(folded(part)) for part in split_name(name))
    orders = {tuple(words): None, (*first, *family): None, (*family, *first): None}
    forms = [
        _GAP.join(map(re.escape, order))
        for order in orders
        if order and (len(order) > 1 or order[0] not in _OF_THE_GAME)
    ]
    if not is_whole_only:
        forms += [re.escape(word) for word in words if _is_telling(word)]
    return tuple(dict.fromkeys(forms))


def _is_telling(word: str) -> bool:
    return len(word) >= _SHORTEST and word not in _OF_THE_GAME


class People:
    """Some people by name. A name that begins with `=` is looked for whole only.

    With `wants_capitals` a word alone counts in small letters only within an address or the name of
    a file, since many names are everyday words too: White will attack.
    """

    def __init__(self, names: Iterable[str], *, wants_capitals: bool = False) -> None:
        self._wants_capitals = wants_capitals
        self._of: dict[str, str] = {}
        longest_first: dict[str, None] = {}
        for name in names:
            plain = name.removeprefix("=").strip()
            for form in name_forms(plain, is_whole_only=name.startswith("=")):
                self._of.setdefault(form, plain)
                longest_first.setdefault(form)
        forms = sorted(longest_first, key=lambda form: (-len(form), form))
        self._first = {_PIECES.findall(form)[0] for form in forms}
        self._forms = [re.compile(form) for form in forms]
        self._names = [self._of[form] for form in forms]
        # Without groups: which form it was is asked for the few that are found.
        joined = "|".join(forms)
        self._pattern = re.compile(rf"(?<![^\W_])(?:{joined})(?![^\W_])") if forms else None

    def __bool__(self) -> bool:
        return self._pattern is not None

    def are_in(self, text: str) -> bool:
        """Return whether one of them is named in a text."""
        return next(self.find(text), None) is not None

    def find(self, text: str) -> Iterator[FoundName]:
        """Yield where they are named in a text, in order, no two places over one another."""
        if self._pattern is None:
            return
        plain = folded(text)
        if self._first.isdisjoint(_PIECES.findall(plain)):  # quicker than to look for each name
            return
        places: Sequence[int] = range(len(text))
        if not text.isascii():  # folding may have moved the places
            pieces = [_folded_character(one) for one in text]
            plain = "".join(pieces)
            places = [at for at, piece in enumerate(pieces) for _ in piece]
        for found in self._pattern.finditer(plain):
            start, end = places[found.start()], places[found.end() - 1] + 1
            if self._wants_capitals and _is_everyday(text, start, end):
                continue
            name = next(
                name
                for form, name in zip(self._forms, self._names, strict=True)
                if form.fullmatch(found[0])
            )
            yield FoundName(start, end, name)


def _is_everyday(text: str, start: int, end: int) -> bool:
    """Return whether a place is one word in small letters, in running text.

    Scripts without capitals have no small letters either: their words are never everyday ones.
    """
    if not text[start].islower() or not _WORDS.fullmatch(text, start, end):
        return False
    before = text[max(start - _FAR, 0) : start]
    after = text[end : end + _FAR]
    before = "" if before[-1:].isspace() else before.split()[-1] if before else ""
    after = "" if after[:1].isspace() else after.split()[0] if after else ""
    return not (_IN_ADDRESS.search(before) or _IN_ADDRESS.search(after))
