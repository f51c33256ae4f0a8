"""What every trainer says of the opening, on small lines of our own: common practice, no source."""

from __future__ import annotations

import pytest

from ledger.games import kept
from plybook.board.ledger import FactKind, KingState, LeadIn, LedgerSettings, ledger_of
from plybook.board.ledger.model import Cause, Wing


def test_a_second_move_of_an_attacked_piece_has_its_reason() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. d4 exd4 4. Nxd4 Bc5 5. c3 Qf6 6. Be3 Nxd4 7. cxd4 Bb4+")
    reasons = line.reasons("7...Bb4", FactKind.SAME_MAN_AGAIN)
    assert reasons == [FactKind.WAS_ATTACKED, FactKind.GIVES_CHECK]


def test_a_second_move_without_an_attack_has_none() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. Bb3")
    assert line.reasons("4.Bb3", FactKind.SAME_MAN_AGAIN) == []


def test_a_piece_that_takes_free_material_may_move_again() -> None:
    line = kept("1. e4 e5 2. Nf3 f6 3. d3 b6 4. Nc3 Bb7 5. Be2 d6 6. Be3 Qd7 7. Qd2 Qh3 8. gxh3")
    assert line.fact("8.gxh3", FactKind.WINS_MATERIAL).amount == 9
    grab = kept("1. e4 d5 2. Nc3 dxe4 3. Nxe4")
    assert grab.reasons("3.Nxe4", FactKind.SAME_MAN_AGAIN) == [FactKind.RECAPTURES]
    free = kept("1. e4 e5 2. Nf3 Nf6 3. Nxe5")
    assert free.reasons("3.Nxe5", FactKind.SAME_MAN_AGAIN)[0] is FactKind.WINS_MATERIAL


def test_a_piece_in_check_answers_it_and_is_not_asked_whether_it_was_attacked() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Nc3 Bb4 4. d4 exd4 5. Nxd4 Qh4 6. Nf3 Qxe4+ 7. Be2")
    assert line.facts("7.Be2", FactKind.ANSWERS_CHECK)
    again = kept("1. d4 e6 2. Nc3 Bb4 3. Bd2 d5 4. e4 dxe4 5. Nxe4 Bxd2+ 6. Nxd2")
    assert again.reasons("6.Nxd2", FactKind.SAME_MAN_AGAIN) == [
        FactKind.ANSWERS_CHECK,
        FactKind.RECAPTURES,
    ]


def test_a_queen_out_early_loses_a_tempo_to_each_developing_attack() -> None:
    line = kept("1. e4 d5 2. exd5 Qxd5 3. Nc3 Qe5+ 4. Be2 Qg5 5. Nf3 Qxg2 6. Rg1 Qh3 7. d4")
    assert line.ledger.entries[-1].black.queen_tempi_strict == 1
    chased = kept("1. e4 e5 2. d4 exd4 3. Qxd4 Nc6 4. Qc4 d5 5. Qxd5 Nf6 6. Qb3 Be6 7. Qa4")
    assert chased.places_of(FactKind.QUEEN_DRIVEN) == ["4.Qc4", "6.Qb3", "7.Qa4"]


def test_a_queen_that_trades_herself_off_does_not_run() -> None:
    line = kept("1. e4 d5 2. exd5 Qxd5 3. Nf3 Qe4+ 4. Qe2 Qxe2+ 5. Bxe2")
    assert line.places_of(FactKind.HITS_QUEEN) == ["4.Qe2"]
    assert line.places_of(FactKind.QUEEN_DRIVEN) == []
    run = kept("1. e4 d5 2. exd5 Qxd5 3. Nf3 Qe4+ 4. Qe2 Qb4")
    assert run.places_of(FactKind.QUEEN_DRIVEN) == ["4...Qb4"]


def test_taking_back_along_an_opened_file_wins_nothing_there() -> None:
    line = kept("1. e4 d5 2. exd5 Qxd5 3. a3 Qxd2+ 4. Bxd2")
    assert line.places_of(FactKind.FILE_WINS) == []
    free = kept("1. e4 e5 2. d4 exd4 3. Qxd4 Nc6 4. Bh6 Nxd4")
    assert free.places_of(FactKind.FILE_WINS) == []
    down = kept("1. e4 e5 2. Nf3 Nf6 3. Nxe5 Nxe4 4. Qe2 Nf6 5. Nc6+ Be7 6. Nxd8")
    assert down.facts("5.Nc6", FactKind.FILE_CHECK)
    assert [f.files for f in down.facts("5...Be7", FactKind.FILE_PIN)] == [("e",)]


def test_a_queen_that_waits_for_three_minor_pieces_is_not_early() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Nc3 Nf6 4. Bc4 Bc5 5. Qe2 Qe7")
    assert line.places_of(FactKind.QUEEN_EARLY) == []
    strict = kept(
        "1. e4 e5 2. Nf3 Nc6 3. Nc3 Nf6 4. Bc4 Bc5 5. Qe2 Qe7",
        settings=LedgerSettings(queen_waits_for=4),
    )
    assert strict.places_of(FactKind.QUEEN_EARLY) == ["5.Qe2", "5...Qe7"]


def test_minor_pieces_that_were_exchanged_do_not_make_the_queen_early() -> None:
    line = kept(
        "1. e4 e5 2. Nf3 Nc6 3. Nc3 Nf6 4. d4 exd4 5. Nxd4 Nxd4 6. Qxd4 d6 7. Bg5 Be7 8. Bxf6 "
        "Bxf6 9. Qd2 Bxc3 10. bxc3 Qf6"
    )
    assert FactKind.RECAPTURES in line.reasons("6.Qxd4", FactKind.QUEEN_EARLY)
    assert line.facts("10...Qf6", FactKind.QUEEN_EARLY) == []  # only the bishop c8 is at home


def test_castling_leaves_three_pawns_before_the_king() -> None:
    short = kept("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O").entry("4.O-O").white.king
    assert (short.castled, short.state, short.shelter) == (Wing.SHORT, KingState.CASTLED, 3)
    long = kept("1. d4 d5 2. Nc3 Nc6 3. Bf4 Bf5 4. Qd2 Qd7 5. O-O-O O-O-O").entry("5...O-O-O")
    assert (long.white.king.shelter, long.black.king.shelter) == (3, 3)


def test_a_rook_move_and_a_king_move_lose_the_right_to_castle() -> None:
    rook = kept("1. h4 e5 2. Rh3 d5 3. e3 Bxh3 4. Ke2")
    lost = rook.entry("4.Ke2").white.king.lost
    assert [(each.wing, each.cause, each.move) for each in lost] == [
        (Wing.SHORT, Cause.ROOK_MOVED, "2.Rh3"),
        (Wing.LONG, Cause.KING_MOVED, "4.Ke2"),
    ]
    assert rook.entry("4.Ke2").white.king.state is KingState.STUCK
    both = kept("1. e4 e5 2. Ke2")
    assert both.fact("2.Ke2", FactKind.RIGHT_LOST).wing is None


def test_the_right_goes_with_a_rook_that_is_taken() -> None:
    line = kept("1. g3 b6 2. Bg2 d5 3. e4 dxe4 4. Bxe4 Nd7 5. Bxa8")
    fact = line.fact("5.Bxa8", FactKind.RIGHT_LOST)
    assert (fact.side, fact.wing, fact.cause) == ("black", Wing.LONG, Cause.ROOK_TAKEN)


def test_the_enemy_bishop_on_a3_forbids_castling_by_f8_alone() -> None:
    line = kept("1. b3 e6 2. Ba3 Bd6 3. Nf3 Nf6 4. c4 Be5 5. Nxe5")
    fact = line.fact("4...Be5", FactKind.HELD)
    assert (fact.side, fact.wing, fact.cause) == ("black", Wing.SHORT, Cause.CROSSES)
    assert fact.squares == ("f8",)
    assert [(stone.man, stone.square) for stone in fact.others] == [("b", "a3")]
    assert line.entry("4...Be5").black.king.state is KingState.HELD


def test_an_attack_on_b8_or_b1_does_not_hold_a_king() -> None:
    """Article 3.8.2.2 of the Laws speaks of the king's squares alone; the rook may pass b8."""
    fen = "1r2k2r/p6p/8/8/8/8/P6P/R3K2R w KQk - 0 1"
    king = kept("1. h3", fen=fen).ledger.entries[0].white.king
    assert king.hindrances == ()
    assert king.state is KingState.MAY_CASTLE


def test_a_king_that_goes_by_foot_walks_to_safety() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. Kf1 Nf6 5. g3 d6 6. Kg2")
    assert line.entry("4.Kf1").white.king.state is KingState.STUCK
    assert line.places_of(FactKind.WALKS_TO_SAFETY) == ["6.Kg2"]


def test_a_knight_on_the_rim_and_a_bishop_that_looks_elsewhere_are_told() -> None:
    line = kept("1. e4 e5 2. Nh3 Be7 3. Na3 Bb4 4. Bb5 Nc6")
    assert line.places_of(FactKind.ON_THE_RIM) == ["2.Nh3", "3.Na3"]
    assert line.places_of(FactKind.AWAY_FROM_CENTRE) == ["2...Be7", "3...Bb4", "4.Bb5"]


def test_a_bishop_against_a_knight_that_holds_the_centre_looks_there_by_another_way() -> None:
    line = kept("1. e4 e5 2. Nf3 Nc6 3. Bb5 d6 4. d4 Bg4")
    assert line.places_of(FactKind.AGAINST_CENTRE) == ["3.Bb5", "4...Bg4"]


def test_a_bishop_shut_in_by_its_own_pawns_is_told_among_the_sleepers() -> None:
    men = kept("1. e4 e6").entry("1...e6").black.men
    assert {stone.man + stone.square for stone in men.shut_in} == {"bc8", "ra8", "rh8"}


@pytest.mark.parametrize(
    ("movetext", "label", "job"),
    [
        ("1. e4", "1.e4", FactKind.CENTRE_PAWN),
        ("1. g3", "1.g3", FactKind.OPENS_A_WAY),
        ("1. d4 d5 2. c4", "2.c4", FactKind.PAWN_HITS_PAWN),
        ("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6", "3...a6", FactKind.PAWN_HITS_MAN),
        ("1. e4 e5 2. Bc4 Nc6 3. Qh5 g6", "3...g6", FactKind.STOPS_MATE),
        ("1. e4 e5 2. Nf3 d6", "2...d6", FactKind.STOPS_THREAT),
        ("1. e4 d5 2. exd5", "2.exd5", FactKind.CENTRE_PAWN_REMOVED),
    ],
)
def test_a_pawn_move_has_a_job(movetext: str, label: str, job: FactKind) -> None:
    line = kept(movetext)
    assert job in line.reasons(label, FactKind.PAWN_JOB)
    assert line.facts(label, FactKind.PAWN_WITHOUT_JOB) == []


@pytest.mark.parametrize("movetext", ["1. a3", "1. h3", "1. e4 e5 2. a4"])
def test_a_pawn_move_on_the_edge_has_no_computed_job(movetext: str) -> None:
    line = kept(movetext)
    assert line.ledger.entries[-1].facts[-1].kind is FactKind.PAWN_WITHOUT_JOB


def test_a_pawn_that_can_be_taken_in_passing_has_not_saved_itself() -> None:
    """b2-b4 leaves the bishop's reach, but the pawn on a4 takes it (Laws, article 3.7.4.1)."""
    line = kept("1. b4", fen="1n2k3/8/8/8/p7/8/1P6/b3K1N1 w - - 0 1")
    assert line.facts("1.b4", FactKind.STOPS_THREAT) == []


def test_a_line_that_starts_inside_another_remembers_its_lead_in() -> None:
    whole = kept("1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. O-O Bc5 5. Bd5 O-O")
    start = whole.line.plies[:7]
    rest = kept(
        "4... Bc5 5. Bd5 O-O",
        fen="r1bqkb1r/pppp1ppp/2n2n2/4p3/2B1P3/5N2/PPPP1PPP/RNBQ1RK1 b kq - 5 4",
    )
    blind = ledger_of(rest.line)
    lead_in = LeadIn(start=whole.line.start, plies=start)
    seeing = ledger_of(rest.line, lead_in=lead_in)
    assert [entry.facts for entry in seeing.entries[1:]] == [
        entry.facts for entry in whole.ledger.entries[8:]
    ]
    assert seeing.entries[-1].white == whole.ledger.entries[-1].white
    assert blind.entries[0].white.king.state is KingState.AWAY
    assert seeing.entries[0].white.king.state is KingState.CASTLED


def test_a_lead_in_to_another_place_is_refused() -> None:
    whole = kept("1. e4 e5")
    with pytest.raises(ValueError, match="does not end where"):
        ledger_of(whole.line, lead_in=LeadIn(start=whole.line.start, plies=whole.line.plies))
