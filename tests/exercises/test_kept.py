"""What is found is kept: a warm run says the same as a cold one; what is stale is of no use."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Final

import pytest

from exercises.exercise_stand import codes, request_of, solve, solve_all
from plybook.board.claims import Budget, VerdictCache
from plybook.board.exercises import ExerciseRequest
from plybook.board.exercises.question import key_of_exercise, put

TWO_ROOKS: Final = "6k1/5ppp/8/8/8/8/5PPP/3RR1K1 w - - 0 1"
SEQUENCE: Final = "r1bq2r1/b4pk1/p1pp1p2/1p2pP2/1P2P1PB/3P4/1PPQ2P1/R3K2R w KQ - 0 1"


def requests() -> list[ExerciseRequest]:
    """Return exercises of every kind, with and without faults."""
    return [
        request_of("only mate in 1", "1. Rd8#", fen=TWO_ROOKS, wrong=["1. Kf1"]),
        request_of("only mate in 2", "1. Qh6+ Kxh6 2. Bxf6#", fen=SEQUENCE),
        request_of("only wins 3, depth 2", "1. Rd4", fen=TWO_ROOKS),
        request_of("only move against mate in 1", "1. h3", fen=TWO_ROOKS),
        request_of("true", fen=TWO_ROOKS, claim="d1 is safe"),
        request_of("none because it is free", "1. h3", fen=TWO_ROOKS),
    ]


def forget(_: object, __: object) -> None:
    raise AssertionError("looked into anew")


def test_a_warm_run_looks_into_nothing_and_says_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache = VerdictCache()
    cold = solve_all(requests(), cache=cache)
    cache.write(tmp_path / "verdicts.json")
    monkeypatch.setattr("plybook.board.exercises.settle.look_into", forget)
    warm = solve_all(requests(), cache=VerdictCache.read(tmp_path / "verdicts.json"))
    assert warm == cold
    assert sum(map(len, map(codes, warm))) > 2


def test_processes_say_the_same_in_the_same_order(monkeypatch: pytest.MonkeyPatch) -> None:
    alone = solve_all(requests())
    monkeypatch.setattr("plybook.board.claims.sharing._WORTH_SHARING", 0)
    assert solve_all(requests(), jobs=2) == alone


def test_what_is_kept_under_another_version_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    cache = VerdictCache()
    solve_all(requests(), cache=cache)
    known = cache.changes
    monkeypatch.setattr("plybook.board.exercises.question._VERSION", 99)
    solve_all(requests(), cache=cache)
    assert cache.changes == known + len(requests())


def test_the_key_knows_everything_that_is_asked() -> None:
    whole = request_of(
        "only wins 1, depth 2",
        "1. Rd8#",
        fen=TWO_ROOKS,
        wrong=["1. Kf1"],
        twin=SEQUENCE,
        lines=["1. Rd8#"],
    )
    question = put(whole)
    others = [
        request_of("only wins 1, depth 3", "1. Rd8#", fen=TWO_ROOKS),
        request_of("only wins 1, depth 2", "1. Re8#", fen=TWO_ROOKS),
    ]
    keys = {key_of_exercise(put(one), budget=Budget()) for one in (whole, *others)}
    assert len(keys) == 3
    fields = {
        "start": SEQUENCE,
        "steps": question.steps[:0],
        "wrong": (),
        "answer_text": "2",
        "claim_text": "g4 is loose",
        "twin": None,
        "book": (),
    }
    for name, value in fields.items():
        changed = dataclasses.replace(question, **{name: value})
        assert key_of_exercise(changed, budget=Budget()) not in keys, name
    assert key_of_exercise(question, budget=Budget(search_nodes=1)) not in keys


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param('"table":[', '"table":[["', id="no JSON"),
        pytest.param("d1d8r1,", "d1d9r1,", id="a square that is none"),
        pytest.param("d1d8r1,", "d1a8r1,", id="an illegal move"),
        pytest.param("d1d8r1,", "d1d8r9,", id="a place that is none"),
        pytest.param('"reach":"proved"', '"reach":"sure"', id="a reach that is none"),
        pytest.param('"exercise-cooked"', '"exercise-burnt"', id="a code that is none"),
        pytest.param('"nodes":', '"nodez":', id="a name that is none"),
    ],
)
def test_a_broken_entry_is_looked_into_anew(old: str, new: str) -> None:
    cache = VerdictCache()
    request = requests()[0]
    (cold,) = solve_all([request], cache=cache)
    key = key_of_exercise(put(request), budget=Budget())
    text = cache.text(key)
    assert text is not None
    assert old in text
    cache.put_text(key, text.replace(old, new))
    known = cache.changes
    (again,) = solve_all([request], cache=cache)
    assert again == cold
    assert cache.changes == known + 1


def test_two_runs_give_the_same_table() -> None:
    assert [solve(request) for request in requests()] == [solve(request) for request in requests()]
