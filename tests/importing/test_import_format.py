"""The import format: section by section of the PGN standard of 1994-03-12, from memory; and the
spellings of other programs, each with the kind of change that is told."""

from __future__ import annotations

from typing import Final

import pytest

from importing.twin import ours
from plybook.board import games_in


def only(text: str) -> games_in.ReadGame:
    """Return the one game of a text, which must be read."""
    (game,) = ours(text)
    assert isinstance(game, games_in.ReadGame), game
    return game


def squares(game: games_in.ReadGame) -> list[tuple[int, int]]:
    """Return the moves as squares from and to."""
    return [(moved.origin, moved.target) for moved in game.moves]


KNIGHTS: Final = [(6, 21), (57, 42)]  # Nf3 and Nc6


# ---------------------------------------------------------------------- the standard


@pytest.mark.parametrize(
    ("section", "text"),
    [
        ("3.2.1: space is free", "1.\n  Nf3\t\tNc6\n\n\n *"),
        ("5: a remark in braces", "1. Nf3 {first} Nc6 {second\nline} *"),
        ("5: a remark to the line end", "1. Nf3 ; 1. e4 was possible\n1... Nc6 *"),
        ("5: braces do not nest", "1. Nf3 {a { b} Nc6 *"),
        ("6: a line that begins with %", "1. Nf3\n% 1. e4 hidden\nNc6 *"),
        ("7: tokens need no space between them", "1.Nf3$1(1.e4)Nc6*"),
        ("7: integers and periods are free", "1 Nf3 1... Nc6 *"),
        ("8.1: several tags on one line", '[Event "a"] [Site "b"]\n1. Nf3 Nc6 *'),
        ("8.1: a tag over two lines", '[ Event\n "a" ]\n1. Nf3 Nc6 *'),
        ("8.2.1: move numbers may be left out", "Nf3 Nc6 *"),
        ("8.2.4: numeric glyphs", "1. Nf3 $1 $14 Nc6 $6 *"),
        ("8.2.5: variations nest", "1. Nf3 (1. e4 e5 (1... c5 2. Nf3)) 1... Nc6 *"),
        ("7: quotes are escaped in tags", '[Event "a \\"b\\" \\\\"]\n1. Nf3 Nc6 *'),
    ],
)
def test_the_import_format_of_the_standard_is_read(section: str, text: str) -> None:
    game = only(text)
    main = [(one.origin, one.target) for one in game.moves if not one.depth]
    assert main == KNIGHTS, section


def test_escaped_quotes_in_a_tag_are_plain_ones() -> None:
    assert only('[Event "a \\"b\\" \\\\"]\n1. Nf3 *').tags == {"Event": 'a "b" \\'}


def test_arrows_and_marks_are_kept_and_other_commands_are_told_by_name() -> None:
    """As python-chess's reader knows them: `cal` for arrows, `csl` for marks."""
    game = only("1. Nf3 {[%csl Gd4,Re5][%cal Gg1f3] A knight. [%clk 0:01:00][%evp 1]} Nc6 *")
    assert game.drawn == {
        1: (
            games_in.Drawn(("d4",)),
            games_in.Drawn(("e5",)),
            games_in.Drawn(("g1", "f3")),
        )
    }
    assert game.after == {1: ("A knight.",)}
    assert [(one.kind, one.word) for one in game.changes] == [
        ("colour", ""),
        ("colour", ""),
        ("command", "clk"),
        ("command", "evp"),
    ]


def test_an_arrow_that_is_none_is_told_and_not_drawn() -> None:
    game = only("1. Nf3 {[%cal Gg1z9]} *")
    assert game.drawn == {}
    assert [one.word for one in game.changes] == ["cal"]


# ---------------------------------------------------------------------- what is put right

_LONG: Final = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 "

#: For each kind: texts with exactly one such change.
CHANGED: Final = (
    ("tag-spelling", '[fen "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"]\n1. e4 *'),
    ("tag-spelling", '[WHITE "a"]\n1. e4 *'),
    ("colour", "1. e4 {[%cal Re4e5,Ge2e4]} *"),
    ("variation-joined", "1. e4 (1. e4 e5) 1... c5 *"),
    ("variation-joined", "1. e4 (1. d4 d5) (1. d4 Nf6) 1... c5 *"),
    ("tag-twice", '[Event "a"]\n[Site "b"]\n[Site "c"]\n1. Nf3 *'),
    ("start-position", '[FEN "4k3/8/8/8/8/8/4P3/4K3 w"]\n1. e4 *'),
    ("start-position", '[FEN "4k3/8/8/8/8/8/4P3/4K3 w KQkq - 0 1"]\n1. e4 *'),
    ("move-spelling", "1. e2-e4 *"),
    ("move-spelling", "1. Ng1-f3 *"),
    ("move-spelling", "1. g1f3 *"),
    ("move-spelling", "1. Pe4 *"),
    ("move-spelling", "1. Ngf3 *"),
    ("move-spelling", "1. e4 d5 2. ed5 *"),
    ("move-spelling", "1. e4 e5 2. Nf3 d6 3. Ne5 *"),
    ("move-spelling", "1. e4 a6 2. e5 d5 3. exd6 e.p. *"),
    ("castling", f"{_LONG} 4. 0-0 *"),
    ("castling", f"{_LONG} 4. o-o *"),
    ("castling", f"{_LONG} 4. O–O *"),
    ("check-mark", "1. f3 e5 2. g4 Qh4 *"),
    ("check-mark", "1. f3 e5 2. g4 Qh4+ *"),
    ("check-mark", "1. f3 e5 2. g4 Qh4++ *"),
    ("check-mark", "1. e4+ *"),
    ("move-number", "1. e4 e5 5. Nf3 *"),
    ("move-number", "1... e4 *"),
    ("sign", "1. e4 += *"),
    ("sign", "1. e4 e5 ∞ *"),
    ("sign", "1. e4 N *"),
    ("sign-left-out", "$1 1. e4 *"),
    ("sign-left-out", "1. e4 $999 *"),
    ("line-remark", "1. e4 ; good\n*"),
    ("line-left-out", "1. e4\n% hidden\ne5 *"),
    ("command", "1. e4 {[%emt 0:00:01]} *"),
    ("variation-without-moves", "1. e4 () e5 *"),
    ("result-in-variation", "1. e4 (1. d4 *) e5 *"),
    ("result-spelling", "1. e4 e5 ½-½"),
    ("result-spelling", "1. e4 e5 1–0"),
    ("result-missing", "1. e4 e5"),
    ("result-unlike-tag", '[Result "1-0"]\n1. e4 e5 0-1'),
)


@pytest.mark.parametrize(("kind", "text"), CHANGED)
def test_what_is_put_right_is_told_once_with_its_line(kind: str, text: str) -> None:
    game = only(text)
    assert [one.kind for one in game.changes] == [kind]
    assert 1 <= game.changes[0].line <= text.count("\n") + 1


def test_every_kind_of_change_is_shown_here() -> None:
    assert {kind for kind, _ in CHANGED} | {"line-ends"} == set(games_in.CHANGES)


def test_canonical_movetext_is_told_nothing_of() -> None:
    text = "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qe5+ 4. Be2 Bg4 5. d4 Bxe2 6. Ngxe2 Qa5 7. O-O *"
    assert only(text).changes == ()


# ---------------------------------------------------------------------- what is rejected

REJECTED: Final = (
    ("1. e4 best *", "word `best` is unknown"),
    ("1. e4 Nf33 *", "`Nf33` is unknown"),
    ("1. e4 “e5” *", "is unknown"),
    ("1. e4 Кf6 *", "is unknown"),
    ("1. e4 e5!!! *", "is unknown"),
    ("1. e4 <e5> *", "is unknown"),
    ("1. e4 e5 2. Ke3 *", "illegal"),
    ("1. Nf3 a6 2. Nc3 a5 3. Nd4 a4 4. Nb5 *", "ambiguous"),
    ("1. e4 -- *", "null move"),
    ("1. e4 0000 2. d4 *", "null move"),
    ("1. e4 { a remark", "not closed"),
    ("1. e4 } e5 *", "closes no remark"),
    ("1. e4 (1. d4 d5 *", "variation is not closed"),
    ("1. e4 ) e5 *", "closes no variation"),
    ("(1. e4) 1. d4 *", "without a move that it could replace"),
    ('[Event "a\n1. e4 *', "tag is not written"),
    ("[FEN “x”]\n1. e4 *", "tag is not written"),
    ('[FEN "x"]\n1. e4 *', "start cannot be read"),
    ('[FEN "8/8/8/8/8/8/8/8 w - - 0 1"]\n1. e4 *', "start cannot be read"),
    ('[Variant "Chess960"]\n1. e4 *', "another game than chess"),
    ('[Event "a"]\n\n*', "no moves"),
    (f"1. e4 {{{'x' * 600_000}}} *", "more than 512 KiB"),
)


@pytest.mark.parametrize(("text", "reason"), REJECTED)
def test_a_game_is_rejected_as_a_whole_with_its_reason(text: str, reason: str) -> None:
    (game,) = ours(text)
    assert isinstance(game, games_in.Rejected)
    assert reason in game.reason
    assert 1 <= game.at <= text.count("\n") + 1


@pytest.mark.parametrize(("text", "reason"), REJECTED)
def test_a_bad_game_never_takes_the_next_one_with_it(text: str, reason: str) -> None:
    good = '[Event "next"]\n\n1. d4 d5 *\n'
    *bad, last = ours(f"{text}\n\n{good}")
    assert isinstance(last, games_in.ReadGame), reason
    assert last.tags["Event"] == "next"
    assert len(bad) == 1


def test_games_without_tags_are_told_apart_by_result_and_by_move_one() -> None:
    games = ours("1. e4 e5 1-0 1. d4 d5\n\n1. c4 c5 *\n\n{alone}\n")
    assert [len(game.moves) for game in games if isinstance(game, games_in.ReadGame)] == [2, 2, 2]


def test_a_percent_sign_inside_a_line_hides_nothing() -> None:
    first, second = ours("1. e4 1-0 % 1. d4 d5 *\n\n1. c4 *")
    assert isinstance(first, games_in.Rejected)
    assert isinstance(second, games_in.ReadGame)


@pytest.mark.parametrize("moves", ["2. Nf3", "Nf3 Nc6 *", "x", "1... e5 *", "12. Kh1 1-0"])
def test_moves_behind_a_result_are_no_game_of_their_own(moves: str) -> None:
    """They would be read from the start position, where they do not belong."""
    first, second = ours(f"1. e4 e5 1-0 {moves}\n\n1. d4 d5 *")
    assert isinstance(first, games_in.Rejected)
    assert isinstance(second, games_in.ReadGame)
    assert len(second.moves) == 2


@pytest.mark.parametrize("between", [" 1. ", "\n1.", " 1 ", "\n\n", '\n[White "a"]\n'])
def test_behind_a_result_a_game_begins_with_a_tag_move_one_or_an_empty_row(between: str) -> None:
    first, second = ours(f"1. e4 e5 1-0{between}e4 c5 *")
    assert isinstance(first, games_in.ReadGame)
    assert isinstance(second, games_in.ReadGame)
    assert len(second.moves) == 2


def test_no_joined_variation_is_told_where_the_moves_differ() -> None:
    assert only("1. e4 (1. d4 d5 (1... Nf6)) (1. c4) 1... c5 *").changes == ()


@pytest.mark.parametrize(
    ("written", "number"), [("$00014", 14), ("$0000000000001", 1), ("$1", 1), ("$255", 255)]
)
def test_zeros_in_front_do_not_change_a_sign(written: str, number: int) -> None:
    game = only(f"1. e4 {written} *")
    assert game.nags == {1: (number,)}
    assert game.changes == ()


@pytest.mark.parametrize("written", ["$00000", "$0256", "$1400"])
def test_a_number_that_is_no_sign_is_left_out(written: str) -> None:
    game = only(f"1. e4 {written} *")
    assert game.nags == {}
    assert [one.kind for one in game.changes] == ["sign-left-out"]


def test_known_tags_are_known_in_any_letters_and_no_value_of_a_tag_is_forgotten() -> None:
    """A name that a later tag replaces must still be known to those who take names out."""
    game = only('[WHITE "Berg, Anna"]\n[white "?"]\n[bLACK "Tal"]\n[whiteElo "1"]\n1. e4 *')
    assert game.tags == {"White": "?", "Black": "Tal", "whiteElo": "1"}
    assert game.replaced_tags == {"White": ("Berg, Anna",)}
    assert [(one.kind, one.word) for one in game.changes] == [
        ("tag-spelling", "White"),
        ("tag-spelling", "White"),
        ("tag-twice", "White"),
        ("tag-spelling", "Black"),
    ]


def test_no_character_of_a_file_is_lost_between_the_games() -> None:
    text = '1. e4 e5 1-0 x {y} 1. d4 d5 * ) z\n[Event "a"]\n1. c4 {\n[Event "b"]\n} *'
    joined = "".join("".join(raw.text.split()) for raw in games_in.split_games(text))
    assert joined == "".join(text.split())
