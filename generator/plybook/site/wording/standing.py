"""A position and the words for what stands on it: what the sentences of claims are filled with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from plybook.board import ledger
from plybook.site.wording.words import Words
from plybook.text.claim_model import LongMove, MoveWord, SideWord, WingWord

__all__ = ["Standing", "target_of"]

_WINGS: Final[Mapping[WingWord, ledger.Wing]] = {
    "king-side": ledger.Wing.SHORT,
    "queen-side": ledger.Wing.LONG,
}
_SQUARE: Final = 2  # characters of its name


@dataclass(frozen=True, slots=True)
class Standing:
    """A position and the words of a page. `placement` is that of `Position`."""

    placement: str
    words: Words

    def man(self, square: str) -> str:
        """Return the man on a square as a subject; the square's name where it is empty."""
        return self._named(self.letter(square), square, self.words.of_ledger.men)

    def man_as_object(self, square: str) -> str:
        """Return the same as what a verb is done to."""
        return self._named(self.letter(square), square, self.words.of_ledger.men_as_objects)

    def letter(self, square: str) -> str:
        """Return the letter of the man on a square as in a FEN, `.` where it is empty."""
        return self.placement[ord(square[0]) - ord("a") + 8 * (int(square[1]) - 1)]

    def man_after(self, square: str, moves: Sequence[MoveWord]) -> str:
        """Return the man on a square, as a subject, once some moves are played."""
        arrived = [move.san.rstrip("+#") for move in moves]
        arrived = [san for san in arrived if san.partition("=")[0].endswith(square)]
        if not arrived:
            return self.man(square)
        san = arrived[-1]
        letter = san[-1] if "=" in san else san[0] if san[0].isupper() else "p"
        return self._named(letter, square, self.words.of_ledger.men)

    def men_as_objects(self, squares: Sequence[str]) -> str:
        """Return the men on some squares as what a verb is done to: `a, b and c`."""
        return self.words.enumerated([self.man_as_object(square) for square in squares])

    def moves(self, moves: Sequence[MoveWord]) -> str:
        """Return moves as `a, b and c`."""
        return self.words.enumerated([str(move) for move in moves])

    def side(self, side: SideWord) -> str:
        """Return the name of a side within a sentence."""
        return self.words.of_ledger.sides[side]

    def owner(self, square: str) -> SideWord:
        """Return whose man stands on a square."""
        return "white" if self.letter(square).isupper() else "black"

    def wing(self, wing: WingWord) -> str:
        """Return how a side castles: short or long."""
        return self.words.of_ledger.wings[_WINGS[wing]]

    def least(self, worth: int) -> str:
        """Return the least that is won or lost, in points."""
        return self.words.count("at least {number} point", "at least {number} points", worth)

    def _named(self, letter: str, square: str, men: Mapping[str, str]) -> str:
        if letter == ".":
            return square
        return self.words.of_ledger.on_square.format(man=men[letter.lower()], square=square)


def target_of(move: MoveWord | LongMove) -> str:
    """Return the square a king's move goes to."""
    return move.target if isinstance(move, LongMove) else move.san.rstrip("+#")[-_SQUARE:]
