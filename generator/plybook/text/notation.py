"""Piece letters of other languages and characters that look like Latin ones.

The letters are those of the PGN standard (1994-03-12), section 17; order pawn, knight, bishop,
rook, queen, king.
"""

from __future__ import annotations

from typing import Final

from plybook.diagnostics import Report, Span, near_miss, shown

__all__ = [
    "EVALUATIONS",
    "FIGURINES",
    "LANGUAGES",
    "LETTER_SETS",
    "LOOK_ALIKES",
    "OWN_LETTERS",
    "PRINTED",
    "languages_of",
    "letter_set",
    "letters_of",
    "oddity",
    "piece_name",
]

LANGUAGES: Final[dict[str, str]] = {
    "Czech": "PJSVDK",
    "Danish": "BSLTDK",
    "Dutch": "OPLTDK",
    "English": "PNBRQK",
    "Estonian": "PROVLK",
    "Finnish": "PRLTDK",
    "French": "PCFTDR",
    "German": "BSLTDK",
    "Hungarian": "GHFBVK",
    "Icelandic": "PRBHDK",
    "Italian": "PCATDR",
    "Norwegian": "BSLTDK",
    "Polish": "PSGWHK",
    "Portuguese": "PCBTDR",
    "Romanian": "PCNTDR",
    "Spanish": "PCATDR",
    "Swedish": "BSLTDK",
}
#: How the pieces are printed, by the name that `letters:` gives: pawn, knight … king. Those of
#: Russian, whose king has two, are not in the standard; they are from memory.
PRINTED: Final[dict[str, tuple[str, ...]]] = {
    **{name.lower(): tuple(letters) for name, letters in LANGUAGES.items()},
    "russian": ("п", "К", "С", "Л", "Ф", "Кр"),
}
#: `letters:` for those of the page's own language.
OWN_LETTERS: Final = "language"
#: What `letters:` may say.
LETTER_SETS: Final = ("figurine", OWN_LETTERS, *PRINTED)

_SETS_OF: Final = {
    "cs": "czech", "da": "danish", "de": "german", "es": "spanish", "et": "estonian",
    "fi": "finnish", "fr": "french", "hu": "hungarian", "is": "icelandic", "it": "italian",
    "nb": "norwegian", "nl": "dutch", "nn": "norwegian", "no": "norwegian", "pl": "polish",
    "pt": "portuguese", "ro": "romanian", "ru": "russian", "sv": "swedish",
}  # fmt: skip  # one table, by the codes of ISO 639-1

_PIECES: Final = ("pawn", "knight", "bishop", "rook", "queen", "king")
_LETTERS: Final = "PNBRQK"

FIGURINES: Final = dict(zip("♔♕♖♗♘♙♚♛♜♝♞♟", "KQRBNPKQRBNP", strict=True))

#: Cyrillic and Greek letters, dashes and digits that pass for the characters of a move, and
#: characters that cannot be seen, which pass for nothing.
LOOK_ALIKES: Final = {
    **dict(zip("аАвВсСеЕНКкМОоРрТхХԁ", "aABBcCeEHKkMOoPpTxXd", strict=True)),
    **dict(zip("ΑΒΕΗΚΜΝΟΡΤΧαο", "ABEHKMNOPTXao", strict=True)),
    **dict.fromkeys("‐‑‒–—―−", "-"),
    **dict(zip("０１２３４５６７８", "012345678", strict=True)),
    "×": "x",
    "✕": "x",
    "＋": "+",
    "†": "+",
    "‡": "#",
    "＝": "=",
    "’": "'",
    **dict.fromkeys("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufe0e\ufe0f", ""),
}

#: Signs of evaluation that books print, with the NAG that says the same.
EVALUATIONS: Final = {
    "=": 10,
    "∞": 13,
    "⩲": 14,
    "+=": 14,
    "+/=": 14,
    "⩱": 15,
    "=+": 15,
    "=/+": 15,
    "±": 16,
    "+/-": 16,
    "∓": 17,
    "-/+": 17,
    "+-": 18,
    "-+": 19,
}


def languages_of(letter: str) -> dict[str, tuple[str, ...]]:
    """Return the PGN letters that `letter` stands for elsewhere, each with its languages.

    The pawn's letter is the empty text, since PGN does not write it.
    """
    found: dict[str, list[str]] = {}
    for language, letters in LANGUAGES.items():
        at = letters.find(letter)
        if at >= 0 and language != "English":
            found.setdefault(_LETTERS[at] if at else "", []).append(language)
    return {pgn: tuple(names) for pgn, names in found.items()}


def oddity(text: str) -> str | None:
    """Return what is odd about the first look-alike of `text`, or None when it has none."""
    odd = next((character for character in text if character in LOOK_ALIKES), None)
    if odd is None:
        return None
    meant = LOOK_ALIKES[odd]
    what = f"looks like `{meant}` and is another character" if meant else "cannot be seen"
    return f"U+{ord(odd):04X} {what}"


def piece_name(letter: str) -> str:
    """Return the English name of a PGN piece letter; the empty text is the pawn."""
    return _PIECES[_LETTERS.find(letter or "P")]


def letters_of(language: str) -> str:
    """Return the letter set of a language tag (`de-AT`); English where none is known."""
    return _SETS_OF.get(language.split("-")[0].lower(), "english")


def letter_set(name: str | None, *, span: Span, report: Report) -> str | None:
    """Return the letter set that a `letters:` names, or None after a report."""
    if name is None or name.lower() in LETTER_SETS:
        return name.lower() if name else None
    near = near_miss(name, LETTER_SETS)
    report.add(
        "unknown-letters",
        span,
        f"no letters are called `{shown(name)}`",
        help=f"did you mean `{near}`?" if near else f"known: {', '.join(LETTER_SETS)}",
    )
    return None
