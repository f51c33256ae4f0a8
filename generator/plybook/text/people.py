"""Names of people in text: found whatever their case, their accents and the order of their parts.

A name is looked for whole, and by each of its parts of three letters or more. Parts that are words
of the game (King, White) are looked for in the whole name only: they stand on every page. What
stands for nobody (Guest, NN) is no name.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, product
from typing import Final, NamedTuple

from plybook.text.no_names import EVERYDAY, NOBODY, OF_THE_GAME

__all__ = [
    "FoundName",
    "People",
    "folded",
    "is_placeholder",
    "name_forms",
    "name_key",
    "split_name",
    "words_of",
]

_SHORTEST: Final = 3
_SHORTEST_GLUED: Final = 6  # letters of a whole name without anything between its parts
_SHORTEST_UMLAUT: Final = 5  # letters of a word whose `ae` may stand for an umlaut
#: Letters that Unicode does not take apart into a letter and an accent, signs for an apostrophe,
#: and what no reader sees: soft hyphens, joiners, marks of direction.
_PLAIN: Final = (
    *(("ø", "o"), ("đ", "d"), ("ð", "d"), ("ł", "l"), ("ı", "i"), ("æ", "ae"), ("œ", "oe")),
    ("þ", "th"),
    *((sign, "'") for sign in "’‘ʼ`´"),
    *((sign, "") for sign in "\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff"),
)
_ACCENTS: Final = re.compile("[\u0300-\u036f]+")
_WORDS: Final = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_PIECES: Final = re.compile(r"[^\W\d_]+")
#: How vowels are written where there are no dots: Mueller, Soerensen (DIN 5007-2 sorts so).
_SPELT_OUT: Final = {"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "å": "aa"}
_SPELT: Final = re.compile("([aou])e|aa")
#: Chinese, Japanese, Korean and Thai put no space around a name.
_NO_SPACES: Final = re.compile(
    "[\u0e00-\u0e7f\u1100-\u11ff\u3040-\u30ff\u3400-\u9fff\uac00-\ud7a3]+"
)
#: What a word of an address has beside it, in the run of characters without a space around it.
_IN_ADDRESS: Final = re.compile(r"[/_@=%\d]|[.-]\w|\w[.-]$")
_FAR: Final = 64  # characters to each side that are looked at
#: Between the parts of a name anything may stand that is no letter and no digit, but not much.
_GAP: Final = r"[\W_]{1,3}"
_NO_GAP: Final = r"[\W_]{0,3}"
_CAMEL: Final = re.compile(r"(?<=[a-zß-öø-ÿ])(?=[A-ZÀ-ÖØ-Þ])")
_HUMP: Final = re.compile("[a-zß-öø-ÿ][A-ZÀ-ÖØ-Þ]")
_LAST_WORD: Final = re.compile(r"[^\W\d_]*\Z")
_DIGEST: Final = re.compile(
    r"(?<![0-9A-Za-z])(?=[0-9]*[a-f])(?=[a-f]*[0-9])[0-9a-f]+(?![0-9A-Za-z])"
)
_DIGESTS: Final = frozenset({8, 10, 12, 16, 32, 40, 64})  # lengths that digests are cut to


class FoundName(NamedTuple):
    """A name found in a text: its place there (0-based, end excluded), and whose it is."""

    start: int
    end: int
    name: str


@dataclass(frozen=True, slots=True)
class _Form:
    """A way in which a name is written: a pattern for a folded text, and words it begins with."""

    pattern: str
    begins: frozenset[str]
    is_anywhere: bool = False  # within other letters too


@lru_cache(1 << 12)
def _folded_character(character: str) -> str:
    return folded(character)


def folded(text: str) -> str:
    """Return a text in small letters without accents, for comparison alone."""
    if text.isascii():
        return text.lower().replace("`", "'")
    bare = _ACCENTS.sub("", unicodedata.normalize("NFD", text)).casefold()
    plain = unicodedata.normalize("NFC", bare)
    for sign, letters in _PLAIN:  # quicker than a table: most signs are in no text
        plain = plain.replace(sign, letters)
    return plain


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text, folded."""
    return tuple(_WORDS.findall(folded(text)))


def name_key(name: str) -> tuple[str, ...]:
    """Return what is the same for two spellings of one name: order, accents and umlauts aside."""
    return tuple(sorted(_dotless(word) for word in words_of(name)))


def is_placeholder(name: str) -> bool:
    """Return whether what stands for a player names nobody: Guest, NN, White."""
    words = words_of(name)
    return set(words) == {"n"} or all(word in NOBODY or word in OF_THE_GAME for word in words)


def split_name(name: str) -> tuple[str, str]:
    """Return first names and family name of `Family, First` (as PGN has it) or `First Family`."""
    family, comma, first = (part.strip() for part in name.partition(","))
    if comma:
        return first, family
    words = name.split()
    return (" ".join(words[:-1]), words[-1]) if len(words) > 1 else (name.strip(), "")


def name_forms(name: str, *, is_whole_only: bool = False) -> tuple[str, ...]:
    """Return patterns for a folded text that match a name: whole in either order, then by parts."""
    return tuple(form.pattern for form in _forms(name, is_whole_only=is_whole_only))


def _forms(name: str, *, is_whole_only: bool) -> tuple[_Form, ...]:
    words = _spelt(name)
    if not words or is_placeholder(name):
        return ()
    first, family = (_spelt(part) for part in split_name(name))
    orders = dict.fromkeys((tuple(words), (*first, *family), (*family, *first)))
    forms = [_whole(order) for order in orders if len(order) > 1]
    if not is_whole_only:
        forms += [_glued(part) for part in (first, family) if len(part) > 1]
        pieces = [piece for word in words for piece in _pieces(word)]
        forms += [_alone(word) for word in (*words, *pieces) if _is_telling(word[0])]
    elif len(words) == 1 and _is_telling(words[0][0]):
        forms.append(_alone(words[0]))
    return tuple(dict.fromkeys(forms))


def _spelt(name: str) -> list[tuple[str, ...]]:
    """Return the words of a name, each with the ways to spell it, the folded one first."""
    plain = unicodedata.normalize("NFC", name).casefold()
    spelt_out = "".join(_SPELT_OUT.get(letter, letter) for letter in plain)
    return [
        tuple(dict.fromkeys((word, out, _dotless(word))))
        for word, out in zip(words_of(plain), words_of(spelt_out), strict=True)
    ]


def _dotless(word: str) -> str:
    """Return a folded word without the `e` that stands for the dots of an umlaut."""
    if len(word) < _SHORTEST_UMLAUT:
        return word
    return _SPELT.sub(lambda found: found[1] or "a", word)


def _pieces(word: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Return the pieces of a word with an apostrophe."""
    return [(piece,) for piece in _PIECES.findall(word[0])] if "'" in word[0] else []


def _is_telling(word: str) -> bool:
    if _NO_SPACES.fullmatch(word):
        return len(word) > 1
    return len(word) >= _SHORTEST and word not in OF_THE_GAME and word not in EVERYDAY


def _either(spellings: Sequence[str]) -> str:
    """Return a pattern for a word; an apostrophe may be missing or be a gap."""
    ways = ["[\\W_]?".join(map(re.escape, _PIECES.findall(way))) for way in spellings]
    return ways[0] if len(ways) == 1 else f"(?:{'|'.join(sorted(ways, key=len, reverse=True))})"


def _begins(words: Sequence[Sequence[str]]) -> frozenset[str]:
    """Return the first pieces of some words, apart or glued to the next ones."""
    begins = set()
    for chosen in product(*words):
        pieces = [piece for word in chosen for piece in _PIECES.findall(word)]
        for start in range(len(pieces)):
            runs = list(accumulate(pieces[start:]))
            # One letter is on every page: what follows it is asked for in its place.
            is_told = len(pieces[start]) > 1 or len(runs) == 1
            begins |= {way for run in runs[not is_told :] for way in (run, f"{run}s")}
            if is_told:
                break
    return frozenset(begins)


def _whole(words: Sequence[tuple[str, ...]]) -> _Form:
    letters = sum(len(word[0]) for word in words)
    is_anywhere = all(_NO_SPACES.fullmatch(word[0]) for word in words)
    gap = _NO_GAP if letters >= _SHORTEST_GLUED or is_anywhere else _GAP
    return _Form(gap.join(map(_either, words)) + _genitive(letters), _begins(words), is_anywhere)


def _glued(words: Sequence[tuple[str, ...]]) -> _Form:
    """Return the form of a double name that is written as one word."""
    letters = sum(len(word[0]) for word in words)
    gap = _NO_GAP if letters >= _SHORTEST_GLUED else _GAP
    return _Form(gap.join(map(_either, words)) + _genitive(letters), _begins(words))


def _alone(word: tuple[str, ...]) -> _Form:
    if _NO_SPACES.fullmatch(word[0]):
        return _Form(re.escape(word[0]), frozenset(word), is_anywhere=True)
    return _Form(_either(word) + _genitive(len(word[0])), _begins([word]))


def _genitive(letters: int) -> str:
    return "s?" if letters >= _SHORTEST else ""


class People:
    """Some people by name. A name that begins with `=` is looked for whole only.

    With `wants_capitals` a word alone counts in small letters only within an address or the name of
    a file, since many names are everyday words too: White will attack.
    """

    def __init__(self, names: Iterable[str], *, wants_capitals: bool = False) -> None:
        self._wants_capitals = wants_capitals
        of: dict[_Form, str] = {}
        for name in names:
            plain = name.removeprefix("=").strip()
            for form in _forms(plain, is_whole_only=name.startswith("=")):
                of.setdefault(form, plain)
        forms = sorted(of, key=lambda form: (-len(form.pattern), form.pattern))
        self._first = {word for form in forms if not form.is_anywhere for word in form.begins}
        self._anywhere = {word for form in forms if form.is_anywhere for word in form.begins}
        self._forms = [(re.compile(form.pattern), of[form]) for form in forms]
        # Without groups: which form it was is asked for the few that are found.
        bordered = "|".join(form.pattern for form in forms if not form.is_anywhere)
        free = "|".join(form.pattern for form in forms if form.is_anywhere)
        patterns = [rf"(?<![^\W\d_])(?:{bordered})(?![^\W\d_])"] if bordered else []
        patterns += [free] if free else []
        self._pattern = re.compile("|".join(patterns)) if patterns else None

    def __bool__(self) -> bool:
        return self._pattern is not None

    def are_in(self, text: str) -> bool:
        """Return whether one of them is named in a text."""
        return next(self.find(text), None) is not None

    def find(self, text: str) -> Iterator[FoundName]:
        """Yield where they are named in a text, in order, no two places over one another."""
        if self._pattern is None:
            return
        humps = [run for run in _humped(text) if self._may_be_in(_parted(run[1]))]
        plain = folded(text)
        if not humps and not self._may_be_in(plain):  # quicker than to look for each name
            return
        found = list(self._found(text, 0))
        for at, run in humps:
            for part in _CAMEL.split(run):
                found += [one for one in self._found(part, at) if not _is_covered(one, found)]
                at += len(part)
        yield from sorted(found)

    def _may_be_in(self, plain: str) -> bool:
        """Return whether a text, folded or not, holds a word that a name begins with."""
        return not self._first.isdisjoint(_PIECES.findall(plain)) or any(
            word in plain for word in self._anywhere
        )

    def _found(self, text: str, offset: int) -> Iterator[FoundName]:
        assert self._pattern is not None
        plain = folded(text)
        places: Sequence[int] = range(len(text))
        if not text.isascii():  # folding may have moved the places
            pieces = [_folded_character(one) for one in text]
            plain = "".join(pieces)
            places = [at for at, piece in enumerate(pieces) for _ in piece]
        for found in self._pattern.finditer(plain):
            start, end = places[found.start()], places[found.end() - 1] + 1
            if self._wants_capitals and _is_everyday(text, start, end):
                continue
            if _is_in_digest(plain, found.start(), found.end()):
                continue
            name = next(name for form, name in self._forms if form.fullmatch(found[0]))
            yield FoundName(start + offset, end + offset, name)


def _humped(text: str) -> Iterator[tuple[int, str]]:
    """Yield words such as `AnnaBerg` and where they begin."""
    end = 0
    for hump in _HUMP.finditer(text):
        if hump.start() < end:
            continue
        before = _LAST_WORD.search(text[max(hump.start() - _FAR, 0) : hump.start()])
        start = hump.start() - (len(before[0]) if before else 0)
        word = _PIECES.match(text, start)
        if word is not None:
            end = word.end()
            yield start, word[0]


def _parted(run: str) -> str:
    """Return the words of a run such as `AnnaBerg`, folded and apart."""
    return folded(" ".join(_CAMEL.split(run)))


def _is_covered(one: FoundName, others: Iterable[FoundName]) -> bool:
    return any(one.start < other.end and other.start < one.end for other in others)


def _is_in_digest(plain: str, start: int, end: int) -> bool:
    """Return whether a place lies in a digest: letters from a to f between digits say nothing."""
    begin = max(start - _FAR, 0)
    return any(
        run.start() <= start and end <= run.end() and len(run[0]) in _DIGESTS
        for run in _DIGEST.finditer(plain, begin, end + _FAR)
    )


def _is_everyday(text: str, start: int, end: int) -> bool:
    """Return whether a place is one word in small letters, in running text.

    Scripts without capitals have no small letters either: their words are never everyday ones.
    """
    if not text[start].islower() or not _WORDS.fullmatch(folded(text[start:end])):
        return False
    before = text[max(start - _FAR, 0) : start]
    after = text[end : end + _FAR]
    before = "" if before[-1:].isspace() else before.split()[-1] if before else ""
    after = "" if after[:1].isspace() else after.split()[0] if after else ""
    return not (_IN_ADDRESS.search(before) or _IN_ADDRESS.search(after))
