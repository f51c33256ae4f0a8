"""Second opinions: asked for in a repeatable way, kept on record, and never a proof."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.run import Ran, plybook
from helpers import steady
from plybook.board import Doubt, ask_engine, read_opinions, write_opinions
from plybook.board.claims import Budget
from plybook.course.model import Settled
from plybook.desk.work import CHECK, OPINIONS_FILE, Work, run
from plybook.diagnostics import Report, UsageError

START = chess.STARTING_FEN
OPEN = "rnbqkbnr/pppp1ppp/8/4p3/4P3/8/PPPP1PPP/RNBQKBNR w KQkq - 0 2"
MATED = "rnb1kbnr/pppp1ppp/8/4p3/6Pq/5P2/PPPPP2P/RNBQKBNR w KQkq - 1 3"

LESSON = """---
title: Opinions
---

```moves open
1. e4 e5 2. Nf3 Nc6
```

```claims open@2...Nc6
e5 is attacked 1 time by White and guarded 1 time
believe: White is a little better
```
"""
BELIEF = "believe: White is a little better"


def fake(folder: Path, manner: str) -> str:
    """Return a program that behaves in a manner of fake_engine.py and logs to `folder`/log."""
    script = folder / f"engine-{manner}"
    command = [sys.executable, str(Path(__file__).with_name("fake_engine.py"))]
    command += [str(folder / "log"), manner]
    script.write_text(f"#!/bin/sh\nexec {shlex.join(command)}\n", encoding="utf-8")
    script.chmod(0o755)
    return str(script)


def sent(folder: Path) -> list[str]:
    return (folder / "log").read_text(encoding="utf-8").splitlines()


def doubt(position: str, question: str = "believe: it is fine") -> Doubt:
    return Doubt(position=position, question=question)


def course(folder: Path, *, lesson: str = LESSON) -> Path:
    (folder / "lessons").mkdir(parents=True)
    (folder / "course.yaml").write_text("title: Trial\n", encoding="utf-8")
    (folder / "lessons/01-opinions.md").write_text(lesson, encoding="utf-8")
    return folder


def entries(folder: Path) -> Any:
    return json.loads((folder / OPINIONS_FILE).read_text(encoding="utf-8"))["opinions"]


# ---------------------------------------------------------------------- asking


def test_one_thread_a_fixed_hash_and_fixed_nodes(tmp_path: Path) -> None:
    ask_engine(fake(tmp_path, "plain"), [doubt(START)], nodes=777)
    lines = sent(tmp_path)
    assert "setoption name Threads value 1" in lines
    assert "setoption name Hash value 16" in lines
    assert [line for line in lines if line.startswith("go")] == ["go nodes 777"]


def test_each_position_is_a_new_game_and_is_asked_once(tmp_path: Path) -> None:
    doubts = [doubt(START), doubt(OPEN), doubt(START, "believe: the same position")]
    given_ = ask_engine(fake(tmp_path, "plain"), doubts)
    lines = sent(tmp_path)
    assert [line.partition(" ")[0] for line in lines].count("ucinewgame") == 2
    assert [line.partition(" ")[0] for line in lines].count("go") == 2
    assert list(given_) == doubts
    assert given_[doubts[0]] == given_[doubts[2]]


def test_a_score_is_pawns_with_one_decimal_from_the_side_to_move(tmp_path: Path) -> None:
    (opinion,) = ask_engine(fake(tmp_path, "plain"), [doubt(START)]).values()
    assert (opinion.score, opinion.mover, opinion.line_text) == ("+3.2", "white", "1.a3")
    assert opinion.engine == "Fake [31mEngine 1.0"  # the control character is gone
    assert opinion.text == (
        "opinion, no proof (Fake [31mEngine 1.0, 200,000 positions): White to move +3.2, best 1.a3"
    )


def test_mate_is_given_in_moves_for_the_side_to_move(tmp_path: Path) -> None:
    black = OPEN.replace(" w ", " b ")
    given_ = ask_engine(fake(tmp_path, "mate"), [doubt(START), doubt(black)])
    assert [opinion.score for opinion in given_.values()] == ["mate in 2", "mated in 2"]


@pytest.mark.parametrize("manner", ["bound", "flood"])
def test_bounds_and_chatter_are_no_scores(manner: str, tmp_path: Path) -> None:
    (opinion,) = ask_engine(fake(tmp_path, manner), [doubt(START)]).values()
    assert opinion.score == "+3.2"


def test_a_game_that_is_over_is_not_asked_about(tmp_path: Path) -> None:
    assert ask_engine(fake(tmp_path, "plain"), [doubt(MATED)]) == {}
    assert not any(line.startswith("go") for line in sent(tmp_path))


@pytest.mark.parametrize(
    ("manner", "fault"),
    [
        ("silent", "gave no answer in 1 seconds"),
        ("deaf", "gave no answer in 1 seconds"),
        ("crash", "has left without an answer"),
        ("illegal", "answered nonsense: no score with a line of legal moves"),
        ("mute", "answered nonsense: no score with a line of legal moves"),
    ],
)
def test_a_bad_engine_is_one_error_and_no_opinion(
    manner: str, fault: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    # what answers gets its time on a busy machine; what never does is not waited for
    patience = 1 if manner in {"silent", "deaf"} else 60
    with pytest.raises(UsageError) as refused:
        ask_engine(fake(tmp_path, manner), [doubt(START)], patience=patience)
    assert fault in str(refused.value)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("program", "fault"),
    [("/no/such/engine", "No such file"), ("/", "Permission denied"), ("true", "has left")],
)
def test_what_is_no_uci_engine_is_refused_with_one_line(
    program: str, fault: str, tmp_path: Path
) -> None:
    ran = plybook("check", course(tmp_path / "c"), "--engine", program)
    assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert fault in ran.err
    assert not (tmp_path / "c" / OPINIONS_FILE).exists()


# ---------------------------------------------------------------------- on record


def test_an_opinion_is_recorded_and_shown_later_without_an_engine(tmp_path: Path) -> None:
    folder = course(tmp_path / "c")
    words = "White to move +3.2, best 3.a3"
    asked = plybook("verdicts", folder, "--engine", fake(tmp_path, "plain"))
    assert asked.code == 0
    assert entries(folder) == [
        {
            "position": "r1bqkbnr/pppp1ppp/2n5/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R w KQkq - 2 3",
            "question": BELIEF,
            "engine": "Fake [31mEngine 1.0",
            "nodes": 200_000,
            "score": "+3.2",
            "line": "3.a3",
        }
    ]
    for ran in (asked, plybook("verdicts", folder), plybook("check", folder)):
        assert words in ran.out
        assert "opinion, no proof" in ran.out
    (proved, believed) = json.loads(plybook("check", folder, "--format", "json").out)["verdicts"]
    assert proved["opinion"] is None
    assert believed["verdict"] == "coachs-word"
    assert believed["opinion"]["score"] == "+3.2"


def test_the_same_question_gives_the_same_bytes(tmp_path: Path) -> None:
    kept = []
    for name in ("a", "b"):
        folder = course(tmp_path / name)
        plybook("check", folder, "--engine", fake(tmp_path, "plain"))
        plybook("check", folder, "--engine", fake(tmp_path, "plain"))
        kept.append((folder / OPINIONS_FILE).read_bytes())
    assert kept[0] == kept[1]


def test_what_is_asked_no_more_goes_at_the_next_asking(tmp_path: Path) -> None:
    folder = course(tmp_path / "c")
    plybook("check", folder, "--engine", fake(tmp_path, "plain"))
    page = folder / "lessons/01-opinions.md"
    page.write_text(LESSON.replace(BELIEF, "believe: it is level"), encoding="utf-8")
    assert "opinion" not in plybook("check", folder).out
    assert [row["question"] for row in entries(folder)] == [BELIEF]
    plybook("check", folder, "--engine", fake(tmp_path, "plain"))
    assert [row["question"] for row in entries(folder)] == ["believe: it is level"]


def test_a_course_with_a_fault_loses_no_opinion(tmp_path: Path) -> None:
    folder = course(tmp_path / "c")
    plybook("check", folder, "--engine", fake(tmp_path, "plain"))
    page = folder / "lessons/01-opinions.md"
    page.write_text(LESSON.replace("2. Nf3", "2. Nf4"), encoding="utf-8")
    assert plybook("check", folder, "--engine", fake(tmp_path, "plain")).code == 1
    assert [row["question"] for row in entries(folder)] == [BELIEF]


def test_no_opinion_overrules_a_verdict(tmp_path: Path) -> None:
    """The false claim stays false; the engine is not asked about it."""
    folder = course(tmp_path / "c", lesson=LESSON.replace(BELIEF, "e5 is loose"))
    ran = plybook("check", folder, "--engine", fake(tmp_path, "mate"))
    assert ran.code == 1
    assert "error[false-claim]" in ran.err
    assert not (folder / OPINIONS_FILE).exists()


def test_a_claim_that_is_not_settled_gets_an_opinion_and_stays_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plybook.course.claims.Budget", lambda: Budget(search_nodes=20))
    sentence = "3.Bc4 wins 1 or more, depth 5"
    folder = course(tmp_path / "c", lesson=LESSON.replace(BELIEF, sentence))
    work = run(CHECK, Work(folder=folder, engine=fake(tmp_path, "plain")))
    (warning,) = work.report
    assert warning.code == "claim-not-settled"
    assert any(note.startswith("opinion, no proof") for note in warning.notes)
    assert work.course is not None
    settled: list[Settled] = list(work.course.verdicts.values())
    assert not settled[-1].verdict.reach.is_good


def test_a_build_needs_no_engine_and_no_record(tmp_path: Path) -> None:
    folder = course(tmp_path / "c")
    (folder / OPINIONS_FILE).write_text("<<<<<<<\n", encoding="utf-8")
    ran = plybook("build", folder, "--out", tmp_path / "site")
    assert ran.code == 0
    assert "warning[bad-opinions]" in ran.err


# ---------------------------------------------------------------------- what is read


GOOD = {
    "position": START,
    "question": "believe: it is fine",
    "engine": "Fake 1",
    "nodes": 5,
    "score": "+0.3",
    "line": "1.e4 e5 2.Nf3",
}


def read(folder: Path, document: object) -> tuple[dict[Doubt, Any], list[str]]:
    path = folder / OPINIONS_FILE
    path.write_text(json.dumps(document), encoding="utf-8")
    report = Report()
    return dict(read_opinions(path, report=report)), [fault.code for fault in report]


def test_a_record_reads_back_as_it_was_written(tmp_path: Path) -> None:
    path = tmp_path / OPINIONS_FILE
    asked = ask_engine(fake(tmp_path, "mate"), [doubt(OPEN), doubt(START)])
    write_opinions(path, asked)
    assert read_opinions(path, report=Report()) == asked


@pytest.mark.parametrize(
    "change",
    [
        {"position": "8/8"},
        {"question": 3},
        {"engine": "two\nlines"},
        {"engine": ""},
        {"nodes": True},
        {"nodes": 0},
        {"score": "winning"},
        {"score": "+0.35"},
        {"line": "1.e4 e4"},
        {"line": ""},
        {"line": "a3 a6 a4 a5 b3 b6 b4 c5 c3"},
        {"extra": 1},
    ],
    ids=str,
)
def test_an_entry_that_does_not_fit_is_left_out_and_reported(
    change: dict[str, object], tmp_path: Path
) -> None:
    found, codes = read(tmp_path, {"version": 1, "opinions": [GOOD | change, GOOD]})
    assert list(found) == [doubt(START)]
    assert codes == ["bad-opinions"]


def test_a_good_record_is_read_without_a_word(tmp_path: Path) -> None:
    found, codes = read(tmp_path, {"version": 1, "opinions": [GOOD]})
    assert [opinion.line_text for opinion in found.values()] == ["1.e4 e5 2.Nf3"]
    assert codes == []


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=9),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from([*GOOD, "version", "opinions"]), inner, max_size=6)
    ),
    max_leaves=12,
)


@steady(120)
@given(document=_JSON | st.fixed_dictionaries({"version": st.just(1), "opinions": _JSON}))
def test_any_json_is_read_without_falling_over(
    document: object, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _, codes = read(tmp_path_factory.getbasetemp(), document)
    assert set(codes) <= {"bad-opinions", "control-character"}


# ---------------------------------------------------------------------- a real engine


def real_engine() -> str:
    """Return the first engine of those named in PLYBOOK_TEST_ENGINE that answers `uci`."""
    names = os.environ.get("PLYBOOK_TEST_ENGINE", "").split()
    if not names:
        pytest.skip("PLYBOOK_TEST_ENGINE names no UCI engine")
    for name in names:
        program = shutil.which(name, path=f"{os.environ.get('PATH', '')}{os.pathsep}/usr/games")
        if program is not None:
            said = subprocess.run(
                [program], input="uci\nquit\n", capture_output=True, text=True, timeout=30
            )
            if "uciok" in said.stdout:
                return program
    pytest.skip(f"none of {names} is installed and answers `uci`")


def test_a_real_engine_says_the_same_again_in_any_order() -> None:
    program = real_engine()
    doubts = [doubt(START), doubt(OPEN), doubt(OPEN.replace(" w ", " b "))]
    asked = ask_engine(program, doubts, nodes=20_000)
    assert asked == ask_engine(program, doubts[::-1], nodes=20_000)
    assert all(opinion.line for opinion in asked.values())


def test_a_real_engine_sees_a_mate_in_one() -> None:
    """The queen goes to the last rank, the king guards the squares before it."""
    position = "7k/8/6K1/8/8/8/8/1Q6 w - - 0 1"
    (opinion,) = ask_engine(real_engine(), [doubt(position)], nodes=20_000).values()
    assert opinion.score == "mate in 1"


def test_the_help_names_the_option() -> None:
    ran: Ran = plybook("check", "--help")
    assert "--engine PATH" in ran.out
    assert "--jobs N" in ran.out
