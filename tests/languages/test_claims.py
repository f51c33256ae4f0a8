"""Claims in the languages of the site: every kind has its sentence, and none loses a fact."""

from __future__ import annotations

import re
from typing import Final

import pytest

from plybook.diagnostics import Report, Span
from plybook.site.wording.claims import claim_sentence
from plybook.site.wording.languages import words_for
from plybook.text.claim_model import Believed
from plybook.text.claim_patterns import ENGLISH, Pattern
from plybook.text.claims import read_claim
from plybook.text.model import ClaimDraft

LANGUAGES: Final = ("de", "es", "fr", "ru")
PATTERNS: Final = [pattern for pattern in ENGLISH.patterns if pattern.claim is not Believed]
#: A board with a man on every square, so that no square goes by its name alone.
FULL: Final = {man: man * 64 for man in "PNBRQKpnbrqk"}


def told(pattern: Pattern, language: str, *, man: str = "n") -> str:
    text = pattern.example
    draft = ClaimDraft(text=text, span=Span("lesson.md", 1, 1, 1, 1 + len(text)))
    claim = read_claim(draft, report=Report())
    assert claim is not None
    return claim_sentence(claim, placement=FULL[man], words=words_for(language))


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.example)
def test_every_kind_of_claim_has_a_sentence_in_every_language(
    pattern: Pattern, language: str
) -> None:
    for man in FULL:
        sentence = told(pattern, language, man=man)
        assert sentence != told(pattern, "en", man=man)
        assert not re.search(r"\b(the|and|is|of|by|wins|mate in)\b", sentence), sentence
        assert not re.search(r"[{}]|  |^[a-z]{2}|[^.]$", sentence), sentence


@pytest.mark.parametrize("language", ["en", *LANGUAGES])
@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda pattern: pattern.example)
def test_squares_moves_and_numbers_of_the_line_are_in_the_sentence(
    pattern: Pattern, language: str
) -> None:
    """Only the depth is left to the sign beside it; the example of a pin is a relative one."""
    sentence = told(pattern, language)
    line = re.sub(r", depth [0-9]", "", pattern.example)
    for fact in re.findall(r"[^\s,:]*[0-9][^\s,:]*", line):
        assert fact in sentence, (fact, sentence)


@pytest.mark.parametrize(
    ("language", "sentence"),
    [
        ("de", "Der Läufer auf g4 fesselt den Springer auf f3 an die Dame auf d1."),
        ("es", "El alfil de g4 clava el caballo de f3 contra la dama de d1."),
        ("fr", "Le fou en g4 cloue le cavalier en f3 sur la dame en d1."),
        ("ru", "Слон на g4 связывает коня на f3 и целится в ферзя на d1."),
    ],
)
def test_men_are_bent_for_their_verb(language: str, sentence: str) -> None:
    board = ["."] * 64
    board[8 * 3 + 6], board[8 * 2 + 5], board[3] = "b", "N", "Q"
    text = ENGLISH.patterns[0].example
    draft = ClaimDraft(text=text, span=Span("lesson.md", 1, 1, 1, 1 + len(text)))
    claim = read_claim(draft, report=Report())
    assert claim is not None
    words = words_for(language)
    assert claim_sentence(claim, placement="".join(board), words=words) == sentence


@pytest.mark.parametrize(
    ("worth", "sentence"),
    [
        (1, "5.Nxe5 выигрывает не меньше 1 очка."),
        (3, "5.Nxe5 выигрывает не меньше 3 очков."),
        (21, "5.Nxe5 выигрывает не меньше 21 очка."),
    ],
)
def test_counts_follow_the_language(worth: int, sentence: str) -> None:
    """The rules of plurals are those of Unicode CLDR (supplemental/plurals.xml)."""
    text = f"5.Nxe5 wins {worth} or more, depth 3"
    draft = ClaimDraft(text=text, span=Span("lesson.md", 1, 1, 1, 1 + len(text)))
    claim = read_claim(draft, report=Report())
    assert claim is not None
    assert claim_sentence(claim, placement=FULL["n"], words=words_for("ru")) == sentence
