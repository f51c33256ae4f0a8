"""Reading a claim: which sentence of the table it is, and what stands in its slots."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from plybook.diagnostics import Report, Span, shown
from plybook.text.claim_model import Claim, LongMove, MoveWord, QueenCost
from plybook.text.claim_patterns import ENGLISH, ClaimLanguage, Pattern
from plybook.text.model import ClaimDraft
from plybook.text.references import MOVE_DIGITS, SAN_LIKE

__all__ = ["canonical", "nearest_example", "read_claim"]

_SQUARE: Final = "[a-h][1-8]"
_MOVE: Final = rf"(?:[0-9]{{1,{MOVE_DIGITS}}}\.(?:\.\.)? ?)?{SAN_LIKE}"
_LONG: Final = r"[a-h][1-8][x-][a-h][1-8](?:=[QRBN])?"
_NUMBERED = re.compile(rf"(?:([0-9]{{1,{MOVE_DIGITS}}})(\.\.\.|\.) ?)?({SAN_LIKE})")
_LONG_PARTS = re.compile(r"([a-h][1-8])([x-])([a-h][1-8])(?:=([QRBN]))?")
_COMPARED: Final = 200  # characters of a text that are compared; no sentence is as long
_SLOT = re.compile(r"\{(\w+):(\w+)\}")


def canonical(claim: Claim) -> str:
    """Return the claim's text in one form for all spellings and languages: its cache key."""
    return repr(claim)


def read_claim(
    draft: ClaimDraft, *, report: Report, language: ClaimLanguage = ENGLISH
) -> Claim | None:
    """Return what a sentence claims, or None after a report with the nearest sentence."""
    for row in _compiled(language):
        found = row.regex.fullmatch(draft.text)
        if found:
            reader = _Slots(draft, language)
            fields = {
                name: reader.read(kind, found.group(name), found.start(name))
                for name, kind in row.slots
            }
            return _build(row.pattern, fields, draft.span)
    example = nearest_example(draft.text, language=language)
    report.add(
        "unknown-claim",
        draft.span,
        f"`{shown(draft.text)}` is no sentence that can be tested",
        help=(
            f"nearest: `{example}`; `plybook explain claims` prints them all",
            "or say it as your own word: `believe: …`",
        ),
    )
    return None


def _build(pattern: Pattern, fields: dict[str, Any], span: Span) -> Claim:
    if pattern.claim is QueenCost:
        fields.setdefault("side", None)  # the one class with two sentences
    return pattern.claim(**fields, span=span)


# ------------------------------------------------------------------ from words to a regex


@dataclass(frozen=True, slots=True)
class _Row:
    pattern: Pattern
    regex: re.Pattern[str]
    slots: tuple[tuple[str, str], ...]


@lru_cache(maxsize=8)
def _compiled(language: ClaimLanguage) -> tuple[_Row, ...]:
    kinds = _kinds(language)
    return tuple(_row(pattern, kinds) for pattern in language.patterns)


def _row(pattern: Pattern, kinds: Mapping[str, str]) -> _Row:
    pieces = []
    at = 0
    slots = []
    for slot in _SLOT.finditer(pattern.words):
        name, kind = slot.groups()
        pieces.append(_plain(pattern.words[at : slot.start()]))
        pieces.append(f"(?P<{name}>{kinds[kind]})")
        slots.append((name, kind))
        at = slot.end()
    pieces.append(_plain(pattern.words[at:]))
    return _Row(pattern, re.compile("".join(pieces)), tuple(slots))


def _plain(words: str) -> str:
    return re.escape(words).replace(r"\ ", " +")


def _kinds(language: ClaimLanguage) -> dict[str, str]:
    """Return the regex of each kind of slot."""

    def one_of(words: Mapping[str, Any]) -> str:
        return "|".join(map(re.escape, words))

    def counted(words: tuple[str, str]) -> str:
        return rf"[0-9]{{1,2}} (?:{'|'.join(map(re.escape, sorted(words, key=len, reverse=True)))})"

    last = rf"(?:,? +{re.escape(language.joiner)} +{_SQUARE})"
    return {
        "square": _SQUARE,
        "squares": rf"{_SQUARE}(?:(?:, *{_SQUARE})*{last})?",
        "several": rf"{_SQUARE}(?:, *{_SQUARE})*{last}",
        "move": _MOVE,
        "moves": rf"{_MOVE}(?:, *{_MOVE})*(?:,? +{re.escape(language.joiner)} +{_MOVE})?",
        "run": rf"(?:{_MOVE} +)*",
        "tried": rf"{_LONG}|{_MOVE}",
        "side": one_of(language.sides),
        "man": one_of(language.men),
        "wing": one_of(language.wings),
        "pin": one_of(language.pins),
        "number": "[0-9]{1,2}",
        "count": "[1-9][0-9]?",
        "depth": "[1-9]",
        "times": counted(language.times),
        "minors": counted(language.minors),
        "tempi": counted(language.tempi),
        "words": r"\S.*",
    }


# ------------------------------------------------------------------ what stands in the slots


class _Slots:
    """Turns the text of a slot into the value of a field."""

    def __init__(self, draft: ClaimDraft, language: ClaimLanguage) -> None:
        self._draft = draft
        self._words: dict[str, Mapping[str, Any]] = {
            "side": language.sides,
            "man": language.men,
            "wing": language.wings,
            "pin": language.pins,
        }

    def read(self, kind: str, text: str, at: int) -> Any:
        if kind in self._words:
            return self._words[kind][text]
        match kind:
            case "square" | "words":
                return text
            case "squares" | "several":
                return tuple(re.findall(_SQUARE, text))
            case "move":
                return self._move(text, at)
            case "tried":
                return self._long(text, at) or self._move(text, at)
            case "moves" | "run":
                return tuple(
                    self._move(found[0], at + found.start()) for found in _NUMBERED.finditer(text)
                )
            case _:
                return int(text.split(" ")[0])

    def _move(self, text: str, at: int) -> MoveWord:
        found = _NUMBERED.fullmatch(text)
        assert found  # the slot's regex let it in
        number, dots, san = found.groups()
        return MoveWord(
            san=san,
            number=int(number) if number else None,
            mover=None if dots is None else "white" if dots == "." else "black",
            span=self._span(at, at + len(text)),
        )

    def _long(self, text: str, at: int) -> LongMove | None:
        found = _LONG_PARTS.fullmatch(text)
        if not found:
            return None
        origin, sign, target, promotion = found.groups()
        return LongMove(
            origin=origin,
            target=target,
            is_capture=sign == "x",
            promotion=promotion,
            span=self._span(at, at + len(text)),
        )

    def _span(self, start: int, end: int) -> Span:
        """Return the place of a part of the sentence, which stands on one line of the file."""
        whole = self._draft.span
        column = whole.column
        return Span(whole.file, whole.line, column + start, whole.line, column + end)


# ------------------------------------------------------------------ the nearest sentence


def nearest_example(text: str, *, language: ClaimLanguage = ENGLISH) -> str:
    """Return the example whose words are most like those of `text`, squares and moves aside."""
    return _nearest(_masked(text[:_COMPARED]), language)


@lru_cache(maxsize=256)
def _nearest(masked: str, language: ClaimLanguage) -> str:
    nearest, most = language.patterns[0].example, 0.0
    words = _telling(masked)
    for pattern, matcher in _matchers(language):
        matcher.set_seq1(masked)
        # Letters alone would take `guarded` for something like `hanging`: whole words count too.
        shared = len(words & _telling(_masked(pattern.example))) / max(2 * len(words), 1)
        # Two bounds from above that cost little, then the likeness itself.
        if matcher.real_quick_ratio() + shared > most and matcher.quick_ratio() + shared > most:
            likeness = matcher.ratio() + shared
            if likeness > most:
                nearest, most = pattern.example, likeness
    return nearest


@lru_cache(maxsize=256)
def _telling(masked: str) -> frozenset[str]:
    """Return the words that tell what a sentence is about: the side is none of them."""
    return frozenset(re.findall(r"[a-z]{3,}", masked)) - {"the", "and", "white", "black"}


@lru_cache(maxsize=8)
def _matchers(
    language: ClaimLanguage,
) -> tuple[tuple[Pattern, difflib.SequenceMatcher[str]], ...]:
    """Return each sentence, taken apart once, and what compares a text with it."""
    return tuple(
        (pattern, difflib.SequenceMatcher(None, "", _masked(pattern.example)))
        for pattern in language.patterns
    )


@lru_cache(maxsize=256)
def _masked(text: str) -> str:
    """Return a sentence with its moves, squares and numbers replaced by signs of their kind."""
    text = re.sub(rf"(?<!\w){_LONG}(?!\w)", "M", text.strip())
    text = re.sub(rf"(?<!\w)[0-9]+\.(?:\.\.)? ?{SAN_LIKE}", "M", text)
    text = re.sub(rf"(?<!\w){_SQUARE}(?!\w)", "q", text)
    text = re.sub(rf"(?<!\w){SAN_LIKE}", "M", text)
    return re.sub("[0-9]+", "1", text).casefold()
