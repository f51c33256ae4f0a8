"""Quotation marks, dashes and dots as print has them, never inside a move or an evaluation.

`+-`, `1...e5`, `...Nf6` and `O-O` stay as they are: there these signs mean something.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

__all__ = ["has_signs", "quotes_of", "set_text", "set_texts"]

#: Outer and inner quotation marks by language, from common practice of printers.
_QUOTES: Final = {
    "en": "“”‘’",
    "cs": "„“‚‘",
    "da": "»«›‹",
    "de": "„“‚‘",
    "es": "«»“”",
    "fi": "””’’",
    "fr": "«»“”",
    "hu": "„”»«",
    "it": "«»“”",
    "nl": "“”‘’",
    "pl": "„”«»",
    "pt": "«»“”",
    "ro": "„”«»",
    "ru": "«»„“",
    "sv": "””’’",
}
#: French sets a narrow space inside its quotation marks, which may not break.
_PADDED: Final = {"fr": "\u202f"}

_EM_DASH = re.compile(r"(?<![-\w+=<])---(?![-\w+=>])|(?<=[^\W_])---(?=[^\W_])")
_EN_DASH = re.compile(r"(?<![-\w+=<])--(?![-\w+=>])|(?<=[^\W_])--(?=[^\W_])")
_DOTS = re.compile(r"(?<![\d.])\.\.\.(?![\w.])")
_QUOTE = re.compile(r"[\"']")
_APOSTROPHE: Final = "’"


def quotes_of(language: str) -> tuple[str, str, str, str]:
    """Return the marks that open and close outer and inner quotations; English if unknown."""
    code = language.lower().split("-")[0]
    outer_open, outer_close, inner_open, inner_close = tuple(_QUOTES.get(code, _QUOTES["en"]))
    pad = _PADDED.get(code, "")
    return f"{outer_open}{pad}", f"{pad}{outer_close}", inner_open, inner_close


def has_signs(text: str) -> bool:
    """Return whether a text holds a sign that may have to be replaced; most hold none."""
    return '"' in text or "'" in text or "--" in text or "..." in text


def set_text(text: str, quotes: tuple[str, str, str, str]) -> str:
    """Return one text, set by itself."""
    return set_texts((text,), (True,), quotes)[0] if has_signs(text) else text


def set_texts(
    texts: Sequence[str], are_prose: Sequence[bool], quotes: tuple[str, str, str, str]
) -> list[str]:
    """Return the pieces of one paragraph with their signs replaced.

    Pieces that are not prose (code, moves) are left alone, but stand as neighbours of a quotation
    mark. A double mark without a partner stays straight.
    """
    found = list(texts)
    for at, is_prose in enumerate(are_prose):
        if is_prose:
            found[at] = _set_signs(found[at])
    if any(_QUOTE.search(text) for text in found):
        _set_quotes(found, are_prose, quotes)
    return found


def _set_signs(text: str) -> str:
    if "--" in text:
        text = _EN_DASH.sub("–", _EM_DASH.sub("—", text))
    return _DOTS.sub("…", text) if "..." in text else text


def _set_quotes(
    texts: list[str], are_prose: Sequence[bool], quotes: tuple[str, str, str, str]
) -> None:
    whole = "".join(texts)
    offset = 0
    marks: dict[int, str] = {}
    waiting: list[tuple[str, int]] = []  # quotations that are open: mark and offset
    for text, is_prose in zip(texts, are_prose, strict=True):
        if is_prose:
            for match in _QUOTE.finditer(text):
                _place_quote(match[0], offset + match.start(), whole, waiting, marks, quotes)
        offset += len(text)
    for mark, at in waiting:
        if mark == "'":
            marks[at] = _APOSTROPHE
    signs = list(whole)
    for at, mark in marks.items():
        signs[at] = mark
    offset = 0
    for number, text in enumerate(texts):
        end = offset + len(text)
        if are_prose[number]:
            texts[number] = "".join(signs[offset:end])
        offset = end


def _place_quote(
    mark: str,
    at: int,
    whole: str,
    waiting: list[tuple[str, int]],
    marks: dict[int, str],
    quotes: tuple[str, str, str, str],
) -> None:
    """Decide what the mark at offset `at` is: it opens, closes, or is an apostrophe."""
    before, behind = whole[at - 1 : at] or " ", whole[at + 1 : at + 2] or " "
    opens = not behind.isspace() and not before.isalnum()
    closes = not before.isspace() and not behind.isalnum()
    if closes:
        for depth in range(len(waiting) - 1, -1, -1):
            if waiting[depth][0] == mark:
                for inner, place in waiting[depth + 1 :]:
                    if inner == "'":
                        marks[place] = _APOSTROPHE
                pair = quotes[:2] if mark == '"' else quotes[2:]
                marks[waiting[depth][1]], marks[at] = pair
                del waiting[depth:]
                return
    if opens:
        waiting.append((mark, at))
    elif mark == "'":
        marks[at] = _APOSTROPHE
