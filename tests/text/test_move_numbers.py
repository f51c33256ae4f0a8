"""One limit for move numbers: in a FEN, a reference, a claim and running text."""

from __future__ import annotations

import pytest

from diagnostics.folder import Content, body, check, marked, place, write
from plybook.text.mentions import find_mentions
from plybook.text.references import read_step

KINGS = "4k3/8/8/8/8/8/4P3/4K3 w - - 0"


def line(fen: str, moves: str, *, below: str = "") -> dict[str, Content]:
    return body(f"```moves end\nfrom: fen {fen}\n\n{moves}\n```\n\n{below}\n")


def test_a_line_may_begin_at_move_999(tmp_path_factory: pytest.TempPathFactory) -> None:
    files = line(f"{KINGS} 999", "999. e4 Kd7", below="999.e4 and [here](end@999.e4).")
    assert check(write(tmp_path_factory.mktemp("course"), files)) == ()


@pytest.mark.parametrize("number", ["1000", "1234567", "9" * 5000])
def test_a_fen_with_a_larger_number_is_refused(
    tmp_path_factory: pytest.TempPathFactory, number: str
) -> None:
    files, where = marked(line(f"«{KINGS} {number}»", "1. e4"))
    (fault,) = check(write(tmp_path_factory.mktemp("course"), files))
    assert (fault.code, place(fault)) == ("bad-fen", where)


def test_a_year_before_a_move_is_no_number() -> None:
    assert list(find_mentions("It was played in 1851. Nf3 came later.")) == []
    assert read_step("1851.Nf3") is None
    step = read_step("851.Nf3")
    assert step is not None
    assert step.number == 851
