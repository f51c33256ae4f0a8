"""Words for moves that cannot be played: why, and what could be meant."""

from __future__ import annotations

import re

import chess

from plybook.board.repairs import legal_sans, near_moves, plays_on, readings
from plybook.diagnostics import Repair, Report, shown
from plybook.text.model import PlyDraft
from plybook.text.notation import EVALUATIONS, languages_of, oddity, piece_name

__all__ = ["numbered", "report_ambiguous", "report_illegal", "report_unreadable", "silence"]


def numbered(board: chess.Board, text: str) -> str:
    """Return a move with its number between backquotes: `` `4... g6` ``."""
    return f"`{board.fullmove_number}{'.' if board.turn else '...'} {shown(text, limit=20)}`"


def silence(rest: tuple[PlyDraft, ...]) -> tuple[str, ...]:
    """Return the note that the rest of a line was not checked, if there is a rest."""
    if not rest:
        return ()
    count = len(rest)
    moves = "move" if count == 1 else f"{count} moves"
    return (f"the {moves} after it in this line {'was' if count == 1 else 'were'} not checked",)


def report_unreadable(
    board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...], report: Report
) -> None:
    """Report a word that is no move in any notation known here."""
    text = draft.text
    if _CASTLING.fullmatch(text):
        report_illegal(board, draft, rest, report)
        return
    code, notes = "unreadable-move", []
    odd = oddity(text)
    if odd:
        code = "look-alike"
        notes.append(odd)
    letter = text[:1]
    if not odd and _FOREIGN.match(text):
        for pgn, names in languages_of(letter).items():
            code = "foreign-letter"
            notes.append(f"`{letter}` is the {piece_name(pgn)} in {', '.join(names)}")
    several = readings(board, text)
    through, others = near_moves(board, text, [ply.text for ply in rest])
    if text in EVALUATIONS:
        helps: tuple[str, ...] = (f"write the NAG `${EVALUATIONS[text]}` for `{text}`",)
    elif len(several) > 1:
        helps = (f"write {_listed([reading.san for reading in several])}",)
    elif re.fullmatch(r"[^\W\d_]{2,}[.,:]?", text) and not re.search(r"[a-h][1-8]", text):
        helps = ("put words between { and }",)
    else:
        helps = _repairs(through, others)
    report.add(
        code,
        draft.span,
        f"{numbered(board, text)} cannot be read as a move",
        notes=(*notes, *silence(rest)),
        help=helps,
        repair=Repair(draft.span, through[0]) if len(through) == 1 and not several else None,
    )


def report_ambiguous(
    board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...], report: Report
) -> None:
    """Report a move that several men can make."""
    target = re.search(r"[a-h][1-8](?=[^a-h1-8]*$)", draft.text)
    assert target  # it has the shape of a move
    kind = draft.text[0]
    sans = [
        san
        for san, move in legal_sans(board).items()
        if san[0] == kind and chess.SQUARE_NAMES[move.to_square] == target[0]
    ]
    report.add(
        "ambiguous-move",
        draft.span,
        f"{numbered(board, draft.text)} could be more than one move",
        notes=silence(rest),
        help=f"write {_listed(sans)}",
    )


def report_illegal(
    board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...], report: Report
) -> None:
    """Report a well-written move that the position does not allow."""
    if not any(board.generate_legal_moves()):
        end = "checkmate" if board.is_check() else "stalemate"
        report.add(
            "game-over",
            draft.span,
            f"{numbered(board, draft.text)} comes after the game has ended",
            notes=(f"the position before it is {end}",),
            help="delete the moves from here on",
        )
        return
    side = "White" if board.turn else "Black"
    through, others = near_moves(board, draft.text, [ply.text for ply in rest])
    foreign = () if through else _foreign(board, draft, rest)
    report.add(
        "illegal-move",
        draft.span,
        f"{numbered(board, draft.text)} is illegal for {side} here",
        notes=(*_reasons(board, draft.text), *foreign, *silence(rest)),
        help=_repairs(through, others),
        repair=Repair(draft.span, through[0]) if len(through) == 1 else None,
    )


def _foreign(board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...]) -> tuple[str, ...]:
    """Return that the letter means another man elsewhere, where the rest plays on with that man."""
    texts = [ply.text for ply in rest]
    return tuple(
        f"{reading.why}; if that is meant, write `{reading.san}`"
        for reading in readings(board, draft.text)
        if reading.code == "foreign-letter"
        and texts
        and plays_on(board, board.parse_san(reading.san), texts)
    )


def _repairs(through: list[str], others: list[str]) -> tuple[str, ...]:
    helps = []
    if through:
        verb = "fits" if len(through) == 1 else "fit"
        helps.append(f"{_listed(through)} {verb} the rest of the line")
    if others and len(through) < 2:
        helps.append(f"legal here: {', '.join(f'`{san}`' for san in others)}")
    return tuple(helps)


def _listed(sans: list[str]) -> str:
    quoted = [f"`{san}`" for san in sans]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"


# ---------------------------------------------------------------------- why a move is illegal

_CASTLING = re.compile(r"[0oO]-[0oO](-[0oO])?[+#]?")
_FOREIGN = re.compile(r"(?![NBRQKO])[A-Z][a-h1-8]{0,2}x?[a-h][1-8]")
_SHAPE = re.compile(r"([NBRQK]?)([a-h]?)([1-8]?)(x?)([a-h][1-8])(?:=[NBRQ])?[+#]?")


def _reasons(board: chess.Board, text: str) -> tuple[str, ...]:
    """Return computed facts that explain why `text` cannot be played, at most three."""
    castling = _CASTLING.fullmatch(text)
    if castling:
        return _castling_reasons(board, is_short=castling[1] is None)
    shape = _SHAPE.fullmatch(text)
    if not shape:
        return ()
    letter, file, rank, _, name = shape.groups()
    kind = chess.PIECE_SYMBOLS.index((letter or "p").lower())
    target = chess.parse_square(name)
    colour = "white" if board.turn else "black"
    notes = []
    if board.color_at(target) == board.turn:
        own = chess.piece_name(board.piece_type_at(target) or chess.PAWN)
        notes.append(f"a {colour} {own} stands on {name}")
    exposed = [
        move
        for move in board.generate_pseudo_legal_moves()
        if move.to_square == target
        and board.piece_type_at(move.from_square) == kind
        and (not file or chess.square_name(move.from_square)[0] == file)
        and (not rank or chess.square_name(move.from_square)[1] == rank)
    ]
    if any(move.promotion for move in exposed) and "=" not in text:
        return ("a pawn that reaches the last rank is promoted, and the move says to what",)
    for move in exposed[:2]:
        notes.append(_exposure(board, move))
    if not exposed and not notes:
        origin = file or (f"rank {rank}" if rank else "")
        which = f" from {origin}" if origin else ""
        notes.append(f"no {colour} {chess.piece_name(kind)} can go{which} to {name}")
    if board.is_check() and not any("check" in note for note in notes):
        notes.append(_check_note(board))
    return tuple(notes[:3])


def _exposure(board: chess.Board, move: chess.Move) -> str:
    """Return why a move that the man could make leaves its king to be taken."""
    king = board.king(board.turn)
    assert king is not None
    man = chess.piece_name(board.piece_type_at(move.from_square) or chess.PAWN)
    origin, home = chess.square_name(move.from_square), chess.square_name(king)
    if move.from_square == king:
        after = board.copy(stack=False)
        after.remove_piece_at(king)
        guards = after.attackers(not board.turn, move.to_square)
        names = ", ".join(chess.square_name(square) for square in guards)
        return f"the king may not go to {chess.square_name(move.to_square)}: attacked from {names}"
    if board.is_check():
        return _check_note(board)
    for square in board.attackers(not board.turn, move.from_square):
        if move.from_square in chess.SquareSet(chess.between(square, king)):
            pinner = chess.piece_name(board.piece_type_at(square) or chess.PAWN)
            return (
                f"the {man} on {origin} is pinned to the king on {home} "
                f"by the {pinner} on {chess.square_name(square)}"
            )
    return f"moving the {man} from {origin} leaves the king on {home} in check"


def _check_note(board: chess.Board) -> str:
    side = "White" if board.turn else "Black"
    names = ", ".join(chess.square_name(square) for square in board.checkers())
    return f"{side} is in check from {names}, and this does not answer it"


def _castling_reasons(board: chess.Board, *, is_short: bool) -> tuple[str, ...]:
    """Return why castling is not legal, in the order of the Laws of Chess, article 3.8.2."""
    side = "White" if board.turn else "Black"
    has_right = (
        board.has_kingside_castling_rights if is_short else board.has_queenside_castling_rights
    )(board.turn)
    if not has_right:
        return (f"{side} has lost the right: the king or that rook has moved, or is not there",)
    rank = 0 if board.turn else 56
    between = (5, 6) if is_short else (1, 2, 3)
    men = [chess.square_name(rank + at) for at in between if board.piece_at(rank + at)]
    if men:
        return (f"a man stands between king and rook, on {' and '.join(men)}",)
    path = (4, 5, 6) if is_short else (4, 3, 2)
    words = ("the king is in check", "the king would cross", "the king would land on")
    for at, phrase in zip(path, words, strict=True):
        guards = board.attackers(not board.turn, rank + at)
        if guards:
            where = "" if at == 4 else f" {chess.square_name(rank + at)}"
            names = ", ".join(chess.square_name(square) for square in guards)
            return (f"{phrase}{where}, attacked from {names}",)
    return ()
