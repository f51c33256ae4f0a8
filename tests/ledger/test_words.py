"""Every fact can be told, every table of words is whole, and no word is a grade."""

from __future__ import annotations

import dataclasses
import re
import string
from typing import Final

import pytest

from ledger.games import CENTRE_GAME, LASKER_BD5, PARIS_1858, kept
from plybook.board.ledger import (
    ENGLISH,
    VOCABULARY,
    Fact,
    FactKind,
    Role,
    pawns,
    queen,
    reasons,
    say,
)
from plybook.board.ledger.model import Cause, KingState, Wing

#: Words of judgement. The principle and the coach may judge, the ledger may not.
GRADES: Final = re.compile(r"\b(bad|good|mistake|weak|wrong|best|blunder|should|poor|well)\b")

BARE: Final = Fact(kind=FactKind.CASTLES, side="white")


@pytest.mark.parametrize("kind", FactKind, ids=lambda kind: kind.value)
def test_every_kind_has_a_meaning_and_a_sentence(kind: FactKind) -> None:
    assert VOCABULARY[kind].text
    assert VOCABULARY[kind].roles <= set(Role)
    assert VOCABULARY[kind].roles, "a fact that can serve nothing is not worth keeping"
    sentence = say(dataclasses.replace(BARE, kind=kind))
    assert sentence
    assert not GRADES.search(f"{sentence} {VOCABULARY[kind].text}")


def test_every_kind_that_can_be_a_reason_has_a_clause() -> None:
    found = {
        *reasons._EXCUSES, *pawns._JOBS, *queen._STRICT,
        FactKind.WAS_ATTACKED, FactKind.LEFT_A_TRADE, FactKind.OPENS_A_WAY,
    }  # fmt: skip  # the sources of reasons, one row each
    assert found == set(ENGLISH.because)


def test_every_closed_choice_has_its_word() -> None:
    assert set(ENGLISH.wings) == set(Wing)
    assert set(ENGLISH.causes) == set(Cause)
    assert set(ENGLISH.states) == set(KingState)
    assert set(ENGLISH.joined) | set(ENGLISH.bare) <= set(FactKind)


def test_templates_use_only_the_slots_that_are_filled() -> None:
    known = {
        "man", "man_on", "square", "others", "objects", "other", "squares", "files", "moves",
        "first", "n", "pawns", "nth", "side", "enemy", "wing", "cause", "reasons",
    }  # fmt: skip  # the slots of words.py, in its order
    for table in (ENGLISH.told, ENGLISH.because, ENGLISH.joined, ENGLISH.bare):
        for kind, template in table.items():
            used = {name for _, name, _, _ in string.Formatter().parse(template) if name}
            assert used <= known, kind


def test_values_of_the_vocabulary_are_names_for_a_principle_to_use() -> None:
    values = [kind.value for kind in FactKind]
    assert len(set(values)) == len(values)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", value) for value in values)


@pytest.mark.parametrize(
    ("movetext", "label", "kind", "sentence"),
    [
        (
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4",
            "4.Ba4",
            FactKind.SAME_MAN_AGAIN,
            "the bishop moves again, but it was attacked by the pawn on a6",
        ),
        (
            LASKER_BD5,
            "4.Bd5",
            FactKind.SAME_MAN_AGAIN,
            "the bishop moves again (its 2nd move) and takes nothing, threatens nothing and saves "
            "nothing",
        ),
        (
            CENTRE_GAME,
            "4.Qe3",
            FactKind.QUEEN_DRIVEN,
            "the queen must run: 3...Nc6 has won a tempo, and a man comes out",
        ),
        (
            PARIS_1858,
            "12.O-O-O",
            FactKind.FILE_TAKEN,
            "the rook comes to the d-file, which was opened by 5...dxe5",
        ),
        (
            PARIS_1858,
            "12...Rd8",
            FactKind.RIGHT_LOST,
            "Black may not castle long any more: the rook has moved",
        ),
        ("1. e4 e5 2. Ke2", "2.Ke2", FactKind.RIGHT_LOST,
         "White may not castle on either side any more: the king has moved"),
    ],
)  # fmt: skip  # long sentences
def test_a_fact_is_told_in_plain_words(
    movetext: str, label: str, kind: FactKind, sentence: str
) -> None:
    assert say(kept(movetext).fact(label, kind)) == sentence


def test_another_language_is_another_table() -> None:
    fact = kept("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4").fact("4.Ba4", FactKind.SAME_MAN_AGAIN)
    german = dataclasses.replace(
        ENGLISH,
        men={"b": "der Läufer", "p": "dem Bauern"},
        on_square="{man} auf {square}",
        because={FactKind.WAS_ATTACKED: "von {others} angegriffen"},
        joined={FactKind.SAME_MAN_AGAIN: "{man} zieht noch einmal, war aber {reasons}"},
    )
    assert say(fact, words=german) == (
        "der Läufer zieht noch einmal, war aber von dem Bauern auf a6 angegriffen"
    )
