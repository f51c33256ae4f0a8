"""The strict movetext reader: every character belongs to a token or is an error.

It knows the form of movetext (PGN standard of 1994-03-12, section 8.2) and no chess: whether a
word is a move is decided on the board. Brackets, comments, numbers, glyphs and the result are
settled here.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field

from plybook.diagnostics import Report, Span, shown
from plybook.text import tokens
from plybook.text.model import Comment, MoveNumber, MovetextDraft, PlyDraft, VariationDraft
from plybook.text.movetext_faults import WORDS
from plybook.text.source import Excerpt

__all__ = ["read_movetext"]

CommentReader = Callable[[Excerpt], Comment]


def read_movetext(
    excerpt: Excerpt, *, read_comment: CommentReader, report: Report
) -> MovetextDraft:
    """Return the moves of `excerpt` as written, faults reported at their tokens.

    `read_comment` turns the text between two braces into a `Comment`.
    """
    return _Reader(excerpt, read_comment, report).read()


@dataclass(slots=True)
class _Ply:
    """A ply while its comments and variations are still being read."""

    text: str
    start: int
    end: int
    number: MoveNumber | None
    before: list[Comment]
    nags: list[int] = field(default_factory=list)
    comments: list[Comment] = field(default_factory=list)
    variations: list[VariationDraft] = field(default_factory=list)


@dataclass(slots=True)
class _Frame:
    """One open line: the main line or a variation."""

    opened_at: int
    plies: list[_Ply] = field(default_factory=list)
    pending: list[Comment] = field(default_factory=list)  # comments before the next ply
    is_discarded: bool = False  # a variation that replaces nothing


class _Reader:
    def __init__(self, excerpt: Excerpt, read_comment: CommentReader, report: Report) -> None:
        self._excerpt = excerpt
        self._read_comment = read_comment
        self._report = report
        self._frames = [_Frame(0)]
        self._number: MoveNumber | None = None
        self._result: tuple[str, int, int] | None = None
        self._moves = 0
        self._stopped = False
        self._after_variation = False

    def read(self) -> MovetextDraft:
        text = self._excerpt.text
        at = 0
        while at < len(text) and not self._stopped:
            found = tokens.TOKEN.match(text, at)
            assert found  # the last branch of the pattern takes any character
            kind = found.lastgroup
            if kind == "space":
                at = found.end()
                continue
            at = getattr(self, f"_take_{kind}")(found.group(), at)
        self._close_open_ends()
        main = self._freeze(self._frames[0], len(text))
        result = self._result
        return MovetextDraft(
            main=main,
            result=result[0] if result else None,
            result_span=self._excerpt.span(result[1], result[2]) if result else None,
            is_whole=not self._stopped,
        )

    # ---------------------------------------------------------------- tokens

    def _take_comment(self, token: str, at: int) -> int:
        end = at + len(token)
        if len(token) > tokens.COMMENT_LIMIT:
            self._fault("comment-too-long", at, at + 1, len(token), tokens.COMMENT_LIMIT)
            return end
        self._reject_dangling_number()
        comment = self._read_comment(self._excerpt.part(at + 1, end - 1))
        frame = self._frames[-1]
        if frame.plies and not self._after_variation:
            frame.plies[-1].comments.append(comment)
        else:
            frame.pending.append(comment)
        return end

    def _take_open(self, token: str, at: int) -> int:
        self._reject_dangling_number()
        frame = self._frames[-1]
        new = _Frame(at)
        if frame.is_discarded:
            new.is_discarded = True
        elif not frame.plies:
            self._fault("misplaced-variation", at, at + 1)
            new.is_discarded = True
        elif len(self._frames) > tokens.DEPTH_LIMIT:
            self._fault("variation-too-deep", at, at + 1, tokens.DEPTH_LIMIT)
            new.is_discarded = True
        if self._result:
            self._reject_after_result()
        self._frames.append(new)
        self._after_variation = False
        return at + 1

    def _take_close(self, token: str, at: int) -> int:
        self._reject_dangling_number()
        if len(self._frames) == 1:
            return self._stray_ends("stray-variation-end", token, at)
        frame = self._frames.pop()
        if not frame.plies and not frame.is_discarded:
            self._fault("empty-variation", frame.opened_at, at + 1)
        elif not frame.is_discarded:
            self._frames[-1].plies[-1].variations.append(self._freeze(frame, at + 1))
        self._after_variation = True
        return at + 1

    def _stray_ends(self, key: str, token: str, at: int) -> int:
        """Report brackets that close nothing, those next to each other as one; return their end."""
        text = self._excerpt.text
        end = at + 1
        while text[end : end + 1] == token:
            end += 1
        self._fault(key, at, end)
        return end

    def _take_nag(self, token: str, at: int) -> int:
        end = at + len(token)
        digits = token[1:]
        frame = self._frames[-1]
        if not digits or len(digits) > 3 or int(digits) > 255:
            self._fault("bad-nag", at, end, token)
        elif not frame.plies or self._number or self._after_variation:
            self._fault("misplaced-glyph", at, end, token)
        else:
            frame.plies[-1].nags.append(int(digits))
        return end

    def _take_other(self, token: str, at: int) -> int:
        if token == "{":
            return self._broken_comment(at)
        if token == "}":
            return self._stray_ends("stray-comment-end", token, at)
        if token == ";":
            return self._unread_line("line-comment", at)
        name = unicodedata.name(token, f"U+{ord(token):04X}").lower()
        self._fault("stray-character", at, at + 1, name)
        return at + 1

    def _broken_comment(self, at: int) -> int:
        """Report a `{` that is not closed, or holds another `{`; return where to go on."""
        text = self._excerpt.text
        depth, end = 1, at + 1
        while end < len(text) and depth:
            depth += {"{": 1, "}": -1}.get(text[end], 0)
            end += 1
        if depth:
            self._fault("unclosed-comment", at, at + 1)
            self._stopped = True
            return len(text)
        inner = text.index("{", at + 1)
        self._fault("nested-comment", inner, inner + 1)
        return end

    # ---------------------------------------------------------------- words

    def _take_word(self, token: str, at: int) -> int:
        end = at + len(token)
        if token in tokens.RESULTS:
            self._take_result(token, at)
            return end
        if token[0] == "%" and self._excerpt.text[at - 1 : at] in ("", "\n"):
            return self._unread_line("escape-line", at)
        if token[0] in "0123456789.…":
            number = tokens.NUMBER.match(token)
            if number:
                # Whatever a file can hold ends before move 100,000: what is cut off was wrong.
                self._take_number(int(number[1][:6]), number[2] == ".", at, at + number.end())
                return at + number.end()
            if not tokens.RESULT_LIKE.fullmatch(token) and not tokens.CASTLING_LIKE.match(token):
                return self._number_like(token, at)
        if tokens.RESULT_LIKE.fullmatch(token):
            self._fault("unknown-result", at, end, token)
            return end
        self._take_move(token, at)
        return end

    def _unread_line(self, key: str, at: int) -> int:
        """Report text that hides the rest of its line: what it hides may matter to what follows."""
        text = self._excerpt.text
        end = text.find("\n", at)
        self._fault(key, at, len(text) if end < 0 else end)
        self._stopped = True
        return len(text)

    def _number_like(self, token: str, at: int) -> int:
        found = tokens.NUMBER_LIKE.match(token)
        length = max(found.end() if found else 0, 1)
        written = token[:length]
        if not re.fullmatch(r"[0-9]*[.…]*", written):
            self._take_move(token, at)
            return at + len(token)
        digits = re.match(r"[0-9]*", written)
        value = digits[0] if digits else ""
        black = len(written) - len(value) >= 2 or "…" in written
        shape = f"{value or '4'}{'...' if black else '.'}"
        self._fault("number-form", at, at + length, written, shape)
        if value:
            self._number = MoveNumber(
                value=None, is_white=not black, span=self._excerpt.span(at, at + length)
            )
        return at + length

    def _take_number(self, value: int, is_white: bool, at: int, end: int) -> None:
        if self._result:
            self._reject_after_result()
            return
        self._reject_dangling_number()
        self._number = MoveNumber(value=value, is_white=is_white, span=self._excerpt.span(at, end))

    def _take_result(self, token: str, at: int) -> None:
        self._reject_dangling_number()
        end = at + len(token)
        if len(self._frames) > 1:
            self._fault("misplaced-result/inside", at, end, token)
        elif self._result:
            self._fault("misplaced-result/second", at, end)
        else:
            self._result = (token, at, end)

    def _take_move(self, token: str, at: int) -> None:
        if tokens.PASSING.fullmatch(token) and self._frames[-1].plies and not self._number:
            self._fault("not-canonical", at, at + len(token), token)
            return
        glyph = tokens.GLYPH.search(token)
        text = token[: glyph.start()] if glyph else token
        end = at + len(text)
        if self._result:
            self._reject_after_result()
            return
        if not text:
            self._fault("misplaced-glyph/apart", at, at + len(token), token)
            return
        if self._ends_reading(text, at, end):
            return
        frame = self._frames[-1]
        ply = _Ply(text, at, end, self._number, frame.pending)
        frame.pending, self._number, self._after_variation = [], None, False
        frame.plies.append(ply)
        if glyph:
            self._take_glyph(ply, glyph[0], end)

    def _ends_reading(self, text: str, at: int, end: int) -> bool:
        """Report a null move or one move too many: nothing behind either can be read."""
        if text in tokens.NULL_MOVES:
            self._fault("null-move", at, end, text)
            self._stopped = True
        self._moves += 1
        if self._moves > tokens.MOVE_LIMIT:
            self._fault("too-many-moves", at, end, tokens.MOVE_LIMIT)
            self._stopped = True
        return self._stopped

    def _take_glyph(self, ply: _Ply, glyph: str, at: int) -> None:
        if glyph in tokens.GLYPHS:
            ply.nags.append(tokens.GLYPHS[glyph])
            return
        self._fault("bad-nag/glyph", at, at + len(glyph), glyph)

    # ---------------------------------------------------------------- ends

    def _reject_after_result(self) -> None:
        """Report the result that more movetext follows, once."""
        assert self._result
        token, start, stop = self._result
        self._fault("misplaced-result", start, stop, token)

    def _reject_dangling_number(self) -> None:
        if self._number is None:
            return
        span = self._number.span
        self._report_at("dangling-number", span)
        self._number = None

    def _close_open_ends(self) -> None:
        if not self._stopped:
            self._reject_dangling_number()
            still_open = self._frames[1:]
            if still_open and not still_open[-1].is_discarded:  # its fault is reported
                opened_at = still_open[0].opened_at
                self._fault("unclosed-variation", opened_at, opened_at + 1)
        self._stopped = self._stopped or len(self._frames) > 1
        main = self._frames[0]
        if main.pending and not main.plies and not self._stopped:
            self._report_at("empty-block", main.pending[0].span)

    def _freeze(self, frame: _Frame, end: int) -> VariationDraft:
        span = self._excerpt.span
        if frame.pending and frame.plies:
            frame.plies[-1].comments.extend(frame.pending)
        plies = tuple(
            PlyDraft(
                text=ply.text,
                span=span(ply.start, ply.end),
                number=ply.number,
                nags=tuple(ply.nags),
                comments_before=tuple(ply.before),
                comments=tuple(ply.comments),
                variations=tuple(ply.variations),
            )
            for ply in frame.plies
        )
        return VariationDraft(plies=plies, span=span(frame.opened_at, end))

    def _fault(self, key: str, start: int, end: int, *values: object) -> None:
        """Report the fault `key` of movetext_faults.py at `text[start:end]`."""
        self._report_at(key, self._excerpt.span(start, end), *values)

    def _report_at(self, key: str, span: Span, *values: object) -> None:
        message, advice, note = (
            words.format(*(shown(str(value)) for value in values)) for words in WORDS[key]
        )
        self._report.add(
            key.partition("/")[0],
            span,
            message,
            notes=(note,) if note else (),
            help=advice or (),
        )
