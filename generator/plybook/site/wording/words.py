"""What a page says in words: a ply aloud, a position man by man, captions.

Every word comes from one table; `words_for` returns it in the language of a page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from plybook.board import ledger
from plybook.board.model import Mark, Ply, Position, Side
from plybook.site.wording.catalogue import catalogue, translated
from plybook.site.wording.letters import move_text

__all__ = [
    "Words",
    "after",
    "marks_words",
    "men_words",
    "numbered",
    "out_words",
    "position_words",
    "spoken",
    "turn_words",
    "where",
]

_MEN: Final = "kqrbnp"


@dataclass(frozen=True, kw_only=True)
class Words:
    """The words of one language. Names in braces are filled in; a phrase sets its own order.

    Men are by lower-case letter, men of a side by their letter in a FEN. Where a language bends
    the name of a man, the phrase holds the name. `nags` are by number, from 7 on (1 to 6 are
    printed as signs); those of the sides have White's number alone and say `{side}`.
    """

    language: str
    sides: Mapping[Side, str]
    men: Mapping[str, str]
    many_men: Mapping[str, str]
    men_of_sides: Mapping[str, str]
    step: str  # {man}, of a side; {origin} {target}
    castles_short: str  # {side}
    castles_long: str  # {side}
    takes: Mapping[str, str]  # by man
    takes_in_passing: str  # {square}
    becomes: Mapping[str, str]  # by man
    attacks: str  # {targets}
    targets: Mapping[str, str]  # by man: {square}
    check: str
    mate: str
    stalemate: str
    both: str  # between the last two of an enumeration
    start: str
    after: str  # {move}
    at_start: str  # the same two within a sentence
    then: str  # {move}
    to_move: Mapping[Side, str]
    is_mate: str
    is_stalemate: str
    men_of: str  # {side} {men}
    man_on: str  # {man} {squares}
    no_men: str
    board: str  # {place} {turn} {words} {marks}
    arrows: Mapping[str, str]  # by role: {0} {1}, and {2} behind a pin
    marks: Mapping[str, str]  # by role: {0}
    line: str
    sideline: str  # {letter}
    place_of: str  # {title} {place}
    known: Mapping[str, str]  # how a claim is known, by kind: {depth}
    known_means: Mapping[str, tuple[str, str]]  # by kind: the word of the legend and its meaning
    note_back: str
    line_of: str  # {lesson} {line}
    or_else: str  # between two answers
    truths: Mapping[str, str]  # answers to a question of true or false
    men_out: str  # {counts}, each from count_of
    queen_lost: str  # {counts}
    count_of: str  # {side} {count}
    verbs: Mapping[str, str]  # what a move does to a principle
    coach_adds: str  # {sentence} {reason}
    nags: Mapping[int, str]
    page: Mapping[str, str]  # the words that the page script needs, as they are
    titles: Mapping[str, str]  # of the pages that the coach does not name

    @cached_property
    def steps(self) -> Mapping[tuple[Side, str], str]:
        """The step phrase by side and man, with `%s` for origin and target."""
        return {
            ("white" if man.isupper() else "black", man.lower()): self.step.format(
                man=name, origin="%s", target="%s"
            )
            for man, name in self.men_of_sides.items()
        }

    @cached_property
    def captures(self) -> Mapping[str, str]:
        """What a capture adds, by the man that is taken."""
        return {man: f", {phrase}" for man, phrase in self.takes.items()}

    @cached_property
    def endings(self) -> Mapping[str, str]:
        """What an outcome adds."""
        said = {"check": self.check, "mate": self.mate, "stalemate": self.stalemate}
        return {"": "", **{outcome: f", {word}" for outcome, word in said.items()}}

    @cached_property
    def of_ledger(self) -> ledger.Words:
        """The words for what the ledger finds."""
        return translated(ledger.ENGLISH, context="ledger", language=self.language)

    def nag(self, number: int) -> str:
        """Return the meaning of a numeric annotation glyph, the number where it has none."""
        if number in self.nags:
            return self.nags[number].format(side=self.sides["white"])
        phrase = self.nags.get(number - 1, "")
        return phrase.format(side=self.sides["black"]) if "{side}" in phrase else f"${number}"

    def term(self, message: str, *, context: str) -> str:
        """Return a term of a table in this language."""
        return catalogue(self.language).pgettext(context, message)

    def say(self, message: str, **values: object) -> str:
        """Return a sentence of the site in this language; names in braces are filled in."""
        return catalogue(self.language).gettext(message).format(**values)

    def count(self, one: str, many: str, number: int, **values: object) -> str:
        """Return the form of a phrase that fits `number`, which fills in `{number}`."""
        phrase = catalogue(self.language).ngettext(one, many, number)
        return phrase.format(number=number, **values)

    @cached_property
    def for_script(self) -> Mapping[str, object]:
        """The words the page script puts together itself."""
        return {
            **self.page,
            "men_of": self.men_of,
            "man_on": self.man_on,
            "both": self.both,
            "no_men": self.no_men,
            "out": self.men_out,
            "lost": self.queen_lost,
            "count_of": self.count_of,
            "sides": [self.sides["white"], self.sides["black"]],
            "men": {man: [name, self.many_men[man]] for man, name in self.men.items()},
        }

    def enumerated(self, parts: Sequence[str]) -> str:
        """Return `a, b and c`."""
        if len(parts) < 2:
            return "".join(parts)
        return f"{', '.join(parts[:-1])} {self.both} {parts[-1]}"


def spoken(ply: Ply, words: Words, *, placement: str = "", attacked: Iterable[str] = ()) -> str:
    """Return a ply as it is read aloud: "White knight, g1 to f3, attacks the e5 pawn".

    `placement` is the board after the ply; it is needed where squares are `attacked`.
    """
    if ply.rook:
        castles = words.castles_short if ply.rook[0][0] == "h" else words.castles_long
        said = castles.format(side=words.sides[ply.mover])
    else:
        said = words.steps[ply.mover, ply.man] % (ply.origin, ply.target)
        if ply.captured:
            said += _capture(ply, words)
        if ply.promotion:
            said += ", " + words.becomes[ply.promotion]
    if attacked:
        targets = [
            words.targets[_man_on(square, placement)].format(square=square) for square in attacked
        ]
        said += ", " + words.attacks.format(targets=words.enumerated(targets))
    return said + words.endings[ply.outcome]


def _capture(ply: Ply, words: Words) -> str:
    assert ply.captured
    if ply.captured_on == ply.target:
        return words.captures[ply.captured]
    return ", " + words.takes_in_passing.format(square=ply.captured_on)


def _man_on(square: str, placement: str) -> str:
    return placement[ord(square[0]) - 97 + 8 * (int(square[1]) - 1)].lower()


def men_words(placement: str, words: Words) -> str:
    """Return where every man stands, side by side: "White: king on e1, rooks on a1 and h1. …"."""
    squares: dict[str, list[str]] = {}
    for file in range(8):  # by file, as a player reads a wing
        for rank in range(8):
            man = placement[8 * rank + file]
            if man != ".":
                squares.setdefault(man, []).append(f"{chr(97 + file)}{rank + 1}")
    sides: tuple[tuple[Side, str], ...] = (("white", _MEN.upper()), ("black", _MEN))
    return " ".join(
        words.men_of.format(side=words.sides[side], men=_men(letters, squares, words))
        for side, letters in sides
    )


def _men(letters: str, squares: Mapping[str, list[str]], words: Words) -> str:
    parts = []
    for letter in letters:
        found = squares.get(letter)
        if found:
            names = words.men if len(found) == 1 else words.many_men
            parts.append(
                words.man_on.format(man=names[letter.lower()], squares=words.enumerated(found))
            )
    return ", ".join(parts) or words.no_men


def position_words(position: Position, words: Words, *, has_turn: bool = True) -> str:
    """Return a whole position in words: all men, and who is to move."""
    men = men_words(position.placement, words)
    return f"{men} {turn_words(position, words)}." if has_turn else men


def out_words(entry: ledger.Entry, words: Words, *, has_name: bool = True) -> str:
    """Return "Men out: White 3, Black 1", and what a queen has lost where one has.

    Without its name the count is "White 3, Black 1", for one of several.
    """
    sides: tuple[Side, ...] = ("white", "black")
    out = [(side, entry.account(side).men.out) for side in sides]
    lost = [(side, entry.account(side).queen_tempi) for side in sides]
    counted = _counts(out, words)
    said = [words.men_out.format(counts=counted) if has_name else counted]
    if any(count for _, count in lost):
        counts = _counts([(side, count) for side, count in lost if count], words)
        said.append(words.queen_lost.format(counts=counts))
    return ". ".join(said)


def _counts(counts: Iterable[tuple[Side, int]], words: Words) -> str:
    return ", ".join(
        words.count_of.format(side=words.sides[side], count=count) for side, count in counts
    )


def marks_words(marks: Iterable[Mark], words: Words) -> str:
    """Return what the marks of a picture say: "c4 attacks f7. e5: target."."""
    return " ".join(
        (words.arrows if mark.is_arrow else words.marks)[mark.role].format(*mark.squares)
        for mark in marks
    )


def turn_words(position: Position, words: Words) -> str:
    """Return "White to move", "Checkmate" or "Stalemate"."""
    if position.outcome == "mate":
        return words.is_mate
    if position.outcome == "stalemate":
        return words.is_stalemate
    return words.to_move[position.turn]


def numbered(ply: Ply, letters: str) -> str:
    """Return a move with its number in plain text, as a book prints it: `4…g6`, `5.Nxe5`."""
    dots = "." if ply.mover == "white" else "…"
    return f"{ply.number}{dots}{move_text(ply.san, letters)}"


def after(ply: Ply | None, words: Words, *, letters: str) -> str:
    """Return the name of a place: "After 4…g6", or "The start" where no move leads to it."""
    return words.start if ply is None else words.after.format(move=numbered(ply, letters))


def where(ply: Ply | None, words: Words, *, letters: str) -> str:
    """Return the name of a place within a sentence: "after 4…g6", or "at the start"."""
    return words.at_start if ply is None else words.then.format(move=numbered(ply, letters))
