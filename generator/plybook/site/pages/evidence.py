"""What moves do to principles: for each move of a line, and in one sentence anywhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from plybook.board.model import Line
from plybook.course.model import Course, Evidence, EvidenceTable, Place
from plybook.site.wording.movetext import moves_in_letters
from plybook.site.wording.typography import set_text
from plybook.site.wording.words import Words

__all__ = ["VERBS", "RowMaker", "Touched", "sentence_of"]

#: The verbs in the order of the pages of principles.
VERBS: Final = ("kept", "broken", "justified", "punished")
#: Under the board a reader wants to know first what went wrong.
_URGENT: Final = {"broken": 0, "punished": 1, "justified": 2, "kept": 3}

#: The positions before and after a move: the same move wherever it stands.
_Step = tuple[bytes, bytes]


class Touched:
    """The principles that each move of the course touches.

    Evidence is kept once for equal positions; a reader meets it in every line that has the move.
    """

    def __init__(self, course: Course) -> None:
        self._found = _search(course)

    def at(self, place: Place, line: Line) -> tuple[Evidence, ...]:
        """Return what the move before a place of a line does, the most urgent first."""
        found: dict[tuple[str, str], Evidence] = {}
        for one in self._found(*_step(line, place.index)):
            name = one.principle, one.verb
            if name not in found or one.place == place:
                found[name] = one
        return tuple(sorted(found.values(), key=lambda one: (_URGENT[one.verb], not one.is_tagged)))


def _search(course: Course) -> Callable[[bytes, bytes], Iterable[Evidence]]:
    """Return how the evidence of a move is found: the table knows, or is gone through once."""
    if isinstance(course.evidence, EvidenceTable):
        return course.evidence.at
    found: dict[_Step, list[Evidence]] = {}
    for evidence in course.evidence.values():
        for one in evidence:
            found.setdefault(_step(course.line(one.place), one.place.index), []).append(one)
    return lambda before, after: found.get((before, after), ())


def _step(line: Line, place: int) -> _Step:
    return line.key(line.plies[place - 1].parent), line.key(place)


def sentence_of(evidence: Evidence, words: Words) -> str:
    """Return one piece of evidence in words, the coach's reason with it; plain text, no stop."""
    sentence, reason = evidence.told(words.of_ledger), evidence.because
    if not reason or reason == sentence:
        return sentence or words.known["word"]
    return words.coach_adds.format(sentence=sentence, reason=reason)


#: What one move does to one principle: the principle's number on the page, a verb, a sentence.
Row = tuple[int, str, str]


@dataclass(slots=True, kw_only=True)
class RowMaker:
    """Writes down what the moves of one page do, as the page script reads it.

    `rules` grows: the title and address of each principle that some move touches.
    """

    course: Course
    touched: Touched
    words: Words
    quotes: tuple[str, str, str, str]
    root: str
    rules: list[tuple[str, str]] = field(default_factory=list)
    _numbers: dict[str, int] = field(default_factory=dict)

    def rows(self, lesson: str, line: Line, *, letters: str) -> Mapping[str, list[Row]]:
        """Return the rows of a line's moves by place; a move that touches nothing is not there.

        `letters` is the letter set of the moves that a sentence names.
        """
        rows = {}
        for ply in line.plies:
            found = self.touched.at(Place(lesson, line.name, ply.index), line)
            if found:
                rows[str(ply.index)] = [self._row(one, letters) for one in found]
        return rows

    def _row(self, one: Evidence, letters: str) -> Row:
        number = self._numbers.setdefault(one.principle, len(self.rules))
        if number == len(self.rules):
            title = self.course.principles[one.principle].title
            self.rules.append((title, f"{self.root}principles/{one.principle}.html"))
        return number, self.words.verbs[one.verb], self._told(one, letters)

    def _told(self, one: Evidence, letters: str) -> str:
        """Return a sentence; that a rule is simply kept needs none."""
        if one.verb == "kept" and not one.because:
            return ""
        told = set_text(sentence_of(one, self.words), self.quotes)
        return moves_in_letters(told, letters)
