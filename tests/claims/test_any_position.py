"""Any sentence about any position gets a verdict that can be printed, kept and stepped through."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import chess

from claims import twins
from claims.claim_positions import few_men, games, hunted, real
from claims.claim_stand import claim_of
from plybook.board.claims import Budget, MoveSaid, Reach, Verdict, VerdictCache
from plybook.board.claims.question import Question
from plybook.board.claims.settle import settle_question
from plybook.board.positions import position_key
from plybook.text.claim_patterns import ENGLISH, Pattern

SMALL = Budget(mate_nodes=2000, search_nodes=4000, lines_depth=1)
MEN = ("pawn", "knight", "bishop", "rook", "queen", "king")


class Sentences:
    """Writes sentences of a pattern about a position: mostly of its moves and men."""

    def __init__(self, seed: int) -> None:
        self._source = random.Random(seed)

    def write(self, pattern: Pattern, board: chess.Board) -> str:
        words = pattern.words
        while "{" in words:
            start, _, rest = words.partition("{")
            slot, _, rest = rest.partition("}")
            words = start + self._slot(slot.split(":")[1], board) + rest
        return words

    def _slot(self, kind: str, board: chess.Board) -> str:
        pick = self._source.choice
        match kind:
            case "square":
                return self._square(board)
            case "squares" | "several":
                return f"{self._square(board)} and {self._square(board)}"
            case "move" | "moves" | "tried":
                return self._move(board, is_long=kind == "tried" and self._source.random() < 0.5)
            case "run":
                return ""
            case "side":
                return pick(("White", "Black"))
            case "man":
                return pick(MEN)
            case "wing":
                return pick(tuple(ENGLISH.wings))
            case "pin":
                return pick(("absolute", "relative"))
            case "times":
                return f"{self._source.randrange(4)} times"
            case "minors":
                return f"{self._source.randrange(5)} minor pieces"
            case "tempi":
                return f"{self._source.randrange(3)} tempi"
            case "words":
                return "it is level"
            case _:
                return str(self._source.randint(1, 2))

    def _square(self, board: chess.Board) -> str:
        men = sorted(board.piece_map())
        if men and self._source.random() < 0.85:
            return chess.SQUARE_NAMES[self._source.choice(men)]
        return self._source.choice(chess.SQUARE_NAMES)

    def _move(self, board: chess.Board, *, is_long: bool) -> str:
        moves = list(board.legal_moves) or [chess.Move.from_uci("e2e4")]
        if is_long:
            moves = list(board.pseudo_legal_moves) or moves
        move = self._source.choice(moves)
        if is_long or not board.is_legal(move):
            sign = "x" if board.is_capture(move) else "-"
            tail = f"={chess.piece_symbol(move.promotion).upper()}" if move.promotion else ""
            return f"{move.uci()[:2]}{sign}{move.uci()[2:4]}{tail}" if is_long else "e4"
        dots = "." if board.turn else "..."
        return f"{board.fullmove_number}{dots}{board.san(move)}"


def boards(seed: int) -> Iterator[chess.Board]:
    yield from games(12, seed=seed)
    yield from few_men(40, seed=seed)
    yield from hunted(30, seed=seed)
    yield from real(8, seed=seed)


def partial_boards() -> Iterator[chess.Board]:
    """Boards that lessons only show: without kings, with one, empty."""
    for fen in (
        "8/8/8/3n4/8/8/8/8",
        "8/8/8/8/8/8/3R4/8",
        "8/8/2q5/8/4N3/8/8/k7",
        "8/8/8/8/8/8/8/8",
    ):
        for turn in "wb":
            yield chess.Board(f"{fen} {turn} - - 0 1")


def test_every_sentence_gets_a_verdict_that_can_be_kept(tmp_path: Path) -> None:
    sentences = Sentences(2)
    met: dict[Reach, int] = dict.fromkeys(Reach, 0)
    kept = {}
    for board in [*boards(2), *partial_boards()]:
        for pattern in ENGLISH.patterns:
            sentence = sentences.write(pattern, board)
            verdict = settle_question(_question(sentence, board), SMALL)
            met[verdict.reach] += 1
            assert "  " not in verdict.text, (sentence, verdict.text)
            assert len(verdict.text) < 400, (sentence, verdict.text)
            if verdict.reach is not Reach.COACHS_WORD:
                assert verdict.text, (sentence, board.fen())
            kept[f"{len(kept):064x}"] = verdict
    assert all(met.values()), met
    path = tmp_path / "verdicts.json"
    VerdictCache(kept).write(path)
    again = VerdictCache.read(path)
    assert {key: again.get(key) for key in kept} == kept


def _question(sentence: str, board: chess.Board) -> Question:
    first = next(iter(board.legal_moves), None)
    book = ((position_key(board), (first.uci(),)),) if first else ()
    return Question(claim=claim_of(sentence), start=board.fen(), played=(), book=book)


def test_every_answer_is_made_of_legal_moves() -> None:
    sentences = Sentences(5)
    met = 0
    for board in boards(5):
        for pattern in ENGLISH.patterns:
            sentence = sentences.write(pattern, board)
            verdict = settle_question(_question(sentence, board), SMALL)
            if verdict.counter:
                assert _plays(board, verdict), (sentence, board.fen(), verdict)
                met += 1
    assert met > 150


def _plays(board: chess.Board, verdict: Verdict) -> bool:
    """Return whether the answer can be played here, or after a pass."""
    for start in (board, twins.turned(board, not board.turn)):
        trial = None if start is None else start.copy(stack=False)
        if trial is not None and all(_play(trial, move) for move in verdict.counter):
            return True
    return False


def _play(board: chess.Board, said: MoveSaid) -> bool:
    move = chess.Move.from_uci(said.uci)
    if move not in board.legal_moves or board.san(move) != said.san:
        return False
    board.push(move)
    return True
