"""The centre opened: which files, on which king, and what comes of it along them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import chess

from plybook.board.ledger.castling import is_in_the_middle
from plybook.board.ledger.centre import CENTRE_FILES
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.men import STONES, stone_at
from plybook.board.ledger.model import Stone
from plybook.board.ledger.moment import SQUARES, Moment, pawn_files
from plybook.board.ledger.standing import Exposure

__all__ = ["find_opened"]

_BOTH: Final = 3  # both sides have pawns on a file, see pawn_files
_HEAVY: Final = (chess.ROOK, chess.QUEEN)


def find_opened(moment: Moment) -> None:
    """Note what the move did along files opened before, then which files it opened."""
    _keep_exposed(moment)
    standing = moment.standing
    if standing.exposures[not moment.color]:
        _find_blows(moment, standing.exposures[not moment.color])
    if any(standing.exposures) or standing.pins:
        _find_pins(moment)
    if moment.kind == chess.PAWN or (moment.captured and moment.captured.man == "p"):
        _find_opening(moment)


def _keep_exposed(moment: Moment) -> None:
    """Drop what a king has left behind, what an enemy pawn has closed, what was too long ago."""
    standing = moment.standing
    if not any(standing.exposures):
        return
    oldest = standing.count - moment.settings.follow_plies
    pair: list[tuple[Exposure, ...]] = [(), ()]
    for color in (chess.BLACK, chess.WHITE):
        if standing.exposures[color] and _is_exposed(moment, color):
            enemy_pawns = standing.board.pawns & standing.board.occupied_co[not color]
            pair[color] = tuple(
                each
                for each in standing.exposures[color]
                if each.count >= oldest and not enemy_pawns & chess.BB_FILES[each.file]
            )
    standing.exposures = (pair[0], pair[1])


def _is_exposed(moment: Moment, color: chess.Color) -> bool:
    king = moment.standing.accounts[color].king
    return king.castled is None and is_in_the_middle(SQUARES[king.square])


def _king_stone(moment: Moment, color: chess.Color) -> Stone:
    king = moment.standing.accounts[color].king
    return STONES[color][chess.KING][SQUARES[king.square]]


def _find_opening(moment: Moment) -> None:
    now = pawn_files(moment.standing.board)
    label = moment.label
    moves = (moment.last_move, label) if moment.is_recapture else (label,)
    for was, left, mask in zip(moment.pawn_files, now, CENTRE_FILES, strict=True):
        if was == left or (left and was != _BOTH):
            continue
        file = "d" if mask == chess.BB_FILE_D else "e"
        kind = FactKind.HALF_OPENS_CENTRE if left else FactKind.OPENS_CENTRE
        moment.add(kind, man=moment.stone, files=(file,), moves=moves)
        for color in (moment.color, not moment.color):
            has_enemy_pawn = left & (2 if color else 1)
            if _is_exposed(moment, color) and not has_enemy_pawn:
                _expose(moment, color, "abcdefgh".index(file), moves)


def _expose(moment: Moment, color: chess.Color, file: int, moves: tuple[str, ...]) -> None:
    standing = moment.standing
    fresh = Exposure(file=file, move=moves[0], count=standing.count)
    kept = [each for each in standing.exposures[color] if each.file != file]
    pair = [standing.exposures[0], standing.exposures[1]]
    pair[color] = (*kept, fresh)
    standing.exposures = (pair[0], pair[1])
    own_pawns = standing.board.pawns & standing.board.occupied_co[color]
    moment.add(
        FactKind.OPENED_ON_KING,
        color=color,
        man=_king_stone(moment, color),
        files=("abcdefgh"[file],),
        moves=moves,
        amount=(own_pawns & chess.BB_FILES[file]).bit_count(),
    )


def _find_blows(moment: Moment, exposures: tuple[Exposure, ...]) -> None:
    """Note what the mover does to a king on which the centre was opened before this move."""
    board, label = moment.standing.board, moment.label
    king = _king_stone(moment, not moment.color)
    for each in exposures:
        file, files = chess.BB_FILES[each.file], ("abcdefgh"[each.file],)
        moves = (each.move, label)
        for stone, origin in _heavy_moved(moment):
            if SQUARES[stone.square] & 7 != each.file:
                continue
            if origin & 7 != each.file:
                moment.add(FactKind.FILE_TAKEN, man=stone, files=files, moves=moves)
            elif moment.found(FactKind.WINS_MATERIAL) and moment.captured:
                moment.add(
                    FactKind.FILE_WINS,
                    man=stone,
                    others=(moment.captured,),
                    files=files,
                    moves=moves,
                    amount=moment.value,
                )
        if moment.ply.outcome in {"check", "mate"} and file >> SQUARES[king.square] & 1:
            heavy = board.checkers_mask() & (board.rooks | board.queens) & file
            for square in chess.scan_forward(heavy):
                moment.add(
                    FactKind.FILE_CHECK,
                    man=stone_at(board, square),
                    others=(king,),
                    files=files,
                    moves=moves,
                )
    if moment.ply.outcome == "mate":
        moment.add(
            FactKind.KING_CAUGHT,
            man=king,
            files=tuple("abcdefgh"[each.file] for each in exposures),
            moves=(exposures[0].move, label),
        )


def _heavy_moved(moment: Moment) -> Iterator[tuple[Stone, chess.Square]]:
    """Yield the rook or queen that moved, castling included, and where it came from."""
    if moment.ply.rook is not None:
        origin, target = moment.ply.rook
        yield STONES[moment.color][chess.ROOK][SQUARES[target]], SQUARES[origin]
    elif moment.kind in _HEAVY:
        yield moment.stone, moment.origin


def _find_pins(moment: Moment) -> None:
    """Note pins along opened files that were not there one ply before."""
    found = []
    for color in (chess.BLACK, chess.WHITE):
        for each in moment.standing.exposures[color]:
            for pin in _pins_on(moment.standing.board, color, each.file):
                found.append(pin)
                if pin not in moment.standing.pins:
                    moment.add(
                        FactKind.FILE_PIN,
                        color=not color,
                        man=pin[0],
                        others=pin[1:],
                        files=("abcdefgh"[each.file],),
                        moves=(each.move, moment.label),
                    )
    moment.standing.pins = tuple(found)


def _pins_on(
    board: chess.Board, color: chess.Color, file: int
) -> Iterator[tuple[Stone, Stone, Stone]]:
    """Yield pinner, pinned man and what stands behind: the king, or a queen behind a cheaper man
    that a rook pins. In the order of the squares."""
    own = board.occupied_co[color]
    line = chess.BB_FILES[file]
    heavy = line & board.occupied_co[not color] & (board.rooks | board.queens)
    for pinner in chess.scan_forward(heavy):
        behind = own & line & board.kings
        if board.rooks >> pinner & 1:
            behind |= own & line & board.queens
        for prize in chess.scan_forward(behind):
            between = chess.between(pinner, prize) & board.occupied
            if not between or between & (between - 1) or not between & own & ~board.queens:
                continue
            yield (
                stone_at(board, pinner),
                stone_at(board, between.bit_length() - 1),
                stone_at(board, prize),
            )
