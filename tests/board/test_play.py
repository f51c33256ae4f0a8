"""Playing a line: legality, spelling, numbers, results, and where one fault ends it."""

from __future__ import annotations

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers import board_of, codes, play, steady, under
from plybook.diagnostics import Diagnostic
from text.trees import STARTS


def said(movetext: str, *, fen: str = chess.STARTING_FEN) -> list[tuple[str, str]]:
    """Return the codes reported with the words they stand under."""
    return [(one.code, under(one.span, movetext)) for one in play(movetext, fen=fen)[1]]


def only(movetext: str, *, fen: str = chess.STARTING_FEN) -> Diagnostic:
    (found,) = play(movetext, fen=fen)[1]
    return found


# ---------------------------------------------------------------------- plies


@pytest.mark.parametrize(
    ("movetext", "fen", "facts"),
    [
        ("1. e4", None, ("p", "e2", "e4", None, None, None, None)),
        ("1. exd6", "4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", ("p", "e5", "d6", "p", "d5", None, None)),
        ("1. O-O", "4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", ("k", "e1", "g1", *[None] * 3)),
        ("1. axb8=N", "1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", ("p", "a7", "b8", "r", "b8", "n", None)),
    ],
    ids=["quiet", "passing", "castling", "promotion"],
)
def test_a_ply_says_what_moved_and_what_vanished(
    movetext: str, fen: str | None, facts: tuple[str | None, ...]
) -> None:
    line, _ = play(movetext, fen=fen or chess.STARTING_FEN)
    (ply,) = line.plies
    seen = (ply.man, ply.origin, ply.target, ply.captured, ply.captured_on, ply.promotion)
    assert seen == facts[:6]
    assert ply.rook == (("h1", "f1") if ply.san == "O-O" else None)


@pytest.mark.parametrize(
    ("san", "rook"),
    [("O-O", ("h8", "f8")), ("O-O-O", ("a8", "d8"))],
)
def test_castling_says_where_the_rook_goes(san: str, rook: tuple[str, str]) -> None:
    line, _ = play(f"1... {san}", fen="r3k2r/8/8/8/8/8/8/4K3 b kq - 0 1")
    assert line.plies[0].rook == rook


@pytest.mark.parametrize(
    ("movetext", "fen", "outcome"),
    [
        ("1. f3 e5 2. g4 Qh4#", None, "mate"),
        ("1. e4 e5 2. Qh5 Nc6 3. Qxf7+", None, "check"),
        ("1. Qb6", "k7/8/8/2Q5/8/8/8/2K5 w - - 0 1", "stalemate"),
        ("1. e4", None, ""),
    ],
    ids=["mate", "check", "stalemate", "none"],
)
def test_the_outcome_is_that_of_the_position_after_it(
    movetext: str, fen: str | None, outcome: str
) -> None:
    line, found = play(movetext, fen=fen or chess.STARTING_FEN)
    assert not found
    assert line.plies[-1].outcome == outcome


def test_a_line_from_a_position_goes_on_with_its_number() -> None:
    line, found = play("12... Ke7 13. Kd2", fen="4k3/8/8/8/8/8/8/4K3 b - - 0 12")
    assert not found
    assert line.first_number == 12
    assert [ply.label for ply in line.plies] == ["12...Ke7", "13.Kd2"]


# ---------------------------------------------------------------------- numbers


@pytest.mark.parametrize(
    ("movetext", "found"),
    [
        ("1. e4 e5 2. Nf3 Nc6", []),
        ("1. e4 1... e5 2. Nf3 2... Nc6", []),
        ("1.e4 e5 2.Nf3", []),
        ("1. e4 e5 Nf3 Nc6", [("missing-number", "Nf3")]),
        ("e4 e5", [("missing-number", "e4")]),
        ("1. e4 {a} e5", [("missing-number", "e5")]),
        ("1. e4 (1. d4) e5", [("missing-number", "e5")]),
        ("1. e4 e5 (c5)", [("missing-number", "c5")]),
        ("1. e4 e5 7. Nf3 Nc6", [("wrong-number", "7.")]),
        ("1. e4 2. e5 2. Nf3", [("wrong-number", "2.")]),
        ("1... e4 e5", [("wrong-number", "1...")]),
        ("1. e4 2... e5 2. Nf3", [("wrong-number", "2...")]),
        ("1. e4 e5 (1. c5)", [("wrong-number", "1.")]),
    ],
)
def test_white_is_numbered_and_black_where_a_remark_comes_between(
    movetext: str, found: list[tuple[str, str]]
) -> None:
    """PGN standard (1994-03-12), section 8.2.2, as the lesson language narrows it."""
    assert said(movetext) == found


def test_a_missing_move_is_blamed_on_the_number_and_the_rest_stays_silent() -> None:
    line, found = play("1. e4 e5 2. Nf3 3. Bb5 a6")
    assert codes(found) == ["wrong-number"]
    assert not line.is_whole
    assert len(line.plies) == 3


# ---------------------------------------------------------------------- spelling


@pytest.mark.parametrize(
    ("movetext", "code", "right"),
    [
        ("1. Ng1f3", "not-canonical", "Nf3"),
        ("1. Ngf3", "not-canonical", "Nf3"),
        ("1. e4 d5 2. ed5", "not-canonical", "exd5"),
        ("1. e4 d5 2. e4xd5", "not-canonical", "exd5"),
        ("1. e4 d5 2. exd5 Qd5", "not-canonical", "Qxd5"),
        ("1. e2-e4", "not-canonical", "e4"),
        ("1. nf3", "not-canonical", "Nf3"),
        ("1. e4 e5 2. Bc4 Bc5 3. Nf3 Nf6 4. 0-0", "not-canonical", "O-O"),
        ("1. ♘f3", "not-canonical", "Nf3"),
        ("1. е4", "look-alike", "e4"),
        ("1. Sf3", "foreign-letter", "Nf3"),
        ("1. f3 e5 2. g4 Qh4", "missing-mark", "Qh4#"),
        ("1. f3 e5 2. g4 Qh4+", "missing-mark", "Qh4#"),
        ("1. e4+", "false-check-mark", "e4"),
        ("1. e4 e5 2. Qh5 Nc6 3. Qxf7#", "false-mate-mark", "Qxf7+"),
        ("1. e4 e5 2. Qh5 Nc6 3. Qxf7", "missing-mark", "Qxf7+"),
    ],
)
def test_a_legal_move_wrongly_written_is_given_its_right_spelling(
    movetext: str, code: str, right: str
) -> None:
    found = only(movetext)
    assert found.code == code
    assert under(found.span, movetext) == movetext.split()[-1]
    assert found.repair is not None
    assert found.repair.text == right
    assert found.help == (f"write `{right}`",)


@pytest.mark.parametrize(
    ("movetext", "plies"),
    [
        ("1. e2-e4 e5 2. Nf3", 3),
        ("1. 0-0", 0),
        ("1. e2-e4 Nf3", 0),
        ("1. Sf3 Sf6 2. Sc3", 0),
    ],
    ids=["the-rest-fits", "impossible", "the-rest-does-not-fit", "a-letter-is-never-guessed"],
)
def test_another_notation_is_played_on_only_when_the_rest_fits(movetext: str, plies: int) -> None:
    line, found = play(movetext)
    assert len(line.plies) == plies
    assert len(found) == 1, "one cause, one diagnostic"


# ---------------------------------------------------------------------- what cannot be played


@pytest.mark.parametrize(
    ("movetext", "code", "word"),
    [
        ("1. e4 e5 2. Nf6 Nc6", "illegal-move", "Nf6"),
        ("1. Nf3 d5 2. N3 d4", "unreadable-move", "N3"),
        ("1. e4 e5 2. hello Nc6", "unreadable-move", "hello"),
        ("1. Nf3 d5 2. d3 d4 3. Nd2", "ambiguous-move", "Nd2"),
        ("1. f3 e5 2. g4 Qh4# 3. Kf2", "game-over", "Kf2"),
    ],
)
def test_a_move_that_cannot_be_played_ends_its_line_with_one_diagnostic(
    movetext: str, code: str, word: str
) -> None:
    assert said(movetext) == [(code, word)]
    assert not play(movetext)[0].is_whole


def test_a_fault_in_a_variation_leaves_the_main_line_standing() -> None:
    movetext = "1. e4 e5 (1... c5 2. Ke3 d6) 2. Nf3 Nc6"
    line, found = play(movetext)
    assert codes(found) == ["illegal-move"]
    assert [ply.san for ply in line.main()] == ["e4", "e5", "Nf3", "Nc6"]
    assert any("was not checked" in note for note in found[0].notes)


@steady(60)
@given(st.sampled_from(STARTS), st.lists(st.integers(0, 999), min_size=1, max_size=8), st.data())
def test_each_repair_offered_is_legal_and_near_repairs_fit_the_rest(
    fen: str, choices: list[int], data: st.DataObject
) -> None:
    board, sans = chess.Board(fen), []
    for choice in choices:
        legal = sorted(map(board.san, board.legal_moves))
        if not legal:
            break
        sans.append(legal[choice % len(legal)])
        board.push_san(sans[-1])
    at = data.draw(st.integers(0, len(sans) - 1))
    wrong = data.draw(st.sampled_from(["Nf7", "Qa1", "e5", "Bb5", "O-O-O", "Rxa8", "Ke3", "dxe6"]))
    before = board_of(" ".join(sans[:at]), fen=fen)
    if wrong in {before.san(move).rstrip("+#") for move in before.legal_moves}:
        return
    numbered = []
    trial = chess.Board(fen)
    for index, san in enumerate(sans):
        if trial.turn or index == 0:
            numbered.append(f"{trial.fullmove_number}{'.' if trial.turn else '...'}")
        numbered.append(wrong if index == at else san)
        trial.push_san(san)
    _, found = play(" ".join(numbered), fen=fen)
    first = found[0]
    for line in first.help:
        for offered in line.split("`")[1::2]:
            before.parse_san(offered)
            if "the rest of the line" in line:
                trial = before.copy()
                for san in (offered, *sans[at + 1 :]):
                    trial.push_san(san)
    if first.repair is not None:
        before.parse_san(first.repair.text)


@pytest.mark.parametrize(
    ("fen", "san", "why"),
    [
        ("4k2r/8/8/8/8/8/8/R3K2R w Q - 0 1", "O-O", "has lost the right"),
        ("4k3/8/8/8/8/5r2/8/4K1NR w K - 0 1", "O-O", "a man stands between king and rook, on g1"),
        ("4k3/8/8/8/8/8/8/RN2K3 w Q - 0 1", "O-O-O", "a man stands between king and rook, on b1"),
        ("4k3/8/8/8/8/4r3/8/R3K3 w Q - 0 1", "O-O-O", "the king is in check, attacked from e3"),
        ("4k3/8/8/8/8/5r2/8/4K2R w K - 0 1", "O-O", "the king would cross f1, attacked from f3"),
        ("4k3/8/8/8/8/6r1/8/4K2R w K - 0 1", "O-O", "the king would land on g1, attacked from g3"),
        ("4k3/8/8/8/8/4r3/8/4KB1R w K - 0 1", "O-O", "a man stands between king and rook, on f1"),
        ("4k3/8/8/8/8/4r1r1/8/4K2R w K - 0 1", "O-O", "the king is in check, attacked from e3"),
        ("4k3/8/8/8/8/5rr1/8/4K2R w K - 0 1", "O-O", "the king would cross f1"),
        ("r3k3/8/8/8/8/8/8/3RK3 b q - 0 1", "O-O-O", "the king would cross d8, attacked from d1"),
    ],
    ids=[
        *("right", "man", "man-on-b1", "check", "cross", "land"),
        *("man-before-check", "check-before-land", "cross-before-land", "black"),
    ],
)
def test_why_castling_is_not_legal_is_said_in_the_order_of_the_laws(
    fen: str, san: str, why: str
) -> None:
    """Laws of Chess, article 3.8.2: the right, the men between, the squares the king meets."""
    number = "1." if " w " in fen else "1..."
    notes = only(f"{number} {san}", fen=fen).notes
    assert why in notes[0]


def test_castling_past_an_attacked_rook_square_is_legal() -> None:
    line, found = play("1. O-O-O", fen="1r2k3/8/8/8/8/8/8/R3K3 w Q - 0 1")
    assert not found, "b1 is attacked, which does not matter"
    assert line.plies[0].rook == ("a1", "d1")


# ---------------------------------------------------------------------- variations


def test_variation_starts_before_its_ply() -> None:
    line, _ = play("1. e4 e5 2. Nf3 (2. Nc3 Nf6) 2... Nc6")
    three, sideline = line.plies[2], line.plies[3]
    assert (three.san, sideline.san) == ("Nf3", "Nc3")
    assert three.parent == sideline.parent == 2


@pytest.mark.parametrize(
    "movetext",
    [
        "1. e4 (1. e4 e5) 1... e5",
        "1. e4 (1. d4) (1. d4) 1... e5",
        "1. e4 (1. d4 (1. e4)) 1... e5",
        "1. e4 (1. d4 (1. c4)) (1. c4) 1... e5",
        "1. e4 (1. d4) (1. c4 (1. d4)) 1... e5",
    ],
    ids=["the-move", "a-sister", "nested-the-move", "nested-first", "nested-second"],
)
def test_no_two_lines_begin_alike_from_one_position(movetext: str) -> None:
    line, found = play(movetext)
    assert codes(found) == ["duplicate-variation"]
    assert [ply.san for ply in line.main()] == ["e4", "e5"]
    for place in range(len(line.plies) + 1):
        sans = [line.plies[child - 1].san for child in line.children(place)]
        assert len(sans) == len(set(sans))


# ---------------------------------------------------------------------- result and ending

MATE = "1. f3 e5 2. g4 Qh4#"
STALEMATE = "1. Qb6"
LAST_MAN = "1. Kxe2"


@pytest.mark.parametrize(
    ("movetext", "fen", "fits"),
    [
        (MATE, chess.STARTING_FEN, {"0-1"}),
        (STALEMATE, "k7/8/8/2Q5/8/8/8/2K5 w - - 0 1", {"1/2-1/2"}),
        (LAST_MAN, "4k3/8/8/8/8/8/4n3/4K3 w - - 0 1", {"1/2-1/2"}),
        ("1. e4", chess.STARTING_FEN, {"1-0", "0-1", "1/2-1/2", "*"}),
    ],
    ids=["mate", "stalemate", "bare-kings", "open"],
)
def test_a_result_is_true_where_the_board_settles_it(
    movetext: str, fen: str, fits: set[str]
) -> None:
    for result in ("1-0", "0-1", "1/2-1/2", "*"):
        _, found = play(f"{movetext} {result}", fen=fen)
        assert codes(found) == ([] if result in fits else ["wrong-result"])
        if found:
            assert found[0].repair is not None
            assert found[0].repair.text in fits
    assert not play(movetext, fen=fen)[1], "it may be left out"


@pytest.mark.parametrize(
    ("movetext", "is_reached"),
    [
        ("1. e4 e5 2. Nf3", True),
        ("1. Nf3 e5 2. e4", True),
        ("1. e4 e5 2. Nc3", False),
        ("1. e4 e5 2. Nf3 Nc6", False),
        ("1. e4 e5 (1... c5) 2. Nf3 (2. f4)", True),
    ],
    ids=["reached", "transposed", "another-move", "one-too-many", "variations-do-not-count"],
)
def test_the_main_line_reaches_the_position_it_says(movetext: str, is_reached: bool) -> None:
    ends = board_of("e4 e5 Nf3").fen()
    _, found = play(movetext, ends=ends)
    assert codes(found) == ([] if is_reached else ["wrong-ending"])


def test_an_ending_is_not_asked_of_a_line_that_broke_off() -> None:
    _, found = play("1. e4 e5 2. Nf6", ends=board_of("e4 e5 Nf3").fen())
    assert codes(found) == ["illegal-move"]
