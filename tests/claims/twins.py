"""Slow, obvious twins of the definitions, from the Laws and from what the sentences say.

They use the library for legality and for making moves alone: no attack tables, no cut-offs, no
memory. Values of men: 1 3 3 5 9.
"""

from __future__ import annotations

from collections.abc import Iterator

import chess

WORTH = {1: 1, 2: 3, 3: 3, 4: 5, 5: 9, 6: 0}
STRAIGHT = ((1, 0), (-1, 0), (0, 1), (0, -1))
DIAGONAL = ((1, 1), (1, -1), (-1, 1), (-1, -1))
LEAPS = ((1, 2), (2, 1), (-1, 2), (-2, 1), (1, -2), (2, -1), (-1, -2), (-2, -1))


def steps(square: int, direction: tuple[int, int]) -> Iterator[int]:
    """Yield the squares from a square on, in one direction, to the edge."""
    file, rank = square % 8 + direction[0], square // 8 + direction[1]
    while 0 <= file < 8 and 0 <= rank < 8:
        yield 8 * rank + file
        file, rank = file + direction[0], rank + direction[1]


def attacked_from(men: dict[int, chess.Piece], square: int) -> set[int]:
    """Return the squares that the man on `square` attacks (Laws of Chess, 3.1 to 3.8)."""
    man = men[square]
    match man.piece_type:
        case chess.PAWN:
            ahead = 1 if man.color else -1
            return {s for d in ((1, ahead), (-1, ahead)) for s in list(steps(square, d))[:1]}
        case chess.KNIGHT:
            return {s for d in LEAPS for s in list(steps(square, d))[:1]}
        case chess.KING:
            return {s for d in STRAIGHT + DIAGONAL for s in list(steps(square, d))[:1]}
    directions = {3: DIAGONAL, 4: STRAIGHT, 5: STRAIGHT + DIAGONAL}[man.piece_type]
    found = set()
    for direction in directions:
        for step in steps(square, direction):
            found.add(step)
            if step in men:
                break
    return found


def attackers(men: dict[int, chess.Piece], color: bool, square: int) -> set[int]:
    """Return where the men of a side stand that attack a square."""
    return {s for s, man in men.items() if man.color == color and square in attacked_from(men, s)}


def attackers_behind(men: dict[int, chess.Piece], color: bool, square: int) -> set[int]:
    """Return the men that attack a square once those in front of them have left, layer by layer."""
    left = dict(men)
    found: set[int] = set()
    while layer := attackers(left, color, square):
        found |= layer
        left = {s: man for s, man in left.items() if s not in layer}
    return found - attackers(men, color, square)


# ------------------------------------------------------------------ exchanges


def won_by(board: chess.Board, move: chess.Move) -> int:
    """Return what a move takes and promotes to, counted on the board before and after."""
    after = board.copy()
    after.push(move)
    return standing(after, board.turn) - standing(board, board.turn)


def standing(board: chess.Board, color: bool) -> int:
    """Return the worth of a side's men less that of the other's."""
    return sum(
        WORTH[man.piece_type] * (1 if man.color == color else -1)
        for man in board.piece_map().values()
    )


def exchange(board: chess.Board, move: chess.Move) -> int:
    """Return what a move wins when both sides then capture on its square, or stop, at best."""
    gain = won_by(board, move)
    after = board.copy()
    after.push(move)
    replies = [m for m in after.legal_moves if m.to_square == move.to_square]
    return gain - max([0] + [exchange(after, reply) for reply in replies])


def turned(board: chess.Board, color: bool) -> chess.Board | None:
    """Return the position with a side to move; None where the other one's king could be taken."""
    other = board.copy(stack=False)
    if board.turn != color:
        other.turn = color
        other.ep_square = None
    kings = [s for s, man in other.piece_map().items() if man == chess.Piece(6, not color)]
    men = other.piece_map()
    if board.turn != color and any(attackers(men, color, king) for king in kings):
        return None
    return other


def loss_on(board: chess.Board, square: int) -> int:
    """Return what the man on a square loses to the best capture of it, 0 when none profits.

    -1 where it cannot be asked.
    """
    man = board.piece_at(square)
    assert man is not None
    other = turned(board, not man.color)
    if other is None:
        return -1
    values = [0]
    for move in other.legal_moves:
        after = other.copy()
        after.push(move)
        taken = after.piece_at(square) is None or after.color_at(square) != man.color
        if taken:
            values.append(exchange(other, move))
    return max(values)


# ------------------------------------------------------------------ mate and material


def mates_within(board: chess.Board, moves: int) -> bool:
    """Return whether the side to move mates in at most so many moves: all moves, all replies."""
    if moves == 0:
        return False
    return any(mated_within(after, moves - 1) for after in afters(board))


def mated_within(board: chess.Board, moves: int) -> bool:
    """Return whether the side to move is mated, or will be in so many moves whatever it does."""
    if board.is_checkmate():
        return True
    replies = afters(board)
    return bool(replies) and moves > 0 and all(mates_within(after, moves) for after in replies)


def afters(board: chess.Board) -> list[chess.Board]:
    """Return the positions after each legal move."""
    found = []
    for move in board.legal_moves:
        after = board.copy(stack=False)
        after.push(move)
        found.append(after)
    return found


def quiet_value(board: chess.Board) -> int:
    """Return the balance of the side to move when only captures, promotions, evasions follow."""
    if board.is_checkmate():
        return -1000
    if board.is_check():
        moves, values = list(board.legal_moves), []
    else:
        moves = [m for m in board.legal_moves if board.is_capture(m) or m.promotion]
        values = [standing(board, board.turn)]
    for move in moves:
        after = board.copy(stack=False)
        after.push(move)
        values.append(-quiet_value(after))
    return max(values)


def value(board: chess.Board, depth: int, level: int) -> int:
    """Return the value of a position by trying everything; `level` is White's in a stalemate."""
    if depth == 0:
        return quiet_value(board)
    if board.is_checkmate():
        return -1000
    if not any(board.legal_moves):
        return level if board.turn else -level
    return max(-value(after, depth - 1, level) for after in afters(board))


# ------------------------------------------------------------------ lines of men


def pins(board: chess.Board) -> set[tuple[int, int, int, str]]:
    """Return every pin of a position: pinner, pinned, behind, kind."""
    men = board.piece_map()
    found = set()
    for pinner, pinned, behind in _trios(men):
        if men[pinned].color == men[pinner].color or men[behind].color == men[pinner].color:
            continue
        if men[behind].piece_type == chess.KING:
            found.add((pinner, pinned, behind, "absolute"))
        elif WORTH[men[behind].piece_type] > WORTH[men[pinned].piece_type] and (
            _wins_without(board, pinner, pinned, behind)
        ):
            found.add((pinner, pinned, behind, "relative"))
    return found


def skewers(board: chess.Board) -> set[tuple[int, int, int]]:
    """Return every skewer: slider, front, behind."""
    men = board.piece_map()
    found = set()
    for slider, front, behind in _trios(men):
        if men[front].color == men[slider].color or men[behind].color == men[slider].color:
            continue
        is_king = men[front].piece_type == chess.KING
        if not is_king:
            other = turned(board, men[slider].color)
            move = chess.Move(slider, front)
            if WORTH[men[front].piece_type] <= WORTH[men[behind].piece_type]:
                continue
            if other is None or move not in other.legal_moves or exchange(other, move) <= 0:
                continue
        if _wins_without(board, slider, front, behind):
            found.add((slider, front, behind))
    return found


def _trios(men: dict[int, chess.Piece]) -> Iterator[tuple[int, int, int]]:
    """Yield a bishop, rook or queen and the next two men before it, in each of its directions."""
    for square, man in men.items():
        directions = {3: DIAGONAL, 4: STRAIGHT, 5: STRAIGHT + DIAGONAL}.get(man.piece_type, ())
        for direction in directions:
            met = [step for step in steps(square, direction) if step in men]
            if len(met) >= 2:
                yield square, met[0], met[1]


def _wins_without(board: chess.Board, slider: int, front: int, behind: int) -> bool:
    bare = board.copy(stack=False)
    color = bare.color_at(slider)
    assert color is not None
    bare.remove_piece_at(front)
    other = turned(bare, color)
    move = chess.Move(slider, behind)
    return other is not None and move in other.legal_moves and exchange(other, move) > 0
