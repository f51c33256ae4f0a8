"""The table for the terminal and the JSON form."""

from __future__ import annotations

import json

from ledger.games import LASKER_BD5, PARIS_1858, kept
from plybook.board.ledger import FactKind
from plybook.desk.ledger_table import ledger_json, ledger_table, told


def test_a_row_gives_both_sides_numbers() -> None:
    line = kept(PARIS_1858)
    rows = ledger_table(line.line, line.ledger).split("\n")
    (row,) = [row for row in rows if row.startswith("12.O-O-O")]
    assert row.split() == [
        "12.O-O-O", "2", "2", "5", "3", "1+4", "1+5", "2", "0", "castled", "may", "castle",
    ]  # fmt: skip  # one row of the table


def test_a_sideline_is_indented_below_the_move_that_it_replaces() -> None:
    line = kept(LASKER_BD5)
    rows = [row for row in ledger_table(line.line, line.ledger).split("\n") if "4." in row[:6]]
    assert [row.split(" ")[0] or row[:7] for row in rows] == ["4.Bd5", "  4.Ng5"]


def test_a_reason_is_told_with_its_fact_and_not_twice() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6")
    kinds = [fact.kind for fact in told(line.entry("3...a6"))]
    assert FactKind.PAWN_JOB in kinds
    assert FactKind.PAWN_HITS_MAN not in kinds


def test_no_row_ends_in_blanks_and_the_table_ends_in_a_line_end() -> None:
    line = kept(PARIS_1858)
    text = ledger_table(line.line, line.ledger)
    assert text.endswith("\n")
    assert all(row == row.rstrip() for row in text.split("\n"))


def test_the_json_form_has_the_facts_with_fields_and_words() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4")
    document = json.loads(ledger_json(line.line, line.ledger))
    assert document["version"] == 1
    last = document["entries"][-1]
    assert (last["move"], last["mover"]) == ("4.Ba4", "white")
    (again,) = [fact for fact in last["facts"] if fact["kind"] == "same-man-again"]
    assert again == {
        "kind": "same-man-again",
        "side": "white",
        "man": {"side": "white", "man": "b", "square": "a4"},
        "amount": 2,
        "reasons": ["was-attacked"],
        "words": "the bishop moves again, but it was attacked by the pawn on a6",
    }
    assert last["white"]["development"] == {
        "minors": 2, "castled": 0, "centre_pawns": 1, "rooks": 0, "count": 3,
    }  # fmt: skip  # the parts at a glance


def test_the_same_line_gives_the_same_bytes() -> None:
    first, second = kept(PARIS_1858), kept(PARIS_1858)
    assert ledger_json(first.line, first.ledger) == ledger_json(second.line, second.ledger)
