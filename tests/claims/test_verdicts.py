"""What a verdict is: its reach, its budget, its words, and that nothing but the question counts."""

from __future__ import annotations

import json
import os
import pickle
from pathlib import Path

import chess
import pytest

from claims.claim_stand import line_of, request_of, settle, settle_at
from plybook.board.claims import (
    Budget,
    ClaimRequest,
    MoveSaid,
    Reach,
    Verdict,
    VerdictCache,
    settle_claims,
)
from plybook.board.claims.question import key_of, question_of
from plybook.board.claims.table import DEFINITIONS
from plybook.text.claim_patterns import ENGLISH

LEGAL = "1.e4 e5 2.Nf3 d6 3.Bc4 Bg4 4.Nc3 g6"


def test_every_pattern_has_one_definition() -> None:
    assert {pattern.claim for pattern in ENGLISH.patterns} == set(DEFINITIONS)


# ------------------------------------------------------------------ what cannot be asked

CHECKED = "1.e4 e5 2.Nf3 f6 3.Nxe5 fxe5 4.Qh5+"


@pytest.mark.parametrize(
    ("sentence", "moves", "words"),
    [
        (
            "White threatens mate in 1 by Qxe5#",
            CHECKED,
            'Black is in check, so "threatens" has no meaning here',
        ),
        ("Black threatens to win 1 on e4", CHECKED, "Black is to move"),
        ("e5 is hanging", CHECKED, "Black is in check"),
        ("e4 is hanging", "1.e4", ""),
        ("d4 is loose", "1.e4", "no man stands on d4"),
        ("e1 is safe", "1.e4", "the king stands on e1"),
        (
            "f7 is attacked 1 time by Black and guarded 1 time",
            LEGAL,
            "the pawn on f7 is Black's own",
        ),
        ("5.Nxf7 mates in 2", LEGAL, "5.Nxf7 is not legal for White here"),
        ("6.Nxe5 mates in 2", LEGAL, "6.Nxe5 has another number here: 5.Nxe5"),
        ("5...Nf6 mates in 2", LEGAL, "5...Nf6 cannot be played here: White is to move"),
        ("5.Bxf7 mates in 2", LEGAL, "5.Bxf7 is written Bxf7+ here"),
        ("Nd7 is the only mate in 1", LEGAL, "Nd7 is not legal for White here"),
        ("the only reply to the threat is 2.a3", "1.e4 a6", "nothing is threatened here"),
        ("g4 is trapped and costs 1 or more", LEGAL, "White is to move: ask after the move"),
        ("5.Nxe5 wins 1 or more by the lines given", LEGAL, "no line of the lesson plays 5.Nxe5"),
        ("d2xe3 is illegal, pinned by g5", LEGAL, "no man of White could play d2xe3"),
        ("Nd5 is illegal, guarded by d6", LEGAL, "Nd5 is no king move"),
        ("e1 is overloaded: it guards d1 and f2", LEGAL, "the king on e1"),
        (
            "the queen has cost 1 tempo",
            "1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5 4.Qf3 Bg4 5.Qd3",
            "both queens have cost tempi",
        ),
        ("no reply stops mate in 1", "1.f3 e5 2.g4 Qh4#", "the game is over here"),
    ],
)
def test_a_question_without_a_meaning_says_why(sentence: str, moves: str, words: str) -> None:
    verdict = settle(sentence, moves)
    if not words:
        assert verdict.reach is Reach.FALSE  # the near miss: it can be asked
        return
    assert verdict.reach is Reach.CANNOT_BE_ASKED
    assert verdict.text.startswith(words)
    assert not verdict.reach.is_good


def test_the_coachs_word_is_neither_proved_nor_false() -> None:
    verdict = settle("believe: White has a strong attack", LEGAL)
    assert verdict.reach is Reach.COACHS_WORD
    assert verdict.reach.is_good
    assert verdict.text == ""


# ------------------------------------------------------------------ budgets


def test_a_budget_that_runs_out_leaves_the_claim_open() -> None:
    verdict = settle("5.Nxe5 wins 1 or more, depth 5", LEGAL, budget=Budget(search_nodes=1000))
    assert verdict.reach is Reach.NOT_SETTLED
    assert verdict.text.startswith("not settled after 1,000 positions")
    assert verdict.nodes == 1000
    open_mate = settle("5.Nxe5 mates in 4", LEGAL, budget=Budget(mate_nodes=300))
    assert open_mate.reach is Reach.NOT_SETTLED


@pytest.mark.parametrize(
    ("sentence", "budgets", "last"),
    [
        (
            "5.Nxe5 wins 1 or more, depth 3",
            [Budget(search_nodes=nodes) for nodes in (20, 200, 800, 1500, 3000)],
            Reach.FALSE,
        ),
        (
            "5.Nxe5 mates in 4",
            [Budget(mate_nodes=nodes) for nodes in (20, 2000, 20_000, 60_000)],
            Reach.FALSE,
        ),
    ],
)
def test_more_budget_never_unsettles_a_claim(
    sentence: str, budgets: list[Budget], last: Reach
) -> None:
    """Neither does running out while the words for a settled claim are looked for."""
    reaches = [settle(sentence, LEGAL, budget=budget).reach for budget in budgets]
    settled = reaches.index(last)
    assert reaches == [Reach.NOT_SETTLED] * settled + [last] * (len(reaches) - settled)
    assert settled > 0


def test_mates_in_three_are_settled_whatever_the_budget() -> None:
    """Vienna 1910, from memory; one position would not be enough for anything."""
    vienna = "1.e4 c6 2.d4 d5 3.Nc3 dxe4 4.Nxe4 Nf6 5.Qd3 e5 6.dxe5 Qa5+ 7.Bd2 Qxe5 8.O-O-O Nxe4"
    verdict = settle("9.Qd8+ is the only mate in 3", vienna, budget=Budget(mate_nodes=1))
    assert verdict.reach is Reach.PROVED


def test_the_stated_threat_is_what_the_replies_are_asked_about() -> None:
    """The Two Knights after 4.Ng5: what is threatened is a capture on f7, not mate."""
    moves = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5"
    sentence = "the only reply to the threat is 4...d5"
    found = settle(sentence, moves)
    assert found.text == "4...Nd5 answers it (loses 2)"
    stated = settle(sentence, moves, threat="White threatens mate in 1 by Bxf7+")
    assert stated.reach is Reach.CANNOT_BE_ASKED
    assert stated.text == "mate in 1 was stated before, and is not threatened here"
    capture = settle(sentence, moves, threat="White threatens to win 1 on f7")
    assert (capture.reach, capture.text) == (found.reach, found.text)


# ------------------------------------------------------------------ words


def test_a_list_names_five_and_counts_the_rest() -> None:
    verdict = settle("no reply stops mate in 1", "1.d4 f5 2.Bg5 h6 3.Bh4 g5 4.Bg3 f4 5.e3 h5 6.Bd3")
    assert sum(isinstance(part, MoveSaid) for part in verdict.evidence) == 5
    assert verdict.text.endswith(" and 5 more")


def test_an_answer_after_a_pass_is_numbered_as_it_would_be_played() -> None:
    black = settle("Black threatens to win 1 on e4", "1.e4 Nf6 2.h3 a6")
    assert black.text == "3...Nxe4 would win 1"
    white = settle("White threatens to win 3 on f6", "1.e4 Nf6 2.e5")
    assert white.text.startswith("the best capture there, 3.exf6, wins 2")


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("g4 is loose", "proved"),
        ("5.Nxe5 wins 1 or more, depth 5", "holds to depth 5"),
        ("5.Nxe5 mates in 2", "false"),
        ("White threatens mate in 1 by Nxe5", "cannot be asked here"),
        ("believe: it is sharp", "coach's word"),
    ],
)
def test_a_reach_has_words(sentence: str, words: str) -> None:
    assert settle(sentence, LEGAL).reach_text == words


def test_lines_are_numbered_once_and_at_every_white_move() -> None:
    verdict = settle("6.Bxf7+ mates in 2", f"{LEGAL} 5.Nxe5 Bxd1")
    assert verdict.text == "6.Bxf7+ Ke7 7.Nd5#"


# ------------------------------------------------------------------ what came before

QUEENS = "1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5"


def test_a_line_that_starts_from_a_position_has_no_past() -> None:
    fen = "rnb1kbnr/ppp1pppp/8/q7/8/2N5/PPPP1PPP/R1BQKBNR w KQkq - 2 4"
    assert settle("the queen has cost 0 tempi", fen=fen).reach is Reach.PROVED
    assert settle("White has 1 minor piece out", fen=fen).reach is Reach.PROVED


def test_the_lines_before_a_line_belong_to_its_past() -> None:
    first = line_of(QUEENS)
    end = max(ply.index for ply in first.main())
    fen = "rnb1kbnr/ppp1pppp/8/q7/8/2N5/PPPP1PPP/R1BQKBNR w KQkq - 2 4"
    second = line_of("4.d4 Nf6", fen=fen)
    request = request_of("the queen has cost 1 tempo", second, 2)
    whole = ClaimRequest(
        claim=request.claim, line=request.line, place=request.place, lead=((first, end),)
    )
    alone, together = settle_claims([request, whole], budget=Budget())
    assert (alone.reach, together.reach) == (Reach.FALSE, Reach.PROVED)


# ------------------------------------------------------------------ order, sharing, the cache

SENTENCES = (
    "the knight f3 is pinned by g4 to d1, relative",
    "5.Nxe5 wins 1 or more, depth 3",
    "g4 is loose",
    "5.Nxe5 mates in 2",
    "5.Nd5 mates in 2",
    "g4 is hanging",
    "5.d4 mates in 2",
    "5.Nxe5 wins 1 or more, depth 2",
    "believe: it is sharp",
    "5.h3 wins 1 or more, depth 3",
)


def requests() -> list[ClaimRequest]:
    line = line_of(LEGAL)
    return [request_of(sentence, line, 8) for sentence in SENTENCES]


def test_several_processes_give_the_same_verdicts_in_the_same_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("plybook.board.claims.sharing._WORTH_SHARING", 0)
    one = settle_claims(requests(), budget=Budget())
    two = settle_claims(requests(), budget=Budget(), jobs=2)
    assert one == two
    assert [verdict.reach for verdict in one] == [
        Reach.PROVED,
        *(settle(sentence, LEGAL).reach for sentence in SENTENCES[1:]),
    ]


def test_settling_twice_gives_the_same() -> None:
    assert settle_claims(requests()[:5], budget=Budget()) == settle_claims(
        requests()[:5], budget=Budget()
    )


def test_requests_and_verdicts_can_be_sent_to_another_process() -> None:
    question = question_of(requests()[1])
    assert pickle.loads(pickle.dumps(question)) == question


def test_a_verdict_comes_back_from_the_cache_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "verdicts.json"
    cache = VerdictCache()
    fresh = settle_claims(requests(), budget=Budget(), cache=cache)
    cache.write(path)
    again = VerdictCache.read(path)
    assert len(again) == len(SENTENCES)
    poisoned = VerdictCache({key: Verdict(reach=Reach.PROVED, nodes=77) for key in again._verdicts})
    assert settle_claims(requests(), budget=Budget(), cache=again) == fresh
    from_cache = settle_claims(requests(), budget=Budget(), cache=poisoned)
    assert all(verdict.nodes == 77 for verdict in from_cache)


def test_the_same_verdicts_make_the_same_file(tmp_path: Path) -> None:
    paths = [tmp_path / "a.json", tmp_path / "b.json"]
    for path in paths:
        cache = VerdictCache()
        settle_claims(requests(), budget=Budget(), cache=cache)
        cache.write(path)
    assert paths[0].read_bytes() == paths[1].read_bytes()
    assert sorted(tmp_path.iterdir()) == paths


def test_a_key_names_everything_a_verdict_depends_on() -> None:
    line = line_of(LEGAL)
    question = question_of(request_of("5.Nxe5 wins 1 or more, depth 3", line, 8))
    other_place = question_of(request_of("5.Nxe5 wins 1 or more, depth 3", line, 6))
    other_claim = question_of(request_of("5.Nxe5 wins 1 or more, depth 4", line, 8))
    keys = {
        key_of(question, budget=Budget(), version=1),
        key_of(question, budget=Budget(search_nodes=5), version=1),
        key_of(question, budget=Budget(), version=2),
        key_of(other_place, budget=Budget(), version=1),
        key_of(other_claim, budget=Budget(), version=1),
    }
    assert len(keys) == 5


def test_lines_that_lead_elsewhere_do_not_matter() -> None:
    """A change in another line of the lesson leaves the verdict in the cache."""
    line = line_of(f"{LEGAL} 5.Nxe5 Bxd1")
    sentence = "5.Nxe5 wins 1 or more by the lines given"
    other = line_of("1.d4 d5 2.c4")
    more = line_of(f"{LEGAL} 5.Nxe5 dxe5 6.Qxg4")
    keys = [
        key_of(question_of(request_of(sentence, line, 8, lines=lines)), budget=Budget(), version=1)
        for lines in ((), (line, other), (line, more))
    ]
    assert keys[0] == keys[1]
    assert keys[0] != keys[2]


def test_a_claim_about_men_alone_does_not_depend_on_how_they_came_there() -> None:
    """The same position with the same clocks, by another order of moves."""
    one = line_of("1.Nf3 Nf6 2.Nc3 Nc6")
    other = line_of("1.Nc3 Nc6 2.Nf3 Nf6")
    keys = [
        key_of(question_of(request_of("f3 is safe", line, 4)), budget=Budget(), version=1)
        for line in (one, other)
    ]
    assert keys[0] == keys[1]
    histories = [
        key_of(
            question_of(request_of("White has 2 minor pieces out", line, 4)),
            budget=Budget(),
            version=1,
        )
        for line in (one, other)
    ]
    assert histories[0] != histories[1]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "null",
        "\ufeff{}",
        '{"version": 2, "verdicts": {}}',
        '{"version": 1}',
        '{"version": 1, "verdicts": []}',
        "[" * 100_000,
    ],
    ids=range(9),
)
def test_a_broken_file_is_an_empty_cache(tmp_path: Path, text: str) -> None:
    path = tmp_path / "verdicts.json"
    path.write_text(text, encoding="utf-8")
    assert len(VerdictCache.read(path)) == 0


def test_no_file_a_link_and_bytes_are_an_empty_cache(tmp_path: Path) -> None:
    assert len(VerdictCache.read(tmp_path / "none.json")) == 0
    (tmp_path / "bytes.json").write_bytes(b"\xff\xfe\x00")
    assert len(VerdictCache.read(tmp_path / "bytes.json")) == 0
    target = tmp_path / "real.json"
    VerdictCache({"a" * 64: Verdict(reach=Reach.PROVED)}).write(target)
    (tmp_path / "link.json").symlink_to(target)
    assert len(VerdictCache.read(tmp_path / "link.json")) == 0
    assert len(VerdictCache.read(target)) == 1


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes in the file system")
def test_a_pipe_in_place_of_the_file_does_not_stop_the_run(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "verdicts.json")
    assert len(VerdictCache.read(tmp_path / "verdicts.json")) == 0


@pytest.mark.parametrize(
    "row",
    [
        {"reach": "certain", "nodes": 0},
        {"reach": ["proved"], "nodes": 0},
        {"reach": "proved"},
        {"reach": "proved", "nodes": -1},
        {"reach": "proved", "nodes": "0"},
        {"reach": "proved", "nodes": 0, "evidence": "words"},
        {"reach": "proved", "nodes": 0, "evidence": [1]},
        {"reach": "proved", "nodes": 0, "evidence": ["\u202eback to front"]},
        {"reach": "proved", "nodes": 0, "evidence": ["x" * 5000]},
        {"reach": "false", "nodes": 0, "counter": ["words"]},
        {"reach": "false", "nodes": 0, "counter": [["<b>", "e2e4", 1, "white", True]]},
        {"reach": "false", "nodes": 0, "counter": [["e4", "e2e9", 1, "white", True]]},
        {"reach": "false", "nodes": 0, "counter": [["e4", "e2e4", 1, "red", True]]},
        {"reach": "false", "nodes": 0, "counter": [["e4", "e2e4", True, "white", True]]},
        {"reach": "false", "nodes": 0, "cost": 1.5},
        {"reach": "holds", "nodes": 0, "depth": "3"},
        "proved",
        None,
    ],
)
def test_a_verdict_of_another_shape_is_settled_anew(tmp_path: Path, row: object) -> None:
    path = tmp_path / "verdicts.json"
    good = {"reach": "proved", "nodes": 3, "evidence": ["yes"]}
    rows = {"b" * 64: row, "c" * 64: good, "not a key": good}
    path.write_text(json.dumps({"version": 1, "verdicts": rows}), encoding="utf-8")
    cache = VerdictCache.read(path)
    assert len(cache) == 1
    assert cache.get("b" * 64) is None
    assert cache.get("c" * 64) == Verdict(reach=Reach.PROVED, nodes=3, evidence=("yes",))


def test_what_was_used_longest_ago_goes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plybook.board.claims.cache._KEPT", 2)
    path = tmp_path / "verdicts.json"
    cache = VerdictCache({sign * 64: Verdict(reach=Reach.PROVED) for sign in "abc"})
    cache.get("c" * 64)
    cache.write(path)
    kept = VerdictCache.read(path)
    assert kept.get("c" * 64) is not None
    assert len(kept) == 2


def test_the_position_itself_is_never_changed() -> None:
    line = line_of(LEGAL)
    before = pickle.dumps(line.plies[-1].key)
    settle_at("5.Nxe5 wins 1 or more, depth 3", line, 8)
    assert pickle.dumps(line.plies[-1].key) == before
    assert chess.Board(line.start.fen) == chess.Board()
