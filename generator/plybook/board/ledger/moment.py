"""One move under study: what was true before it, the standing after it, and the facts found."""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.exchange import exchange_value
from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.men import HOMES, STONES
from plybook.board.ledger.model import Account, Cause, Fact, LedgerSettings, Stone, Wing
from plybook.board.ledger.standing import Hit, Standing
from plybook.board.ledger.swap import Gain, Swap
from plybook.board.model import Ply, Side
from plybook.board.positions import side_name

__all__ = ["SQUARES", "Moment"]

#: The number of each named square.
SQUARES: Final = {name: square for square, name in enumerate(chess.SQUARE_NAMES)}

_KINDS: Final = {letter: kind for kind, letter in enumerate(" pnbrqk") if kind}
_AGAIN: Final = (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN)


class Moment:
    """A move from just before it is made. The standing moves on to the place after it.

    Before: `accounts_before`, `is_opening` (the mover's opening is still counted), `is_again` (a
    piece that has moved), `was_in_check`, `is_recapture`, `value` (what a capture wins, None for no
    capture), `pressed` (the best capture the enemy had of this man, asked only for a piece that
    moves again or a queen, and what stood there), `ways` (squares open to each minor piece at home,
    for a pawn move), `feared` and `feared_mate` (what the enemy threatened, for a pawn move), `hit`
    (the own queen was just hit), `pawn_files` (which sides had pawns on the d-file and the e-file).
    """

    __slots__ = (
        "_prior", "_prior_swap", "accounts_before", "captured", "color", "facts", "feared",
        "feared_mate", "hit", "is_again", "is_first", "is_opening", "is_recapture", "kind",
        "label", "last_move", "man", "move", "origin", "pawn_files", "ply", "pressed", "presser",
        "settings", "side", "standing", "stone", "target", "value", "was_in_check", "ways",
    )  # fmt: skip  # five rows read better than thirty-one

    def __init__(self, standing: Standing, ply: Ply, settings: LedgerSettings) -> None:
        self.standing, self.ply, self.settings = standing, ply, settings
        self.side: Side = ply.mover
        self.color = ply.mover == "white"
        self.origin, self.target = SQUARES[ply.origin], SQUARES[ply.target]
        self.kind = _KINDS[ply.man]
        promotion = None if ply.promotion is None else _KINDS[ply.promotion]
        self.move = chess.Move(self.origin, self.target, promotion)
        self.label = ply.label
        self.facts: list[Fact] = []
        self.accounts_before = standing.accounts
        self.man = standing.men.at[self.origin]
        has_moved = standing.men.has_moved[self.man]
        self.is_first = not has_moved
        self.is_again = has_moved and self.kind in _AGAIN
        self.was_in_check = standing.in_check
        self.is_opening = self.counts_opening_of(self.color)
        self.is_recapture = ply.captured is not None and standing.last_capture == self.target
        self.last_move = standing.last_move
        self.hit: Hit | None = standing.hit
        self.pawn_files = pawn_files(standing.board)
        self.captured: Stone | None = None
        if ply.captured is not None and ply.captured_on is not None:
            taken = _KINDS[ply.captured]
            self.captured = STONES[not self.color][taken][SQUARES[ply.captured_on]]
        self.stone = STONES[self.color][promotion or self.kind][self.target]
        self._prior: chess.Board | None = None
        self._prior_swap: Swap | None = None
        self._look_before()

    def counts_opening_of(self, color: chess.Color) -> bool:
        """Return whether the opening of a side is still counted, before the move."""
        return (
            self.standing.count < self.settings.opening_plies
            and not self.accounts_before[color].is_done
        )

    def _look_before(self) -> None:
        board, color = self.standing.board, self.color
        self.value: int | None = None
        self.pressed: Gain | None = None
        self.presser: Stone | None = None
        self.feared: dict[chess.Square, Gain] = {}
        self.feared_mate = False
        self.ways: dict[chess.Square, int] = {}
        standing = self.standing
        if self.captured is not None:
            if self.ply.promotion or self.ply.captured_on != self.ply.target:
                self.value = exchange_value(board, self.move)
            else:
                self.value = standing.swap.value(self.origin, self.target, is_promotion=False)
        if not self.is_opening:
            return
        self._prior_swap = standing.swap
        if self.kind == chess.PAWN:
            self.ways = open_ways(standing, color)
            if not self.was_in_check:
                self.feared = standing.waiting_profits
                self.feared_mate = standing.waiting_mate is not None
        elif not self.was_in_check and (self.is_again or self.kind == chess.QUEEN):
            self.pressed = standing.swap.best(self.origin, not color)
            if self.pressed is not None:
                square = self.pressed[1]
                self.presser = STONES[not color][standing.swap.kind_at(square)][square]

    @property
    def before(self) -> Account:
        """The mover's account before the move."""
        return self.accounts_before[self.color]

    @property
    def after(self) -> Account:
        """The mover's account after the move."""
        return self.standing.accounts[self.color]

    @property
    def prior(self) -> chess.Board:
        """The board before the move, asked after it."""
        if self._prior is None:
            self._prior = self.standing.board.copy(stack=1)
            self._prior.pop()
        return self._prior

    @property
    def prior_swap(self) -> Swap:
        """The exchanges before the move."""
        if self._prior_swap is None:
            self._prior_swap = Swap(self.prior)
        return self._prior_swap

    def add(
        self,
        kind: FactKind,
        *,
        color: chess.Color | None = None,
        man: Stone | None = None,
        others: tuple[Stone, ...] = (),
        squares: tuple[str, ...] = (),
        files: tuple[str, ...] = (),
        moves: tuple[str, ...] = (),
        wing: Wing | None = None,
        cause: Cause | None = None,
        amount: int | None = None,
        reasons: tuple[Fact, ...] = (),
    ) -> Fact:
        """Note a fact of the mover, or of the side `color`, and return it."""
        side = self.side if color is None else side_name(color)
        fact = Fact(
            kind=kind,
            side=side,
            man=man,
            others=others,
            squares=squares,
            files=files,
            moves=moves,
            wing=wing,
            cause=cause,
            amount=amount,
            reasons=reasons,
        )
        self.facts.append(fact)
        return fact

    def found(self, *kinds: FactKind) -> tuple[Fact, ...]:
        """Return the facts of some kinds that were noted so far, in the order of the kinds."""
        return tuple(fact for kind in kinds for fact in self.facts if fact.kind is kind)


def pawn_files(board: chess.Board) -> tuple[int, int]:
    """Return for the d-file and the e-file who has pawns there: 1 White, 2 Black, 3 both."""
    white = board.pawns & board.occupied_co[chess.WHITE]
    black = board.pawns & board.occupied_co[chess.BLACK]
    return (
        bool(white & chess.BB_FILE_D) | bool(black & chess.BB_FILE_D) << 1,
        bool(white & chess.BB_FILE_E) | bool(black & chess.BB_FILE_E) << 1,
    )


def open_ways(standing: Standing, color: chess.Color) -> dict[chess.Square, int]:
    """Return the number of squares that each minor piece on a home square could go to."""
    board, men = standing.board, standing.men
    own, homes = board.occupied_co[color], HOMES[color]
    found = {}
    for man in men.roster.minors[color]:
        square = men.squares[man]
        if square >= 0 and homes[men.kinds[man]] >> square & 1:
            found[square] = (board.attacks_mask(square) & ~own).bit_count()
    return found
