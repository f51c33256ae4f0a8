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
    "languages_of",
    "letter_set",
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
#: What `letters:` may say: how the pieces are printed.
LETTER_SETS: Final = ("figurine", *(name.lower() for name in LANGUAGES))

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
