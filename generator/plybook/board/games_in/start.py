"""The position that a game starts from, by its tags."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import chess

from plybook.board.positions import fen_fault, read_fen
from plybook.diagnostics import Report, Span, shown
from plybook.text.model import FenText

__all__ = ["RefusedError", "start_of"]

#: Names that programs give to chess itself in the tag Variant, small letters.
_CHESS: Final = frozenset({"standard", "chess", "normal", "from position", ""})
#: What is missing behind the men when a FEN breaks off (as python-chess completes it).
_MISSING: Final = ("w", "-", "-", "0", "1")


class RefusedError(Exception):
    """Why a game is rejected, and the offset into its text where that shows."""

    def __init__(self, reason: str, at: int) -> None:
        super().__init__(reason)
        self.reason, self.at = reason, at


def start_of(tags: Mapping[str, str]) -> tuple[chess.Board, bool]:
    """Return the board at the start of a game, and whether its FEN had to be put right.

    Raises RefusedError for another game than chess and for a position that cannot be played on.
    """
    variant = tags.get("Variant", "")
    if variant.casefold() not in _CHESS:
        raise RefusedError(f"it is another game than chess: `{shown(variant)}`", 0)
    if "FEN" not in tags:
        return chess.Board(), False
    fields = tags["FEN"].split()
    whole = " ".join([*fields, *_MISSING[max(len(fields) - 1, 0) :]])
    try:
        board = chess.Board(whole)
    except ValueError as error:
        reason = shown(fen_fault(whole.split(), error), limit=50)
        raise RefusedError(f"its start cannot be read: {reason}", 0) from error
    if board.has_chess960_castling_rights():
        raise RefusedError("it is another game than chess: castling from other squares", 0)
    fen = board.fen(en_passant="fen")
    report = Report()
    text = FenText(fen=fen, span=Span.of_file("FEN"))
    if read_fen(text, is_partial=False, report=report) is None:
        reason = "; ".join(one.message for one in report)
        raise RefusedError(f"its start cannot be read: {reason}", 0)
    return board, fen.split() != fields
