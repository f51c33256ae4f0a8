"""Reading one game: every character belongs to a word that is known, or the game is rejected.

What other programs write otherwise than this one is put right and told, change by change. Whether
a move is legal is asked of python-chess; how a file is read is not.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from typing import Final, TypeVar

import chess

from plybook.board.games_in.model import (
    MOST_CHARACTERS,
    Change,
    Drawn,
    Moved,
    RawGame,
    ReadGame,
    Rejected,
)
from plybook.board.games_in.split import TAG
from plybook.board.games_in.start import RefusedError, start_of
from plybook.board.games_in.tokens import COMMAND, DRAWN, PLAIN_SAN, RESULTS, SIGNS, TOKEN
from plybook.diagnostics import shown

__all__ = ["read_game"]

_Value = TypeVar("_Value")
_DEPTH: Final = 16  # how deep variations may be nested, as in a lesson
_SKIPPED: Final = re.compile(r"\s*(?:^[%;][^\n]*|$)", re.M)
_ROW_END: Final = re.compile(r"\n")
_LAST_NAG: Final = 255
#: Tags that mean something here, by their names in small letters: the seven of the PGN standard's
#: roster, and those of its section 9 that name people or tell of the start.
_KNOWN_TAGS: Final = {
    name.casefold(): name
    for name in (
        *("Event", "Site", "Date", "Round", "White", "Black", "Result"),
        *("FEN", "SetUp", "Variant", "ECO", "Opening", "Annotator", "WhiteTeam", "BlackTeam"),
    )
}
_SQUARES: Final = chess.BB_SQUARES


def read_game(raw: RawGame) -> ReadGame | Rejected:
    """Return the game of a text, whole, or why and where it cannot be read."""
    reader = _Reader(raw)
    try:
        if raw.is_cut or len(raw.text) > MOST_CHARACTERS:
            raise RefusedError(f"it has more than {MOST_CHARACTERS // 1024} KiB", 0)
        reader.read_tags()
        return reader.read_moves()
    except RefusedError as refused:
        return Rejected(
            line=raw.line, tags=reader.tags, reason=refused.reason, at=reader.line_at(refused.at)
        )


class _Reader:
    """One game on its way from text to moves."""

    def __init__(self, raw: RawGame) -> None:
        self.text = raw.text
        self.tags: dict[str, str] = {}
        self._replaced: dict[str, list[str]] = {}
        self._first_line = raw.line
        self._at = 0  # where the movetext begins
        self._changes: list[Change] = []
        self._moves: list[Moved] = []
        self._nags: dict[int, list[int]] = {}
        self._before: dict[int, list[str]] = {}
        self._after: dict[int, list[str]] = {}
        self._drawn: dict[int, list[Drawn]] = {}
        self._result = ""
        # Where the next move goes: after which move, how deep, and what waits outside brackets.
        self._parent = 0
        self._depth = 0
        self._is_fresh = True  # no move yet in this game or variation
        self._waiting: list[tuple[chess.Board, int, int]] = []  # board, last move, open bracket
        self._remarks: list[str] = []  # in front of the next move
        self._firsts: dict[int, set[tuple[int, int, int]]] = {}  # moves after one, where several
        self._row_ends: list[int] | None = None

    def line_at(self, offset: int) -> int:
        """Return the line of the file at an offset into the game's text."""
        if self._row_ends is None:
            self._row_ends = [found.start() for found in _ROW_END.finditer(self.text)]
        return self._first_line + bisect_left(self._row_ends, offset)

    def _change(self, kind: str, offset: int, word: str = "") -> None:
        self._changes.append(Change(kind, self.line_at(offset), word))

    # ------------------------------------------------------------------ tags

    def read_tags(self) -> None:
        text, at = self.text, 0
        skipped_lines: list[int] = []
        while True:
            found = TAG.match(text, at)
            if found is not None:
                for offset in skipped_lines:
                    self._change("line-left-out", offset)
                skipped_lines = []
                self._tag(found)
                at = self._at = found.end()
                continue
            skipped = _SKIPPED.match(text, at)
            if skipped is None or skipped.end() == at:
                break
            if skipped[0].strip():
                skipped_lines.append(skipped.end())
            at = skipped.end()
        # Lines behind the last tag belong to the movetext, which knows them too.
        if text[at:].lstrip().startswith("["):
            raise RefusedError('a tag is not written `[Name "value"]`', text.index("[", at))

    def _tag(self, found: re.Match[str]) -> None:
        name = _KNOWN_TAGS.get(found["name"].casefold(), found["name"])
        if name != found["name"]:
            self._change("tag-spelling", found.start("name"), name)
        if name in self.tags:
            self._change("tag-twice", found.start("name"), name)
            self._replaced.setdefault(name, []).append(self.tags[name])
        self.tags[name] = re.sub(r"\\(.)", r"\1", found["value"])

    # ------------------------------------------------------------------ movetext

    def read_moves(self) -> ReadGame:
        board, corrected = start_of(self.tags)
        if corrected:
            self._change("start-position", 0)
        fen = board.fen(en_passant="fen") if "FEN" in self.tags else None
        at, end, match = self._at, len(self.text), TOKEN.match
        while at < end:
            found = match(self.text, at)
            if found is None:  # only space is left
                break
            kind = found.lastindex
            if kind == 1:
                self._move(board, found[1], found.start(1))
            elif kind == 3:
                if self._result:
                    raise RefusedError(f"`{found[3].strip()}` after the result", found.start(3))
                self._number(board, found[3], found.start(3))
            else:
                board = self._other(board, found)
            at = found.end()
        return self._finished(board, fen)

    def _other(self, board: chess.Board, found: re.Match[str]) -> chess.Board:
        """Take a word that is neither move nor number; return the board to go on with."""
        kind = found.lastindex or 0
        word, at = found[kind], found.start(kind)
        if kind == 2:
            self._end(word, at)
        elif kind in (4, 5):
            if kind == 5:
                self._change("line-remark", at)
            self._comment(word, at)
        elif kind == 6:
            return self._open(board, at)
        elif kind == 7:
            return self._close(board, at)
        elif kind in (8, 9, 11):
            self._sign(kind, word, at)
        elif kind == 10:
            self._change("line-left-out", at)
        elif kind == 12:
            self._change("move-spelling", at)
        elif kind == 13:
            raise RefusedError(f"`{shown(word)}` is a null move", at)
        else:
            raise RefusedError(_unknown(word), at)
        return board

    def _move(self, board: chess.Board, text: str, at: int) -> None:
        if self._result:
            raise RefusedError(f"the move `{text}` after the result", at)
        plain = text.rstrip("+#")
        try:
            move = board.parse_san(_usual(plain))
        except ValueError as error:
            what = "ambiguous" if isinstance(error, chess.AmbiguousMoveError) else "illegal"
            raise RefusedError(f"`{shown(text, limit=12)}` is an {what} move", at) from error
        if not move:
            raise RefusedError("a null move", at)
        is_plain = PLAIN_SAN.fullmatch(plain) is not None
        if is_plain:
            # What the form cannot show: a capture without its sign. Pawns must have it to be read.
            takes = bool(_SQUARES[move.to_square] & board.occupied) or plain[0] in "abcdefgh"
            is_plain = not takes or "x" in plain or len(plain) == 2 or plain[2:3] == "="
        if not is_plain and board.san(move).rstrip("+#") != plain:
            self._change("castling" if plain[0] in "Oo0" else "move-spelling", at)
        board.push(move)
        mark = ""
        if board.is_check():
            mark = "+" if any(board.generate_legal_moves()) else "#"
        if text[len(plain) :] != mark:
            self._change("check-mark", at)
        moved = Moved(
            self._parent, self._depth, move.from_square, move.to_square, move.promotion or 0
        )
        if self._depth and self._is_fresh:
            firsts = self._firsts[self._parent]
            if moved[2:] in firsts:
                self._change("variation-joined", at)
            firsts.add(moved[2:])
        self._moves.append(moved)
        self._parent = len(self._moves)
        self._is_fresh = False
        if self._remarks:
            self._before[self._parent] = self._remarks
            self._remarks = []

    def _number(self, board: chess.Board, text: str, at: int) -> None:
        digits = text.rstrip(".… \t")
        if digits and int(digits) != board.fullmove_number:
            self._change("move-number", at)
        elif not board.turn and self._is_fresh and text.endswith(".") and "..." not in text:
            self._change("move-number", at)  # White's form in front of Black's move
        elif board.turn and ("..." in text or "…" in text):
            self._change("move-number", at)

    def _open(self, board: chess.Board, at: int) -> chess.Board:
        if self._is_fresh or self._result:
            raise RefusedError("a variation without a move that it could replace", at)
        if self._depth == _DEPTH:
            raise RefusedError(f"its variations are nested deeper than {_DEPTH}", at)
        self._waiting.append((board, self._parent, at))
        inner = board.copy(stack=1)
        inner.pop()
        replaced = self._moves[self._parent - 1]
        self._parent = replaced.parent
        self._firsts.setdefault(replaced.parent, set()).add(replaced[2:])
        self._depth += 1
        self._is_fresh = True
        return inner

    def _close(self, board: chess.Board, at: int) -> chess.Board:
        if not self._waiting:
            raise RefusedError("`)` closes no variation", at)
        if self._is_fresh:
            self._change("variation-without-moves", at)
            if self._remarks:
                raise RefusedError("a remark in a variation without moves", at)
        outer, self._parent, _ = self._waiting.pop()
        self._depth -= 1
        self._is_fresh = False
        return outer

    def _end(self, word: str, at: int) -> None:
        if self._waiting:
            self._change("result-in-variation", at)
            return
        if self._result:
            raise RefusedError("a second result", at)
        self._result = RESULTS[word]
        if self._result != word:
            self._change("result-spelling", at)

    def _sign(self, kind: int, word: str, at: int) -> None:
        number = int(word.lstrip("0")[:4] or "0") if kind == 8 else SIGNS[word]
        if kind == 11:
            self._change("sign", at)
        if self._is_fresh or not 0 < number <= _LAST_NAG or self._result:
            self._change("sign-left-out", at)
            return
        self._nags.setdefault(self._parent, []).append(number)

    # ------------------------------------------------------------------ comments

    def _comment(self, text: str, at: int) -> None:
        if "[%" in text:
            text = COMMAND.sub(lambda found: self._command(found, at), text)
        words = " ".join(text.split())
        if not words:
            return
        if self._is_fresh:
            self._remarks.append(words)
        else:
            self._after.setdefault(self._parent, []).append(words)

    def _command(self, found: re.Match[str], at: int) -> str:
        """Return what is left of a bracketed command: nothing, but what it draws is kept."""
        name, rest = found[1], found[2].strip()
        pieces = [DRAWN.fullmatch(piece.strip()) for piece in rest.split(",")]
        if name not in ("cal", "csl") or None in pieces:
            self._change("command", at, name)
            return " "
        drawn = [
            Drawn((one[1], one[2]) if one[2] and one[2] != one[1] else (one[1],))
            for one in pieces
            if one is not None
        ]
        if drawn:
            self._change("colour", at)
        self._drawn.setdefault(self._parent, []).extend(drawn)
        return " "

    def _finished(self, board: chess.Board, fen: str | None) -> ReadGame:
        end = len(self.text)
        if self._waiting:
            raise RefusedError("a variation is not closed", self._waiting[0][2])
        if not self._moves:
            raise RefusedError("it has no moves", end)
        told = RESULTS.get(self.tags.get("Result", "*"), "*")
        if not self._result:
            self._change("result-missing", end)
        elif told not in ("*", self._result):
            self._change("result-unlike-tag", end)
        return ReadGame(
            line=self._first_line,
            tags=self.tags,
            replaced_tags={name: tuple(values) for name, values in self._replaced.items()},
            fen=fen,
            moves=tuple(self._moves),
            result=self._result or told,
            nags=_frozen(self._nags),
            before=_frozen(self._before),
            after=_frozen(self._after),
            drawn=_frozen(self._drawn),
            changes=tuple(self._changes),
        )


def _frozen(lists: dict[int, list[_Value]]) -> dict[int, tuple[_Value, ...]]:
    return {number: tuple(values) for number, values in lists.items()}


def _usual(text: str) -> str:
    """Return a move in a spelling that the board understands."""
    if text[0] in "Oo0":
        return "O-O-O" if len(text) == 5 else "O-O"
    if text[0] == "P":
        text = text[1:]
    return text.replace("(", "=").replace(")", "").replace("/", "=")


def _unknown(word: str) -> str:
    if word == "{":
        return "a remark is not closed"
    if word == "}":
        return "`}` closes no remark"
    return f"the word `{shown(word, limit=20)}` is unknown"
