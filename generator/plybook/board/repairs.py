"""Repairs for a move that cannot be played: each one offered has been played on the board."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import chess

from plybook.text.notation import FIGURINES, LOOK_ALIKES, languages_of, oddity, piece_name

__all__ = ["Reading", "legal_sans", "near_moves", "plays_on", "readings"]

_LONG = re.compile(r"([KQRBN]?)([a-h][1-8])[-x:]?([a-h][1-8])(?:[=/(]?([QRBNqrbn])\)?)?([+#]*)")
_PROMOTION = re.compile(r"((?:[a-h]x?)?[a-h][18])[=/(]?([QRBNqrbn])\)?([+#]*)")
_LONG_MARK: Final = "from-to "  # a rewrite that names both squares, not SAN
_TAIL: Final = 60  # plies of the rest of a line that a repair is played through


@dataclass(frozen=True, slots=True)
class Reading:
    """A legal move that a wrongly written word stands for, and why it is wrong as written."""

    san: str
    why: str
    code: str  # the diagnostic it deserves

    @property
    def is_notation(self) -> bool:
        """Whether only the spelling differs; a letter of another language may mean two men."""
        return self.code != "foreign-letter"


def readings(board: chess.Board, text: str) -> tuple[Reading, ...]:
    """Return every legal move that `text` denotes in another notation, without repeats.

    Other notations: those of the Laws of Chess, Appendix C (`0-0`, `e.p.`, `d8Q`, long form),
    lower-case piece letters, figurines, characters that look alike, letters of other languages.
    """
    found: dict[str, Reading] = {}
    for candidate, why, code in _rewrites(text):
        san = _canonical(board, candidate)
        if san and san not in found:
            found[san] = Reading(san, why, code)
    return tuple(found.values())


def _rewrites(text: str) -> list[tuple[str, str, str]]:
    """Return candidate spellings of `text`, each with the reason it is not one already."""
    plain = "".join(LOOK_ALIKES.get(character, character) for character in text)
    if not plain:  # nothing in it can be seen
        return []
    rewrites = []
    name = oddity(text)
    if name:
        rewrites.append((plain, name, "look-alike"))
        rewrites += [(more, name, "look-alike") for more, _, _ in _notations(plain)]
    rewrites += _notations(text)
    letter = plain[:1]
    for pgn, names in languages_of(letter).items():
        who = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
        why = f"`{letter}` is the {piece_name(pgn)} in {who}"
        rewrites.append((pgn + plain[1:], why, "foreign-letter"))
    return rewrites


def _notations(text: str) -> list[tuple[str, str, str]]:
    rewrites = []

    def offer(candidate: str, why: str) -> None:
        if candidate != text:
            rewrites.append((candidate, why, "not-canonical"))

    zeros = re.fullmatch(r"[0oO]-[0oO](-[0oO])?([+#]*)", text)
    if zeros:
        offer(("O-O-O" if zeros[1] else "O-O") + zeros[2], "castling is written with the letter O")
    figurine = FIGURINES.get(text[:1])
    if figurine:
        offer(("" if figurine == "P" else figurine) + text[1:], "figurines are for print")
    offer(re.sub(r"(?<=[a-h1-8KQRBN])[:](?=[a-h])", "x", text), "a capture is written `x`")
    offer(re.sub(r"\s*e\.?p\.?", "", text), "`e.p.` is not written")
    offer(re.sub(r"\+\+$", "+", text), "double check is written `+`, mate `#`")
    offer(re.sub(r"(?:\+\+|mate|x)$", "#", text), "mate is written `#`")
    offer(re.sub(r"(?:ch\.?|†)$", "+", text), "check is written `+`")
    if text[:1] in "kqrbn":
        offer(text[0].upper() + text[1:], "piece letters are capitals")
    offer(re.sub(r"^([a-h])(?=[a-h][1-8])", r"\1x", text), "a pawn's capture is written `exd6`")
    if text[:1] == "P":
        offer(text[1:], "a pawn has no letter")
    promotion = _PROMOTION.fullmatch(text)
    if promotion:
        offer(f"{promotion[1]}={promotion[2].upper()}{promotion[3]}", "promotion is written `=Q`")
    long = _LONG.fullmatch(text)
    if long:
        why = "the square a man leaves is written only when needed"
        rewrites.append((f"{_LONG_MARK}{text}", why, "not-canonical"))
    return rewrites


def _canonical(board: chess.Board, candidate: str) -> str | None:
    """Return the SAN of the one legal move that `candidate` denotes, or None."""
    if candidate.startswith(_LONG_MARK):
        return _from_long(board, candidate.removeprefix(_LONG_MARK))
    if not candidate or candidate in {"--", "Z0"}:
        return None
    try:
        move = board.parse_san(candidate)
    except ValueError:
        return None
    return board.san(move) if move else None


def _from_long(board: chess.Board, text: str) -> str | None:
    found = _LONG.fullmatch(text)
    assert found
    letter, origin, target, promotion, _ = found.groups()
    if origin == target:
        return None
    move = chess.Move.from_uci(f"{origin}{target}{(promotion or '').lower()}")
    if not board.is_legal(move):
        return None
    man = board.piece_at(move.from_square)
    if letter and (man is None or man.symbol().upper() != letter):
        return None
    return board.san(move)


def legal_sans(board: chess.Board) -> dict[str, chess.Move]:
    """Return every legal move by its SAN, in alphabetical order."""
    return dict(sorted((board.san(move), move) for move in board.legal_moves))


def near_moves(board: chess.Board, text: str, rest: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return legal moves near a wrong one: those after which the rest plays on, and the others.

    `rest` is the line's continuation as written. Each list is ordered by likeness, at most four.
    """
    legal = legal_sans(board)
    target = re.search(r"[a-h][1-8](?=[^a-h1-8]*$)", text)
    letter = text[:1] if text[:1] in "KQRBN" else ""

    def likeness(san: str) -> tuple[float, str]:
        score = difflib.SequenceMatcher(None, san.rstrip("+#"), text.rstrip("+#")).ratio()
        if target and target[0] in san:
            score += 0.5
        if letter and san.startswith(letter):
            score += 0.3
        return (-score, san)

    ranked = [san for san in sorted(legal, key=likeness)[:12] if -likeness(san)[0] >= 0.75]
    through = [san for san in ranked if rest and plays_on(board, legal[san], rest)]
    others = [san for san in ranked if san not in through]
    return through[:4], others[:4]


def plays_on(board: chess.Board, move: chess.Move, rest: Sequence[str]) -> bool:
    """Return whether the rest of a line is legal after `move`, in this notation or another."""
    trial = board.copy(stack=False)
    trial.push(move)
    for text in rest[:_TAIL]:
        try:
            trial.push_san(text)
        except ValueError:
            found = [reading for reading in readings(trial, text) if reading.is_notation]
            if len(found) != 1:
                return False
            trial.push_san(found[0].san)
    return True
