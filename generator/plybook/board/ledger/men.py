"""Men followed by identity through a line: where each stands, how often it moved, whether it lives.

A man is a number, given in the order of the squares at the start. What never changes about a man is
in the `Roster`, which all places of a line share; what changes is in `Track`, which is cheap to
copy where a line branches.
"""

from __future__ import annotations

from typing import Final

import chess

from plybook.board.ledger.distances import fewest_moves, fewest_pawn_moves
from plybook.board.ledger.model import Stone
from plybook.board.positions import side_name

__all__ = ["GONE", "HOMES", "STONES", "Roster", "Track", "stone_at", "stones"]

#: The square of a captured man.
GONE: Final = -1

#: Home squares by colour (black, white) and kind of man, as masks.
HOMES: Final = tuple(
    {
        chess.PAWN: chess.BB_RANK_2 if color else chess.BB_RANK_7,
        chess.KNIGHT: rank & (chess.BB_FILE_B | chess.BB_FILE_G),
        chess.BISHOP: rank & (chess.BB_FILE_C | chess.BB_FILE_F),
        chess.ROOK: rank & (chess.BB_FILE_A | chess.BB_FILE_H),
        chess.QUEEN: rank & chess.BB_FILE_D,
        chess.KING: rank & chess.BB_FILE_E,
    }
    for color, rank in ((chess.BLACK, chess.BB_RANK_8), (chess.WHITE, chess.BB_RANK_1))
)

#: A stone for every colour (black, white), kind of man (1 to 6) and square.
STONES: Final = tuple(
    tuple(
        tuple(
            Stone(side_name(color), " pnbrqk"[kind], chess.SQUARE_NAMES[square])
            for square in chess.SQUARES
        )
        for kind in range(7)
    )
    for color in (chess.BLACK, chess.WHITE)
)

_MINOR: Final = (chess.KNIGHT, chess.BISHOP)


def stone_at(board: chess.Board, square: chess.Square) -> Stone:
    """Return the man on a square that is not empty."""
    color = board.occupied_co[chess.WHITE] >> square & 1
    return STONES[color][board.piece_type_at(square) or 0][square]


def stones(board: chess.Board, mask: int) -> tuple[Stone, ...]:
    """Return the men on the squares of a mask, a1 first."""
    return tuple(stone_at(board, square) for square in chess.scan_forward(mask))


class Roster:
    """What a line's men are from the start. By man: `colors`, `kinds`, `homes` (the start square),
    `has_moved` (stood off every home square of its kind). By colour: `minors`, `rooks`,
    `centre_pawns` (those of the d-file and e-file), as numbers of men; `missing` (how many minor
    pieces fewer than four there are from the start)."""

    __slots__ = (
        "centre_pawns", "colors", "has_moved", "homes", "kinds", "minors", "missing", "rooks"
    )  # fmt: skip  # one row reads better than eight

    def __init__(self, board: chess.Board) -> None:
        men = sorted(board.piece_map().items())
        self.homes = [square for square, _ in men]
        self.kinds = [piece.piece_type for _, piece in men]
        self.colors = [piece.color for _, piece in men]
        self.has_moved = [
            not HOMES[piece.color][piece.piece_type] >> square & 1 for square, piece in men
        ]
        self.minors = tuple(self._of(color, _MINOR) for color in (chess.BLACK, chess.WHITE))
        self.missing = tuple(max(0, 4 - len(men)) for men in self.minors)
        self.rooks = tuple(self._of(color, (chess.ROOK,)) for color in (chess.BLACK, chess.WHITE))
        self.centre_pawns = tuple(
            tuple(man for man in self._of(color, (chess.PAWN,)) if self.homes[man] & 7 in (3, 4))
            for color in (chess.BLACK, chess.WHITE)
        )

    def _of(self, color: chess.Color, kinds: tuple[chess.PieceType, ...]) -> tuple[int, ...]:
        return tuple(
            man
            for man, kind in enumerate(self.kinds)
            if kind in kinds and self.colors[man] == color
        )


class Track:
    """Where the men of a roster stand at one place.

    By man: `squares` (GONE when captured), `kinds` (another after promotion), `moves`, `has_moved`
    (in this line or, to all appearance, before it), `steps` (the fewest moves to where it stands).
    By colour: `made`, `visible`, `dead` (see model.Tempo).
    """

    __slots__ = (
        "_since", "at", "dead", "has_moved", "kinds", "made", "moves", "roster", "squares",
        "steps", "visible",
    )  # fmt: skip  # two rows read better than eleven

    def __init__(self, roster: Roster) -> None:
        count = len(roster.homes)
        self.roster = roster
        self.at = {square: man for man, square in enumerate(roster.homes)}
        self.squares = list(roster.homes)
        self.kinds = list(roster.kinds)
        self.moves = [0] * count
        self.has_moved = list(roster.has_moved)
        self.steps = [0] * count
        self.made = [0, 0]
        self.visible = [0, 0]
        self.dead = [0, 0]
        self._since: dict[int, tuple[int, int]] = {}  # castled, promoted: square and steps so far

    def copy(self) -> Track:
        """Return an independent copy."""
        twin = Track.__new__(Track)
        twin.roster = self.roster
        twin.at = self.at.copy()
        twin.squares = self.squares.copy()
        twin.kinds = self.kinds.copy()
        twin.moves = self.moves.copy()
        twin.has_moved = self.has_moved.copy()
        twin.steps = self.steps.copy()
        twin.made = self.made.copy()
        twin.visible = self.visible.copy()
        twin.dead = self.dead.copy()
        twin._since = self._since.copy()
        return twin

    def capture(self, square: chess.Square) -> int:
        """Take the man from a square and return its number."""
        man = self.at.pop(square)
        color = self.roster.colors[man]
        self.squares[man] = GONE
        self.dead[color] += self.moves[man]
        self.visible[color] -= self.steps[man]
        return man

    def move(
        self, origin: chess.Square, target: chess.Square, *, promotion: chess.PieceType | None
    ) -> int:
        """Move a man and return its number. The target square must be free by now."""
        man = self.at.pop(origin)
        self.at[target] = man
        self.squares[man] = target
        self.moves[man] += 1
        self.has_moved[man] = True
        color = self.roster.colors[man]
        self.made[color] += 1
        kind = self.kinds[man]
        since = self._since.get(man)
        if since is not None:
            steps = since[1] + fewest_moves(kind, since[0], target)
        elif kind == chess.PAWN:
            steps = fewest_pawn_moves(color, self.roster.homes[man], target)
        else:
            steps = fewest_moves(kind, self.roster.homes[man], target)
        self.visible[color] += steps - self.steps[man]
        self.steps[man] = steps
        if promotion:
            self.kinds[man] = promotion
            self._since[man] = (target, steps)
        return man

    def castle(
        self,
        king: tuple[chess.Square, chess.Square],
        rook: tuple[chess.Square, chess.Square],
    ) -> int:
        """Castle, each man from its square to the other, and return the king's number.

        One move, the king's; both count their further steps from where castling put them.
        """
        man, tower = self.at.pop(king[0]), self.at.pop(rook[0])
        self.at[king[1]], self.at[rook[1]] = man, tower
        self.squares[man], self.squares[tower] = king[1], rook[1]
        self._since[man], self._since[tower] = (king[1], 1), (rook[1], 0)
        self.moves[man] += 1
        self.has_moved[man] = True
        color = self.roster.colors[man]
        self.made[color] += 1
        self.visible[color] += 1
        self.steps[man] = 1
        return man
