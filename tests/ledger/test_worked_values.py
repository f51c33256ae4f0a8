"""Values of published games, worked out by hand from the definitions and shown beside them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final

import pytest

from ledger.games import CENTRE_GAME, LASKER_BD5, PARIS_1858, SCANDINAVIAN, Kept, kept
from plybook.board.ledger import FactKind, KingState, LedgerSettings

STANDARD: Final = json.loads(
    (Path(__file__).parents[1] / "outside" / "pgn_standard.json").read_text(encoding="utf-8")
)


@pytest.fixture(scope="module")
def paris() -> Kept:
    """Paris 1858."""
    return kept(PARIS_1858)


@pytest.fixture(scope="module")
def sample() -> Kept:
    """The sample game of the PGN standard, section 2.3: Belgrade 1992, game 29."""
    return kept("\n".join(STANDARD["sample_game"]["movetext"]))


@pytest.mark.parametrize(
    ("label", "white", "black"),
    [("3.d4", (2, 5), (1, 2)), ("5...dxe5", (1, 2), (1, 3))],
)
def test_the_centre_of_paris_1858_is_counted(
    paris: Kept, label: str, white: tuple[int, int], black: tuple[int, int]
) -> None:
    entry = paris.entry(label)
    assert (entry.white.centre.pawns, entry.white.centre.control) == white
    assert (entry.black.centre.pawns, entry.black.centre.control) == black


@pytest.mark.parametrize(
    ("label", "white", "black"),
    [
        ("3...Bg4", 3, 3),
        ("7...Qe7", 2, 2),
        ("9.Bg5", 4, 2),
        ("12.O-O-O", 4, 3),
    ],
)
def test_the_development_of_paris_1858_without_rooks_is_counted(
    paris: Kept, label: str, white: int, black: int
) -> None:
    entry = paris.entry(label)
    assert (entry.white.development.core, entry.black.development.core) == (white, black)


def test_the_rook_on_the_open_file_makes_it_5_to_3_in_paris_1858(paris: Kept) -> None:
    entry = paris.entry("12.O-O-O")
    assert (entry.white.development.count, entry.black.development.count) == (5, 3)
    assert entry.lead == 2


def test_the_mate_of_paris_1858_finds_black_asleep(paris: Kept) -> None:
    entry = paris.entry("17.Rd8")
    asleep = {stone.man + stone.square for stone in entry.black.men.asleep}
    assert asleep == {"bf8", "rh8"}
    assert entry.black.king.state is KingState.MAY_CASTLE  # the short side, to the very end
    assert (entry.white.development.core, entry.black.development.core) == (3, 1)


def test_the_centre_of_paris_1858_opens_on_the_king_that_is_mated(paris: Kept) -> None:
    assert paris.fact("5...dxe5", FactKind.OPENS_CENTRE).files == ("d",)
    kings = [f.man.square for f in paris.facts("5...dxe5", FactKind.OPENED_ON_KING) if f.man]
    assert kings == ["e8", "e1"]
    taken = paris.fact("12.O-O-O", FactKind.FILE_TAKEN)
    assert taken.man is not None
    assert (taken.man.man, taken.man.square) == ("r", "d1")
    assert taken.moves == ("5...dxe5", "12.O-O-O")
    assert paris.fact("17.Rd8", FactKind.KING_CAUGHT).moves == ("5...dxe5", "17.Rd8#")


def test_white_finishes_the_opening_of_paris_1858_at_move_12_and_black_never(paris: Kept) -> None:
    assert paris.places_of(FactKind.OPENING_DONE) == ["12.O-O-O"]
    (cut,) = [fact for _, fact in paris.ledger.facts() if fact.kind is FactKind.OPENING_CUT]
    assert cut.side == "black"


def test_a_trade_is_the_reason_of_4_bxf3_in_paris_1858(paris: Kept) -> None:
    reasons = paris.reasons("4...Bxf3", FactKind.SAME_MAN_AGAIN)
    assert reasons[0] is FactKind.TRADES
    assert paris.fact("4...Bxf3", FactKind.TRADES).amount == 0


def test_the_recapturing_queen_of_paris_1858_loses_no_tempo(paris: Kept) -> None:
    assert FactKind.RECAPTURES in paris.reasons("5.Qxf3", FactKind.QUEEN_EARLY)
    assert paris.ledger.entries[-1].white.queen_tempi == 0


def test_the_opening_of_the_sample_game_ends_at_13_bb7_and_14_bg5(sample: Kept) -> None:
    settings = LedgerSettings(opening_plies=40)
    whole = kept("\n".join(STANDARD["sample_game"]["movetext"]), settings=settings)
    assert whole.places_of(FactKind.OPENING_DONE) == ["13...Bb7", "14.Bg5"]
    assert sample.places_of(FactKind.OPENING_CUT) == ["12...axb5", "12...axb5"]


def test_9_h3_of_the_sample_game_has_no_computed_job(sample: Kept) -> None:
    """Prophylaxis cannot be computed: said so, and not called bad."""
    assert sample.places_of(FactKind.PAWN_WITHOUT_JOB) == ["9.h3"]
    assert sample.fact("9.h3", FactKind.SHELTER_PAWN).squares == ("h2",)


def test_breyers_retreat_is_a_fact_and_no_fault(sample: Kept) -> None:
    """9...Nb8 in the sample game: the trade calls it the Breyer variation."""
    home = sample.fact("9...Nb8", FactKind.GOES_HOME)
    assert home.man is not None
    assert home.man.square == "b8"
    assert sample.facts("10...Nbd7", FactKind.GOES_HOME) == []
    men = sample.entry("9...Nb8").black.men
    assert [stone.square for stone in men.back] == ["b8"]
    assert "b8" not in {stone.square for stone in men.asleep}


def test_black_leads_4_to_6_after_castling_in_the_sample_game(sample: Kept) -> None:
    """Counts are no judgement: the position is one that both sides play."""
    entry = sample.entry("8...O-O")
    assert (entry.white.development.core, entry.black.development.core) == (4, 6)


def test_ba4_of_the_sample_game_was_attacked_and_would_lose_3(sample: Kept) -> None:
    fact = sample.fact("4.Ba4", FactKind.SAME_MAN_AGAIN)
    assert [reason.kind for reason in fact.reasons] == [FactKind.WAS_ATTACKED]
    assert fact.reasons[0].amount == 3
    assert [(s.man, s.square) for s in fact.reasons[0].others] == [("p", "a6")]


def test_re1_after_castling_is_the_rooks_first_move(sample: Kept) -> None:
    assert sample.facts("6.Re1", FactKind.SAME_MAN_AGAIN) == []


def test_ba4_counts_two_visible_moves_though_it_went_by_b5(sample: Kept) -> None:
    tempo = sample.entry("4.Ba4").white.tempo
    assert (tempo.moves, tempo.visible, tempo.wasted) == (4, 4, 0)


def test_edward_laskers_wasted_move_has_no_reason() -> None:
    line = kept(LASKER_BD5)
    assert line.reasons("4.Bd5", FactKind.SAME_MAN_AGAIN) == []


def test_ng5_in_the_two_knights_has_the_threat_on_f7_as_its_reason() -> None:
    line = kept(LASKER_BD5)
    assert line.reasons("4.Ng5", FactKind.SAME_MAN_AGAIN) == [FactKind.THREATENS]
    threat = line.fact("4.Ng5", FactKind.THREATENS)
    assert [(stone.man, stone.square) for stone in threat.others] == [("p", "f7")]


@pytest.mark.parametrize(
    ("movetext", "side", "tempi", "strict"),
    [
        pytest.param(SCANDINAVIAN, "black", 1, 1, id="Scandinavian: Nc3 develops"),
        pytest.param(CENTRE_GAME, "white", 1, 1, id="Centre Game: Nc6 develops"),
        pytest.param(
            "1. e4 e5 2. Qh5 Nc6 3. Bc4 g6 4. Qf3 Nf6 5. Qb3 Nd4 6. Qc3",
            "white", 2, 0, id="g6 opens a way, Nd4 is a second move",
        ),
    ],
)  # fmt: skip  # one case a row
def test_the_queen_costs_tempi(movetext: str, side: str, tempi: int, strict: int) -> None:
    account = kept(movetext).ledger.entries[-1].account("white" if side == "white" else "black")
    assert (account.queen_tempi, account.queen_tempi_strict) == (tempi, strict)


def test_a_tempo_names_the_move_that_won_it_and_what_else_it_did() -> None:
    line = kept("1. e4 e5 2. Qh5 Nc6 3. Bc4 g6 4. Qf3 Nf6 5. Qb3 Nd4 6. Qc3")
    first = line.fact("4.Qf3", FactKind.QUEEN_DRIVEN)
    assert first.moves == ("3...g6", "4.Qf3")
    assert [reason.kind for reason in first.reasons] == [FactKind.OPENS_A_WAY]
    assert line.places_of(FactKind.QUEEN_DRIVEN) == ["4.Qf3", "6.Qc3"]


def test_the_early_recapture_of_the_scandinavian_is_both() -> None:
    line = kept(SCANDINAVIAN)
    assert line.reasons("2...Qxd5", FactKind.QUEEN_EARLY) == [FactKind.RECAPTURES]


def test_qf3_after_2_qh5_threatens_mate_on_f7() -> None:
    """Common practice: the second try of the scholar's mate."""
    line = kept("1. e4 e5 2. Qh5 Nc6 3. Bc4 g6 4. Qf3")
    assert line.fact("4.Qf3", FactKind.THREATENS_MATE).moves == ("5.Qxf7#",)


def test_castling_may_be_the_mating_threat() -> None:
    """Ed. Lasker against Sir George Thomas, London 1912: 18.O-O-O would have mated as well as
    18.Kd2, as every annotator says. Moves from memory, mate checked."""
    line = kept(
        "1. d4 e6 2. Nf3 f5 3. Nc3 Nf6 4. Bg5 Be7 5. Bxf6 Bxf6 6. e4 fxe4 7. Nxe4 b6 8. Ne5 O-O "
        "9. Bd3 Bb7 10. Qh5 Qe7 11. Qxh7+ Kxh7 12. Nxf6+ Kh6 13. Neg4+ Kg5 14. h4+ Kf4 15. g3+ "
        "Kf3 16. Be2+ Kg2 17. Rh2+ Kg1 18. O-O-O#"
    )
    assert line.facts("18.O-O-O", FactKind.GIVES_MATE)
