"""Twenty-five slips of the hand and of the clipboard, each done once to a movetext.

An operator takes a movetext and a random generator and returns the mutant, or None where this
movetext has no place for the slip. A mutant names the places that a reader of the fault would call
right: the changed token, or for brackets the partner and what stands behind.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from mutants.lines import Token, Written

__all__ = ["LEGAL_AGAIN", "OPERATORS", "Mutant", "Operator"]


@dataclass(frozen=True, slots=True)
class Mutant:
    """A changed movetext and the right places for the blame (0-based, end excluded)."""

    text: str
    targets: tuple[tuple[int, int], ...]


Operator = Callable[[Written, random.Random], Mutant | None]

#: Piece letters of the PGN standard, section 17, without the languages that repeat another's.
#: Order: pawn, knight, bishop, rook, queen, king.
_LANGUAGES: Final = (
    "PJSVDK", "BSLTDK", "OPLTDK", "PROVLK", "PRLTDK", "PCFTDR",
    "GHFBVK", "PRBHDK", "PCATDR", "PSGWHK", "PCBTDR", "PCNTDR",
)  # fmt: skip
_ENGLISH: Final = "PNBRQK"
_FIGURINES: Final = {"N": "♘♞", "B": "♗♝", "R": "♖♜", "Q": "♕♛", "K": "♔♚"}
_HOMOGLYPHS: Final = dict(zip("aceopxBKOHKPC", "асеорхВКОНКРС", strict=True))
_NEIGHBOURS: Final = {
    "a": "bs", "b": "acnv", "c": "bdxv", "d": "cesf", "e": "dfwr", "f": "egdr", "g": "fhtb",
    "h": "gjyn", "1": "2", "2": "13", "3": "24", "4": "35", "5": "46", "6": "57", "7": "68",
    "8": "79", "N": "BM", "B": "NV", "R": "QET", "Q": "RW", "K": "QJL", "O": "0PI", "x": "czs",
    "+": "#=", "#": "+", "=": "-+", "-": "=_",
}  # fmt: skip
_ZERO_WIDTH: Final = "\u200b\u200c\u200d\u2060\u00ad\ufeff"
_WORDS: Final = ("best", "and", "novelty", "N", "D", "Diagram", "e.p.", "mate", "hxx", "Nf9", "e9")
_SIGNS: Final = ("±", "∞", "+-", "=", "!!!", "□", "#", "+", "—", "...", "<", "&")
#: Printable and control characters of ASCII that mean nothing in movetext.
_ODD: Final = "\x00\x01\x08\x0c\x1b\x7f\"&',:<>@[\\]^_`|~" + "ijklmnopqrstuvwyzACDEFGHIJLMSTUVWXYZ"


def _replace(written: Written, token: Token, word: str) -> Mutant | None:
    """Return the mutant in which a token reads `word`, None when that changes nothing."""
    if word == written.word(token):
        return None
    text = written.text[: token.start] + word + written.text[token.end :]
    return Mutant(text, ((token.start, token.start + max(len(word), 1)),))


def _pick(rng: random.Random, tokens: tuple[Token, ...]) -> Token | None:
    return rng.choice(tokens) if tokens else None


def _pick_piece_move(written: Written, rng: random.Random) -> Token | None:
    moves = written.of_kind("san")
    return _pick(rng, tuple(move for move in moves if written.word(move)[0] in "NBRQK"))


def _inside(written: Written, rng: random.Random) -> tuple[int, Token | None]:
    """Return a random place outside comments, and the token it touches, if any."""
    spans = [(token.start, token.end) for token in written.of_kind("comment")]
    while True:
        at = rng.randint(0, len(written.text))
        if not any(start < at < end for start, end in spans):
            break
    touched = [token for token in written.tokens if token.start <= at <= token.end]
    return at, touched[0] if touched else None


def _insert(written: Written, at: int, word: str, touched: Token | None) -> Mutant:
    text = written.text[:at] + word + written.text[at:]
    start, end = at, at + len(word)
    # what stands right before and behind has become one word with the insertion
    while start and text[start - 1] not in " \n(){}":
        start -= 1
    while end < len(text) and text[end] not in " \n(){}":
        end += 1
    return Mutant(text, ((start, end),))


# ------------------------------------------------------------------ in a move


def delete_character(written: Written, rng: random.Random) -> Mutant | None:
    """Leave out one character of a move."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    at = rng.randrange(len(word))
    return _replace(written, move, word[:at] + word[at + 1 :])


def hit_neighbour_key(written: Written, rng: random.Random) -> Mutant | None:
    """Hit the key beside the right one."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    at = rng.randrange(len(word))
    return _replace(written, move, word[:at] + rng.choice(_NEIGHBOURS[word[at]]) + word[at + 1 :])


def transpose(written: Written, rng: random.Random) -> Mutant | None:
    """Type two characters of a move in the wrong order."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    at = rng.randrange(len(word) - 1)
    return _replace(written, move, word[:at] + word[at + 1] + word[at] + word[at + 2 :])


def lower_piece_letter(written: Written, rng: random.Random) -> Mutant | None:
    """Write a piece letter small."""
    move = _pick_piece_move(written, rng)
    if move is None:
        return None
    word = written.word(move)
    return _replace(written, move, word[0].lower() + word[1:])


def put_figurine(written: Written, rng: random.Random) -> Mutant | None:
    """Paste a figurine for a piece letter."""
    move = _pick_piece_move(written, rng)
    if move is None:
        return None
    word = written.word(move)
    return _replace(written, move, rng.choice(_FIGURINES[word[0]]) + word[1:])


def put_foreign_letter(written: Written, rng: random.Random) -> Mutant | None:
    """Write one piece letter of another language that English does not have."""
    return _foreign(written, rng, clashing=False)


def put_clashing_letter(written: Written, rng: random.Random) -> Mutant | None:
    """Write one piece letter of another language that names another man in English."""
    return _foreign(written, rng, clashing=True)


def _foreign(written: Written, rng: random.Random, *, clashing: bool) -> Mutant | None:
    move = _pick_piece_move(written, rng)
    if move is None:
        return None
    word = written.word(move)
    letter = rng.choice(_LANGUAGES)[_ENGLISH.index(word[0])]
    if letter == word[0] or (letter in "NBRQK") != clashing:
        return None
    return _replace(written, move, letter + word[1:])


def put_foreign_letters(written: Written, rng: random.Random) -> Mutant | None:
    """Write every piece letter as another language does; the first that differs is to blame.

    Texts in which every letter names some man in English too are left to the clashing letters.
    """
    letters = rng.choice(_LANGUAGES)
    table = dict(zip(_ENGLISH, letters, strict=True))
    text, target, is_foreign = written.text, None, False
    for move in written.of_kind("san"):
        old = written.word(move)
        new = re.sub(r"[NBRQK]", lambda found: table[found[0]], old)
        text = text[: move.start] + new + text[move.end :]
        if new != old:
            target = target or (move.start, move.end)
            is_foreign = is_foreign or bool(re.search(r"[^a-h1-8x=+#O\-NBRQK]", new))
    return Mutant(text, (target,)) if target and is_foreign else None


def put_homoglyph(written: Written, rng: random.Random) -> Mutant | None:
    """Write one character of a move in Cyrillic."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    places = [at for at, character in enumerate(word) if character in _HOMOGLYPHS]
    if not places:
        return None
    at = rng.choice(places)
    return _replace(written, move, word[:at] + _HOMOGLYPHS[word[at]] + word[at + 1 :])


def split_move(written: Written, rng: random.Random) -> Mutant | None:
    """Put a space inside a move."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    at = rng.randint(1, len(word) - 1)
    return _replace(written, move, f"{word[:at]} {word[at:]}")


def spoil_check_mark(written: Written, rng: random.Random) -> Mutant | None:
    """Leave out, add or exchange a check or mate mark."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    marks = {"", "+", "#", "++"} - {word[len(word.rstrip("+#")) :]}
    return _replace(written, move, word.rstrip("+#") + rng.choice(sorted(marks)))


# ------------------------------------------------------------------ whole moves


def drop_move(written: Written, rng: random.Random) -> Mutant | None:
    """Leave out a move; its number stays."""
    move = rng.choice(written.of_kind("san"))
    text = written.text[: move.start] + written.text[move.end :].lstrip(" ")
    return Mutant(text, ((move.start, move.start + 1),))


def duplicate_move(written: Written, rng: random.Random) -> Mutant | None:
    """Write a move twice."""
    move = rng.choice(written.of_kind("san"))
    word = written.word(move)
    return _insert(written, move.end, f" {word}", move)


def swap_moves(written: Written, rng: random.Random) -> Mutant | None:
    """Exchange two moves that follow each other in the text."""
    moves = written.of_kind("san")
    if len(moves) < 2:
        return None
    at = rng.randrange(len(moves) - 1)
    one, two = moves[at], moves[at + 1]
    if written.word(one) == written.word(two):
        return None
    text = (
        written.text[: one.start] + written.word(two)
        + written.text[one.end : two.start] + written.word(one) + written.text[two.end :]
    )  # fmt: skip
    return Mutant(text, ((one.start, two.end),))


# ------------------------------------------------------------------ around the moves


def remove_bracket(written: Written, rng: random.Random) -> Mutant | None:
    """Leave out a bracket of a variation or a comment."""
    brackets = [
        *((token.start, token.end) for token in written.of_kind("open", "close")),
        *((token.start, token.start + 1) for token in written.of_kind("comment")),
        *((token.end - 1, token.end) for token in written.of_kind("comment")),
    ]
    if not brackets:
        return None
    start, end = rng.choice(brackets)
    text = written.text[:start] + written.text[end:]
    return Mutant(text, _around_bracket(text, start))


def add_bracket(written: Written, rng: random.Random) -> Mutant | None:
    """Put a bracket too many, anywhere outside comments."""
    at, touched = _inside(written, rng)
    mutant = _insert(written, at, rng.choice("(){}"), touched)
    return Mutant(mutant.text, (*mutant.targets, *_around_bracket(mutant.text, at)))


def _around_bracket(text: str, at: int) -> tuple[tuple[int, int], ...]:
    """Return where an unbalanced bracket at `at` may be blamed.

    A reader cannot know which of the brackets around the place is the one too many: those that
    are open there, the nearest on either side, and the two words on either side are all right.
    """
    opened: list[int] = []
    for place, character in enumerate(text[:at]):
        if character in "({":
            opened.append(place)
        elif character in ")}" and opened:
            opened.pop()
    near = [found.start() for found in re.finditer(r"[(){}]", text) if found.start() >= at][:2]
    before = [found.span() for found in re.finditer(r"[^\s(){}]+", text[:at])][-2:]
    behind = [(at + found.start(), at + found.end())
              for found in re.finditer(r"[^\s(){}]+", text[at:])][:2]  # fmt: skip
    return (*((place, place + 1) for place in (*opened, *near)), *before, *behind)


def put_stray_word(written: Written, rng: random.Random) -> Mutant | None:
    """Leave a word or a sign among the moves that is no movetext."""
    token = rng.choice(written.of_kind("san", "number", "nag"))
    text = written.text
    at = token.end
    while at < len(text) and text[at] in "!?":
        at += 1
    word = rng.choice(_WORDS + _SIGNS)
    changed = f"{text[:at]} {word} {text[at:]}"
    return Mutant(changed, ((at + 1, at + 1 + len(word)), (token.start, token.end)))


def put_long_dash(written: Written, rng: random.Random) -> Mutant | None:
    """Write castling or a result with a dash of print."""
    tokens = [t for t in written.of_kind("san", "result") if "-" in written.word(t)]
    if not tokens:
        return None
    token = rng.choice(tokens)
    return _replace(written, token, written.word(token).replace("-", rng.choice("‐‑–—−")))


def put_zero_width(written: Written, rng: random.Random) -> Mutant | None:
    """Paste a character that cannot be seen among the moves."""
    at, touched = _inside(written, rng)
    if at == 0:  # there U+FEFF is the byte order mark, which a file may have
        return None
    return _insert(written, at, rng.choice(_ZERO_WIDTH), touched)


def spoil_number(written: Written, rng: random.Random) -> Mutant | None:
    """Write a wrong move number, the number of the wrong side, or none."""
    token = rng.choice(written.of_kind("number"))
    digits, dots = re.fullmatch(r"([0-9]+)(\.+)", written.word(token)).groups()  # type: ignore[union-attr] # the pattern is that of the writer
    value = int(digits)
    words = [f"{value + 1}{dots}", f"{value - 1}{dots}", f"{value}0{dots}"]
    words += [f"{value}{'.' if len(dots) > 1 else '...'}", f"{value}..", digits, ""]
    word = rng.choice(words)
    text = written.text[: token.start] + word + written.text[token.end :]
    end = token.start + len(word)
    if not word:  # the move that has lost its number
        found = re.compile(r"[^\s(){}]+").search(text, token.start)
        end = found.end() if found else end
    return Mutant(text, ((token.start, end + (word == digits)),))


def put_blank_line(written: Written, rng: random.Random) -> Mutant | None:
    """Put a blank line between two tokens: the same movetext, and nothing to blame."""
    gaps = [found.start() for found in re.finditer(r"[ \n]", written.text)]
    comments = written.of_kind("comment")
    gaps = [gap for gap in gaps if not any(c.start < gap < c.end for c in comments)]
    if not gaps:
        return None
    gap = rng.choice(gaps)
    return Mutant(written.text[:gap] + "\n\n" + written.text[gap + 1 :], ())


def put_odd_byte(written: Written, rng: random.Random) -> Mutant | None:
    """Put a byte of ASCII that means nothing in movetext, anywhere outside comments."""
    at, touched = _inside(written, rng)
    return _insert(written, at, rng.choice(_ODD), touched)


def overwrite_byte(written: Written, rng: random.Random) -> Mutant | None:
    """Overwrite any character, in comments too, with any byte of ASCII."""
    at = rng.randrange(len(written.text))
    byte = chr(rng.randrange(128))
    if byte == written.text[at]:
        return None
    return Mutant(written.text[:at] + byte + written.text[at + 1 :], ((at, at + 1),))


def put_semicolon(written: Written, rng: random.Random) -> Mutant | None:
    """Put a semicolon, the line comment of PGN, anywhere outside comments."""
    at, touched = _inside(written, rng)
    return _insert(written, at, ";", touched)


def put_percent(written: Written, rng: random.Random) -> Mutant | None:
    """Put a per cent sign, the escape of PGN, at a line's start or anywhere outside comments."""
    comments = written.of_kind("comment")
    starts = [0, *(found.end() for found in re.finditer("\n", written.text))]
    starts = [at for at in starts if not any(c.start < at < c.end for c in comments)]
    if rng.random() < 0.5:
        return _insert(written, rng.choice(starts), "%", None)
    at, touched = _inside(written, rng)
    return _insert(written, at, "%", touched)


OPERATORS: Final[dict[str, Operator]] = {
    operator.__name__: operator
    for operator in (
        delete_character, hit_neighbour_key, transpose, lower_piece_letter, put_figurine,
        put_foreign_letter, put_clashing_letter, put_foreign_letters, put_homoglyph, split_move,
        spoil_check_mark, drop_move, duplicate_move, swap_moves, remove_bracket, add_bracket,
        put_stray_word, put_long_dash, put_zero_width, spoil_number, put_blank_line, put_odd_byte,
        overwrite_byte, put_semicolon, put_percent,
    )
}  # fmt: skip

#: The slips that can make another faultless movetext: no reader can see those, only the lock can.
LEGAL_AGAIN: Final = frozenset(
    {
        "delete_character", "hit_neighbour_key", "drop_move", "duplicate_move", "swap_moves",
        "put_clashing_letter", "overwrite_byte",
    }
)  # fmt: skip
