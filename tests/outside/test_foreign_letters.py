"""Piece letters of other languages (PGN standard, section 17) in positions of real play.

Every letter that English does not have is refused and its move offered; a letter that names
another man in English is read as English or refused, never guessed.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import chess
import pytest

from outside.playing import numbered, play

_HERE: Final = Path(__file__).parent
LETTERS: Final[dict[str, str]] = json.loads(
    (_HERE / "pgn_standard.json").read_text(encoding="utf-8")
)["letters"]
#: Twelve sets of letters: languages with the same six stand together.
SETS: Final = {
    letters: [name for name, row in LETTERS.items() if row == letters]
    for letters in LETTERS.values()
    if letters != LETTERS["English"]
}
GAMES: Final[list[dict[str, Any]]] = json.loads(
    (_HERE / "chess_js.json").read_text(encoding="utf-8")
)
#: A hundred positions of the recorded games, far apart.
FENS: Final = [row.split(" ", 2)[2] for game in GAMES for row in game["plies"]][::52][:100]


def slips(letters: str) -> Iterator[tuple[str, str, str]]:
    """Yield FEN, a move with the foreign letter of its man, and its SAN: a move for each man."""
    rng = random.Random(letters)
    for fen in FENS:
        board = chess.Board(fen)
        for man in chess.PIECE_TYPES:
            moves = [m for m in board.legal_moves if board.piece_type_at(m.from_square) == man]
            if moves:
                san = board.san(rng.choice(moves))
                bare = san if man == chess.PAWN else san[1:]
                yield fen, letters[man - 1] + bare, san


def has_own_name(word: str, san: str) -> bool:
    """Return whether the slip is the right spelling after all, as castling is."""
    return word == san or san.startswith("O-O")


@pytest.mark.parametrize(
    ("letters", "languages"), SETS.items(), ids=[", ".join(names) for names in SETS.values()]
)
def test_a_foreign_letter_is_refused_and_its_move_offered(
    letters: str, languages: list[str]
) -> None:
    for fen, word, san in slips(letters):
        if word[0] in "PNBRQK" or has_own_name(word, san):
            continue
        line, faults = play(numbered([word], fen=fen), fen=fen)
        assert line.plies == (), (fen, word)
        # where two languages make two legal moves of it, it cannot be read as one of them
        assert [fault.code for fault in faults] in (["foreign-letter"], ["unreadable-move"])
        told = " ".join(faults[0].notes + faults[0].help)
        assert f"`{san}`" in told, (fen, word)
        if faults[0].code == "foreign-letter":
            assert all(name in told for name in languages), (fen, word)


@pytest.mark.parametrize(
    ("letters", "languages"), SETS.items(), ids=[", ".join(names) for names in SETS.values()]
)
def test_a_letter_of_two_meanings_is_read_as_english_or_refused(
    letters: str, languages: list[str]
) -> None:
    for fen, word, san in slips(letters):
        if word[0] not in "PNBRQK" or has_own_name(word, san):
            continue
        line, faults = play(numbered([word], fen=fen), fen=fen)
        assert faults or [ply.san for ply in line.plies] == [word], (languages, fen, word)
