"""Playing a line: each written move is read, tried on the board and compared with its SAN."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import chess

from plybook.board import blunders
from plybook.board.model import Line, Outcome, Ply, Position
from plybook.board.positions import (
    capture_square,
    outcome_of,
    position_key,
    rook_squares,
    side_name,
)
from plybook.board.repairs import Reading, plays_on, readings
from plybook.diagnostics import Repair, Report, Span, shown
from plybook.text.model import FenText, MovetextDraft, PlyDraft, VariationDraft
from plybook.text.references import SAN_LIKE

__all__ = ["play_line"]

_SAN = re.compile(SAN_LIKE)
_LETTERS: Final = " pnbrqk"


def play_line(
    name: str,
    draft: MovetextDraft,
    *,
    start: Position,
    span: Span,
    report: Report,
    ends: FenText | None = None,
) -> Line:
    """Return the line that the movetext describes, as far as it could be played.

    Every move must be legal, written as canonical SAN, and numbered rightly. A move that cannot
    be played ends its line (main line or variation): one diagnostic, and the rest stays silent.
    """
    player = _Player(report)
    board = chess.Board(start.fen)
    if start.is_partial and draft.main.plies:
        report.add(
            "partial-position",
            draft.main.plies[0].span,
            "a partial board is only shown, not played on",
            help="delete the moves, or start from a complete position",
        )
        player.is_whole = False
    else:
        player.play(board, draft.main, parent=0, depth=0)
    line = Line(
        name=name,
        start=start,
        first_number=board.fullmove_number,
        plies=tuple(player.plies),
        result=draft.result,
        is_whole=player.is_whole and draft.is_whole,
        span=span,
    )
    if line.is_whole:
        _check_result(player.end or board, draft, report)
        if ends is not None:
            _check_ending(player.end or board, ends, report)
    return line


class _Player:
    """Plays variations depth first, in the order of the movetext."""

    def __init__(self, report: Report) -> None:
        self.plies: list[Ply] = []
        self.is_whole = True
        self.end: chess.Board | None = None
        self._report = report

    def play(self, board: chess.Board, line: VariationDraft, *, parent: int, depth: int) -> None:
        """Play one line on a copy of `board` and, at each ply, the variations that replace it."""
        board = board.copy(stack=False)
        needs_number = True
        for at, draft in enumerate(line.plies):
            rest = line.plies[at + 1 :]
            needs_number = needs_number or bool(draft.comments_before)
            if self._is_misnumbered(board, draft):
                move = self._read_misnumbered(board, draft, rest)
            else:
                move = self._read(board, draft, rest)
                if move is not None:
                    self._check_missing_number(board, draft, is_needed=needs_number)
            if move is None:
                self.is_whole = False
                return
            before = board.copy(stack=False) if draft.variations else None
            ply = self._advance(board, draft, move, parent=parent, depth=depth)
            needs_number = bool(draft.comments or draft.variations)
            if before is not None:
                self._play_variations(before, draft, parent=parent, depth=depth)
            parent = ply.index
        if depth == 0:
            self.end = board

    def _play_variations(
        self, before: chess.Board, draft: PlyDraft, *, parent: int, depth: int
    ) -> None:
        for variation in draft.variations:
            count = len(self.plies)
            self.play(before, variation, parent=parent, depth=depth + 1)
            if len(self.plies) == count:
                continue
            opening = self.plies[count]
            if any(
                other.san == opening.san and other.parent == parent
                for other in self.plies[parent:count]
            ):
                self._report.add(
                    "duplicate-variation",
                    opening.span,
                    f"`{opening.label}` is already played here",
                    help="a variation starts with another move; join the two lines",
                )
                del self.plies[count:]
                self.is_whole = False

    def _advance(
        self, board: chess.Board, draft: PlyDraft, move: chess.Move, *, parent: int, depth: int
    ) -> Ply:
        """Push a legal move and record its ply."""
        number, mover = board.fullmove_number, board.turn
        man = board.piece_type_at(move.from_square)
        assert man is not None
        captured_on = capture_square(board, move)
        captured = None if captured_on is None else board.piece_type_at(captured_on)
        rook = rook_squares(board, move) if man == chess.KING else None
        san = board.san_and_push(move)
        ply = Ply(
            index=len(self.plies) + 1,
            parent=parent,
            depth=depth,
            number=number,
            mover=side_name(mover),
            san=san,
            man=_LETTERS[man],
            origin=chess.SQUARE_NAMES[move.from_square],
            target=chess.SQUARE_NAMES[move.to_square],
            captured=None if captured is None else _LETTERS[captured],
            captured_on=None if captured_on is None else chess.SQUARE_NAMES[captured_on],
            promotion=None if move.promotion is None else _LETTERS[move.promotion],
            rook=rook,
            outcome=_outcome(board, san),
            key=position_key(board),
            nags=draft.nags,
            comments_before=draft.comments_before,
            comments=draft.comments,
            span=draft.span,
        )
        self.plies.append(ply)
        if san != draft.text:
            self._report_spelling(draft, ply, san)
        return ply

    # ---------------------------------------------------------------- reading one move

    def _read(
        self, board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...]
    ) -> chess.Move | None:
        """Return the move that the coach wrote, or None when it cannot be played."""
        text = draft.text
        if _SAN.fullmatch(text):
            try:
                return board.parse_san(text)
            except chess.AmbiguousMoveError:
                blunders.report_ambiguous(board, draft, rest, self._report)
                return None
            except ValueError:
                blunders.report_illegal(board, draft, rest, self._report)
                return None
        found = readings(board, text)
        if len(found) == 1:
            return self._read_as(found[0], board, draft, rest)
        blunders.report_unreadable(board, draft, rest, self._report)
        return None

    def _read_as(
        self, reading: Reading, board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...]
    ) -> chess.Move | None:
        """Report another notation; return its move where it can only mean one.

        The line is played on only when the rest of it fits: then nothing is guessed.
        """
        move = board.parse_san(reading.san)
        texts = [ply.text for ply in rest]
        is_certain = reading.is_notation and plays_on(board, move, texts)
        self._report.add(
            reading.code,
            draft.span,
            f"{blunders.numbered(board, draft.text)} is not written in the notation used here",
            notes=(reading.why, *(() if is_certain else blunders.silence(rest))),
            help=f"write `{reading.san}`",
            repair=Repair(draft.span, reading.san),
        )
        return move if is_certain else None

    def _report_spelling(self, draft: PlyDraft, ply: Ply, san: str) -> None:
        if not _SAN.fullmatch(draft.text):
            return  # another notation, reported when it was read
        written, right = draft.text.rstrip("+#"), san.rstrip("+#")
        label = f"{ply.number}{'.' if ply.mover == 'white' else '...'}"
        notes: tuple[str, ...] = ()
        if written != right:
            code, message = "not-canonical", f"`{label} {draft.text}` is written `{right}`"
            notes = (_spelling_note(written, right),)
        elif draft.text.endswith("#"):
            code, message = "false-mate-mark", f"`{label} {draft.text}` does not give mate"
        elif draft.text.endswith("+") and not san.endswith("#"):
            code, message = "false-check-mark", f"`{label} {draft.text}` does not give check"
        else:
            what = "mate" if san.endswith("#") else "check"
            code, message = "missing-mark", f"`{label} {draft.text}` gives {what}"
        self._report.add(
            code,
            draft.span,
            message,
            notes=notes,
            help=f"write `{san}`",
            repair=Repair(draft.span, san),
        )

    # ---------------------------------------------------------------- numbers

    def _check_missing_number(
        self, board: chess.Board, draft: PlyDraft, *, is_needed: bool
    ) -> None:
        if draft.number is None and (board.turn or is_needed):
            why = "White's moves are numbered" if board.turn else _BLACK_NUMBER
            self._report.add(
                "missing-number",
                draft.span,
                f"`{shown(draft.text)}` has no move number",
                notes=(why,),
                help=f"write `{_number(board)} {shown(draft.text)}`",
            )

    def _is_misnumbered(self, board: chess.Board, draft: PlyDraft) -> bool:
        number = draft.number
        if number is None or number.value is None:  # not there, or misprinted and reported
            return False
        return number.value != board.fullmove_number or number.is_white != board.turn

    def _read_misnumbered(
        self, board: chess.Board, draft: PlyDraft, rest: tuple[PlyDraft, ...]
    ) -> chess.Move | None:
        """Report a wrong number; return the move if it is legal all the same.

        Where it is not, a move is missing, and the number alone is to blame.
        """
        assert draft.number
        side = "White" if board.turn else "Black"
        notes = [f"it is move {board.fullmove_number}, {side} to play"]
        try:
            move: chess.Move | None = board.parse_san(draft.text)
        except ValueError:
            move = None
            notes += [
                f"{blunders.numbered(board, draft.text)} cannot be played",
                *blunders.silence((draft, *rest)),
            ]
        self._report.add(
            "wrong-number",
            draft.number.span,
            f"the move number should be `{_number(board)}`",
            notes=notes,
            help=f"write `{_number(board)}`"
            if move
            else f"add the move of {side} that is missing before it",
            repair=Repair(draft.number.span, _number(board)) if move else None,
        )
        return move


_BLACK_NUMBER: Final = "Black's move is numbered where it begins a line or follows a remark"


def _number(board: chess.Board) -> str:
    return f"{board.fullmove_number}{'.' if board.turn else '...'}"


def _spelling_note(written: str, right: str) -> str:
    if "x" in right and "x" not in written:
        return "it captures, and a capture is written with `x`"
    if "x" in written and "x" not in right:
        return "nothing is captured"
    if len(written) > len(right):
        return "the move is clear without the square it comes from"
    return "the square it comes from is told by file first, then by rank"


def _outcome(board: chess.Board, san: str) -> Outcome:
    """Return the outcome after a move whose SAN is known: its last sign settles most of it."""
    if san.endswith("#"):
        return "mate"
    if san.endswith("+"):
        return "check"
    return "" if any(board.generate_legal_moves()) else "stalemate"


@dataclass(frozen=True, slots=True)
class _End:
    """How the main line ends, in words, and the results that fit."""

    words: str
    results: frozenset[str]


def _check_result(board: chess.Board, draft: MovetextDraft, report: Report) -> None:
    if draft.result is None or draft.result_span is None:
        return
    outcome = outcome_of(board)
    if outcome == "mate":
        end = _End("the line ends in mate", frozenset({"0-1" if board.turn else "1-0"}))
    elif outcome == "stalemate":
        end = _End("the line ends in stalemate", frozenset({"1/2-1/2"}))
    elif board.is_insufficient_material():
        end = _End("neither side can give mate any more", frozenset({"1/2-1/2"}))
    else:
        return
    if draft.result not in end.results:
        right = min(end.results)
        report.add(
            "wrong-result",
            draft.result_span,
            f"the result `{draft.result}` contradicts the board",
            notes=(end.words,),
            help=f"write `{right}`",
            repair=Repair(draft.result_span, right),
        )


def _check_ending(board: chess.Board, ends: FenText, report: Report) -> None:
    wanted = ends.fen.split()[:4]
    if wanted[0].count("/") != 7:
        report.add("bad-fen", ends.span, "not a FEN", help=f"it ends in `{board.fen()}`")
        return
    reached = board.fen().split()[:4]
    if wanted[:2] != reached[:2] or (len(wanted) > 2 and wanted[2] != reached[2]):
        report.add(
            "wrong-ending",
            ends.span,
            "the main line does not end in this position",
            notes=(f"it ends in `{board.fen()}`",),
            help="correct the line, or write the position that it reaches",
        )
