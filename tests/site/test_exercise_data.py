"""The table of an exercise as its page carries it: small, and read again by another reader."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from typing import Any

import chess
import pytest

from plybook.board.claims import Reach, Verdict
from plybook.board.exercises import Choice, Judgement, Refusal, RefusalKind, Solved, Tried, Turn
from plybook.site.inspection.strict_html import Page
from plybook.site.inspection.tried import table_faults
from plybook.site.pages.exercise_data import Printed, exercise_json
from plybook.site.pages.exercise_words import refusal_words, script_words
from plybook.site.wording.languages import words_for

WORDS = words_for("en")
#: A position of our own with 44 legal moves.
WIDE = "r4rk1/1bqnbppp/p2ppn2/1p6/3NPP2/2NBB3/PPP1Q1PP/R4RK1 w - - 0 14"
#: Castling, a capture en passant and promotions in one place.
RARE = "r3k3/1P6/8/3pP3/8/8/8/R3K2R w KQq d6 0 30"


def tried(board: chess.Board, move: chess.Move) -> Tried:
    """Return a move as the table has it, told by python-chess."""
    castles = board.is_castling(move)
    rank = "1" if board.turn else "8"
    is_short = chess.square_file(move.to_square) == 6
    rook = (("h", "f") if is_short else ("a", "d")) if castles else None
    passing = chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    captured = passing if board.is_en_passant(move) else move.to_square
    return Tried(
        san=board.san(move),
        origin=chess.square_name(move.from_square),
        target=chess.square_name(move.to_square),
        promotion=chess.piece_symbol(move.promotion) if move.promotion else None,
        captured_on=chess.square_name(captured) if board.is_capture(move) else None,
        rook=(rook[0] + rank, rook[1] + rank) if rook else None,
    )


def solved(fen: str, right: str) -> Solved:
    """Return a table of one turn: one move is right, every other meets a reply."""
    board = chess.Board(fen)
    choices = []
    for move in board.legal_moves:
        after = board.copy()
        after.push(move)
        replies = sorted(after.legal_moves, key=lambda m: (not after.is_capture(m), m.uci()))
        is_right = board.san(move) == right
        choices.append(
            Choice(
                move=tried(board, move),
                judgement=Judgement.RIGHT if is_right else Judgement.OTHER,
                reply=None if is_right or not replies else tried(after, replies[0]),
                loses=0 if is_right else 1 + move.to_square % 9,
            )
        )
    placement = "".join(
        man.symbol() if (man := board.piece_at(square)) else "." for square in chess.SQUARES
    )
    turn = Turn(
        placement=placement,
        mover="white" if board.turn else "black",
        number=board.fullmove_number,
        choices=tuple(choices),
        refusals={},
    )
    return Solved(verdict=Verdict(reach=Reach.PROVED), findings=(), turns=(turn,), nodes=1)


def table(fen: str, right: str) -> dict[str, Any]:
    printed = Printed(
        ident="lesson/exercise",
        fen=fen,
        last=("e7", "e5"),
        key=[right],
        tries=[],
        is_judged=False,
        plain=str,
    )
    data: dict[str, Any] = json.loads(exercise_json(solved(fen, right), printed, WORDS))
    return data


def faults(data: object) -> list[str]:
    page = Page(
        faults=(),
        ids=(),
        references=(),
        paints=(),
        data=(("xd-one", json.dumps(data)),),
        head=(),
    )
    return list(table_faults(page))


def test_a_table_of_forty_moves_is_small() -> None:
    """At most 1 kB packed, with a reply and its cost for every move."""
    board = chess.Board(WIDE)
    assert board.legal_moves.count() >= 40
    text = json.dumps(table(WIDE, "Nxb5"), separators=(",", ":"))
    assert len(gzip.compress(text.encode(), 9, mtime=0)) <= 1024


@pytest.mark.parametrize("fen", [WIDE, RARE, RARE.replace(" w ", " b ").replace("d6", "-")])
def test_a_table_holds_exactly_the_legal_moves(fen: str) -> None:
    """Told by python-chess, and found sound by the reader that did not write it."""
    board = chess.Board(fen)
    sans = [board.san(move) for move in board.legal_moves]
    data = table(fen, sans[0])
    (turn,) = data["turns"]
    assert [row.split(",")[1] for row in turn[1].split(" ")] == sans
    assert faults(data) == []


def rows(data: dict[str, Any], change: Callable[[list[str]], list[str]]) -> dict[str, Any]:
    number, text, refused = data["turns"][0]
    return {**data, "turns": [[number, " ".join(change(text.split(" "))), refused]]}


def field(data: dict[str, Any], place: int, value: str) -> dict[str, Any]:
    """Return the table with a field of its first row changed; there are eight in a row."""

    def changed(found: list[str]) -> list[str]:
        fields = [*found[0].split(","), *[""] * 8][:8]
        return [",".join([*fields[:place], value, *fields[place + 1 :]]), *found[1:]]

    return rows(data, changed)


@pytest.mark.parametrize(
    "change",
    [
        lambda data: rows(data, lambda found: found[1:]),
        lambda data: rows(data, lambda found: [*found, found[0]]),
        lambda data: rows(data, lambda found: [*found, "AA,Ra1"]),
        lambda data: rows(data, lambda found: [found[0].replace(",", ",x", 1), *found[1:]]),
        lambda data: rows(data, lambda found: [f"{found[0]},,,,,1", *found[1:]]),
        lambda data: {**data, "fen": data["fen"].replace(" w ", " b ")},
        lambda data: {**data, "turns": [*data["turns"], data["turns"][0]]},
        lambda data: {**data, "turns": [[29, *data["turns"][0][1:]]]},
        lambda data: {**data, "cost": {}},
        lambda data: {**data, "turns": [[30, data["turns"][0][1], {"No.": "A"}]]},
        lambda data: {**field(data, 7, "-1"), "say": ["Well done."]},
        lambda data: {**field(data, 7, "1"), "say": ["Well done."]},
        lambda data: {"id": "lesson/exercise", "answers": []},
        lambda data: [],
    ],
)
def test_a_planted_fault_in_a_table_is_found(change: Callable[[Any], object]) -> None:
    data = table(RARE, "exd6")
    assert faults(data) == []
    assert faults(change(data))


def test_what_a_row_names_is_counted_from_the_front_alone() -> None:
    data = table(RARE, "exd6")
    said = {**data, "say": ["Well done."]}
    assert faults(field(said, 7, "0")) == []
    for wrong in ("-1", "1", "x", "1_0"):
        assert any("is said of it is not there" in fault for fault in faults(field(said, 7, wrong)))
        assert any("turn after it is not there" in fault for fault in faults(field(data, 6, wrong)))


def test_no_square_of_a_table_can_be_changed_unseen() -> None:
    """The first two signs of every row, each changed to some others."""
    data = table(RARE, "exd6")
    found = data["turns"][0][1].split(" ")
    for at, row in enumerate(found):
        for other in {"A", "E", "d", "t", "_"} - set(row[:2]):
            for changed in (other + row[1:], row[0] + other + row[2:]):
                planted = [*found[:at], changed, *found[at + 1 :]]
                data["turns"][0][1] = " ".join(planted)
                assert faults(data), changed


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (
            RefusalKind.PINNED,
            "The knight is pinned to the king: the bishop on g4 would give check.",
        ),
        (RefusalKind.IN_CHECK, "The bishop on g4 gives check, and this does not stop it."),
        (
            RefusalKind.INTO_CHECK,
            "The bishop on g4 attacks that square: the king may not step there.",
        ),
        (RefusalKind.CASTLING_OUT, "The bishop on g4 gives check: the king may not castle now."),
        (
            RefusalKind.CASTLING_THROUGH,
            "The bishop on g4 attacks d1: the king may not castle through it.",
        ),
    ],
)
def test_a_refusal_is_a_sentence(kind: RefusalKind, said: str) -> None:
    refusal = Refusal(kind=kind, man="n", by="b", on="g4", through="d1")
    assert refusal_words(refusal, WORDS) == said


def test_the_script_gets_the_letters_of_the_page() -> None:
    assert script_words(WORDS, letters="german")["letters"] == list("SLTDK")
    russian = script_words(WORDS, letters="russian")["letters"]
    assert russian == ["К", "С", "Л", "Ф", "Кр"]  # from memory
    figurines = script_words(WORDS, letters="figurine")
    assert (figurines["letters"], figurines["figurines"]) == (list("NBRQK"), True)
