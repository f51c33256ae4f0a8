"""Published games and lines that the tests of this folder speak of, each with its source."""

from __future__ import annotations

from typing import Final

from outside.playing import play
from plybook.board import Line
from plybook.board.ledger import Entry, Fact, FactKind, Ledger, LedgerSettings, ledger_of

__all__ = ["CENTRE_GAME", "LASKER_BD5", "PARIS_1858", "SCANDINAVIAN", "Kept", "kept"]

#: Morphy against the Duke of Brunswick and Count Isouard, Paris 1858. In every collection of
#: Morphy's games; the moves are from memory and end in the mate that all of them print.
PARIS_1858: Final = (
    "1. e4 e5 2. Nf3 d6 3. d4 Bg4 4. dxe5 Bxf3 5. Qxf3 dxe5 6. Bc4 Nf6 7. Qb3 Qe7 8. Nc3 c6 "
    "9. Bg5 b5 10. Nxb5 cxb5 11. Bxb5+ Nbd7 12. O-O-O Rd8 13. Rxd7 Rxd7 14. Rd1 Qe6 15. Bxd7+ "
    "Nxd7 16. Qb8+ Nxb8 17. Rd8#"
)

#: Edward Lasker, Chess Strategy, 1915: 4.Bd5 is his example of a wasted move; 4.Ng5 he calls a
#: waste as well, but that is a matter of judgement.
LASKER_BD5: Final = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. Bd5 (4. Ng5)"

#: The Centre Game and the Scandinavian: common practice.
CENTRE_GAME: Final = "1. e4 e5 2. d4 exd4 3. Qxd4 Nc6 4. Qe3"
SCANDINAVIAN: Final = "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qa5"


class Kept:
    """A line with its ledger, asked by the labels of its moves (`4...Bxf3`)."""

    def __init__(self, line: Line, ledger: Ledger) -> None:
        self.line, self.ledger = line, ledger

    def entry(self, label: str) -> Entry:
        """Return the entry after the one move of that label."""
        (place,) = [ply.index for ply in self.line.plies if ply.label.rstrip("+#") == label]
        return self.ledger.entries[place]

    def facts(self, label: str, kind: FactKind) -> list[Fact]:
        """Return the facts of a kind that a move brought."""
        return [fact for fact in self.entry(label).facts if fact.kind is kind]

    def fact(self, label: str, kind: FactKind) -> Fact:
        """Return the one fact of a kind that a move brought."""
        (fact,) = self.facts(label, kind)
        return fact

    def reasons(self, label: str, kind: FactKind) -> list[FactKind]:
        """Return the kinds of the reasons of the one fact of a kind."""
        return [reason.kind for reason in self.fact(label, kind).reasons]

    def places_of(self, kind: FactKind) -> list[str]:
        """Return the labels of all moves that brought a fact of a kind."""
        return [
            self.line.plies[place - 1].label.rstrip("+#")
            for place, fact in self.ledger.facts()
            if fact.kind is kind
        ]


def kept(movetext: str, *, fen: str | None = None, settings: LedgerSettings | None = None) -> Kept:
    """Return a movetext with its ledger; it must be without a fault."""
    line, faults = play(movetext) if fen is None else play(movetext, fen=fen)
    assert faults == (), faults
    ledger = ledger_of(line) if settings is None else ledger_of(line, settings=settings)
    return Kept(line, ledger)
