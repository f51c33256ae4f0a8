"""Positions: read from a FEN, keyed, and opened at any place of a line."""

from __future__ import annotations

import re
import struct
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import chess

from plybook.board.model import Line, Outcome, Ply, Position, Side
from plybook.diagnostics import Report, shown
from plybook.text.model import FenText
from plybook.text.references import MOVE_DIGITS

__all__ = [
    "START",
    "board_at",
    "capture_square",
    "fen_fault",
    "open_place",
    "outcome_of",
    "position_key",
    "position_of",
    "read_fen",
    "rook_squares",
    "side_name",
]

_KEY = struct.Struct("<8QBQb")
_GAPS: Final = {ord(str(gap)): "." * gap for gap in range(1, 9)}  # of a FEN's first field


def position_key(board: chess.Board) -> bytes:
    """Return the key of a position: equal exactly when men, turn, castling and e.p. rights are.

    En passant counts only when a capture is legal (Laws of Chess, article 9.2.3).
    """
    passant = board.ep_square
    if passant is not None and not board.has_legal_en_passant():
        passant = None
    return _KEY.pack(
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.occupied_co[chess.BLACK],
        board.turn,
        board.clean_castling_rights(),
        -1 if passant is None else passant,
    )


def side_name(color: chess.Color) -> Side:
    """Return the word for a colour."""
    return "white" if color else "black"


def outcome_of(board: chess.Board) -> Outcome:
    """Return what the side to move faces: check, mate, stalemate or nothing of these."""
    if not board.kings:
        return ""
    check = board.is_check()
    if not any(board.generate_legal_moves()):
        return "mate" if check else "stalemate"
    return "check" if check else ""


def position_of(board: chess.Board, *, is_partial: bool = False) -> Position:
    """Return the frozen form of a board."""
    fen = board.fen()
    rows = fen.partition(" ")[0].translate(_GAPS).split("/")
    return Position(
        placement="".join(reversed(rows)),
        turn=side_name(board.turn),
        fen=fen,
        key=position_key(board),
        outcome="" if is_partial else outcome_of(board),
        is_partial=is_partial,
    )


START: Final = position_of(chess.Board())


def board_at(line: Line, place: int) -> chess.Board:
    """Return a board standing at a place of a line, with the moves that led there on its stack."""
    board = chess.Board(line.start.fen)
    for index in line.path(place):
        board.push(_move_of(line.plies[index - 1]))
    return board


def open_place(line: Line, place: int) -> Position:
    """Return the position at a place of a line (0 is the start)."""
    if not place:
        return line.start
    if place not in line.opened:
        line.opened[place] = position_of(board_at(line, place))
    return line.opened[place]


def capture_square(board: chess.Board, move: chess.Move) -> chess.Square | None:
    """Return the square of the man that a move takes, or None."""
    if board.is_en_passant(move):
        return chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    if board.is_castling(move) or not board.occupied & chess.BB_SQUARES[move.to_square]:
        return None
    return move.to_square


def rook_squares(board: chess.Board, move: chess.Move) -> tuple[str, str] | None:
    """Return from where to where the rook goes when a move castles, or None."""
    if not board.is_castling(move):
        return None
    rank = chess.square_rank(move.from_square) + 1
    is_short = move.to_square > move.from_square
    return (f"{'h' if is_short else 'a'}{rank}", f"{'f' if is_short else 'd'}{rank}")


def _move_of(ply: Ply) -> chess.Move:
    return chess.Move.from_uci(f"{ply.origin}{ply.target}{ply.promotion or ''}")


def read_fen(text: FenText, *, is_partial: bool, report: Report) -> Position | None:
    """Return the position of a FEN, or None after a report.

    All six fields are required (PGN standard, section 16.1). A position to be played on must be
    legal as far as the library can tell; a partial one needs only a readable board.
    """
    board = _read_board(text, report=report)
    if board is None:
        return None
    fields = text.fen.split()
    if not is_partial:
        faults = _status_words(board.status())
        if faults:
            report.add(
                "impossible-position",
                text.span,
                f"this position cannot be played on: {faults[0]}",
                notes=faults[1:],
                help="correct the FEN, or add `partial: true` for a board that is only shown",
            )
            return None
    if board.fen(en_passant="fen").split()[:4] != fields[:4]:
        lost = "castling" if board.fen().split()[2] != fields[2] else "en passant"
        report.add(
            "impossible-position",
            text.span,
            f"the {lost} field does not fit the men on the board",
            help=f"write `{board.fen()}`",
        )
        return None
    position = position_of(board, is_partial=is_partial)
    # A pawn that may not be taken in passing is kept all the same: it explains why it may not.
    return replace(position, fen=board.fen(en_passant="xfen"))


def _read_board(text: FenText, *, report: Report) -> chess.Board | None:
    """Return the board of a FEN of six readable fields, or None after a report."""
    fields = text.fen.split()
    if len(fields) != 6:
        report.add(
            "bad-fen",
            text.span,
            f"a FEN has six fields; this one has {len(fields)}",
            help="men, side to move, castling, en passant, halfmove clock, move number: "
            "`… w KQkq - 0 1`",
        )
        return None
    try:
        board = chess.Board(text.fen)
    except ValueError as error:
        report.add("bad-fen", text.span, f"not a FEN: {shown(fen_fault(fields, error), limit=58)}")
        return None
    if board.fullmove_number >= 10**MOVE_DIGITS:
        report.add(
            "bad-fen",
            text.span,
            f"not a FEN of a game: move number {shown(fields[5], limit=20)}",
            help=f"move numbers have at most {MOVE_DIGITS} digits; write `1` if none matters",
        )
        return None
    return board


def fen_fault(fields: Sequence[str], error: ValueError) -> str:
    """Return in words what is wrong with a FEN of these fields, which `error` refused."""
    return _fault_of_men(fields[0]) or str(error).split(":")[0]


def _fault_of_men(men: str) -> str:
    """Return what is wrong with the first field, "" where nothing is. It begins with rank 8."""
    rows = men.split("/")
    if len(rows) != 8:
        return f"it has {len(rows)} rank{'' if len(rows) == 1 else 's'}, not 8"
    for rank, row in zip(range(8, 0, -1), rows, strict=True):
        of_rank = f"rank {rank}, `{shown(row, limit=16)}`,"
        stray = re.search("[^1-8PNBRQKpnbrqk]", row)
        if stray:
            return f"{of_rank} holds `{shown(stray[0])}`"
        twice = re.search("[1-8]{2}", row)
        if twice:
            return f"{of_rank} has two numbers in a row: `{twice[0]}`"
        squares = sum(int(one) if one.isdigit() else 1 for one in row)
        if squares != 8:
            return f"{of_rank} has {squares} square{'' if squares == 1 else 's'}"
    return ""


_STATUS: Final = {
    chess.STATUS_NO_WHITE_KING: "White has no king",
    chess.STATUS_NO_BLACK_KING: "Black has no king",
    chess.STATUS_TOO_MANY_KINGS: "a side has more than one king",
    chess.STATUS_TOO_MANY_WHITE_PAWNS: "White has more than eight pawns",
    chess.STATUS_TOO_MANY_BLACK_PAWNS: "Black has more than eight pawns",
    chess.STATUS_PAWNS_ON_BACKRANK: "a pawn stands on the first or the last rank",
    chess.STATUS_TOO_MANY_WHITE_PIECES: "White has more than sixteen men",
    chess.STATUS_TOO_MANY_BLACK_PIECES: "Black has more than sixteen men",
    chess.STATUS_BAD_CASTLING_RIGHTS: "a castling right without its king and rook at home",
    chess.STATUS_INVALID_EP_SQUARE: "the en passant square has no pawn that just passed it",
    chess.STATUS_OPPOSITE_CHECK: "the side that is not to move stands in check",
    chess.STATUS_EMPTY: "the board is empty",
    chess.STATUS_TOO_MANY_CHECKERS: "more checks at once than one move can give",
    chess.STATUS_IMPOSSIBLE_CHECK: "checks that no last move can have given",
}


def _status_words(status: chess.Status) -> tuple[str, ...]:
    return tuple(words for flag, words in _STATUS.items() if status & flag)
