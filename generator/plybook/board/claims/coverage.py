"""Proof through the lines given: every legal reply is answered by the lesson or by search."""

from __future__ import annotations

from dataclasses import dataclass, field

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.material import MaterialSearch, balance_of
from plybook.board.claims.mates import MateProver
from plybook.board.claims.model import CannotAskError, Evidence, Reach, Verdict
from plybook.board.claims.winning import search_for
from plybook.board.claims.words import listed, say, say_line
from plybook.board.positions import position_key
from plybook.text.claim_model import WinsByLines

__all__ = ["Cover", "settle_wins_by_lines"]

_QUICK_MATE = 2  # moves: a mate so near closes a reply whatever the material


@dataclass(slots=True)
class Cover:
    """A proof through a book of moves, while it is being made.

    `gaps` holds the ways to the replies that nothing answers (or to a stalemate), as moves from
    the claim's position;
    `replies` counts the replies to the coach's moves, `searched` those closed by search alone.
    `depth` is the deepest search that was needed, in plies after the reply.
    """

    book: dict[bytes, tuple[str, ...]]
    target: int  # the balance to reach, from the view of the side that claims
    depth_limit: int
    search: MaterialSearch
    prover: MateProver
    replies: int = 0
    searched: int = 0
    depth: int = 0
    gaps: list[tuple[chess.Move, ...]] = field(default_factory=list)
    _open: set[bytes] = field(default_factory=set)

    def attack(self, board: chess.Board, path: tuple[chess.Move, ...]) -> bool:
        """Return whether the claiming side, to move, reaches its target.

        The coach's moves are tried in their order, then search. What the first of them leaves
        open is kept as gaps.
        """
        key = position_key(board)
        if key in self._open:
            return False  # a repetition proves nothing
        self._open.add(key)
        found = self._by_book(board, key, path) or self._by_search(board)
        self._open.discard(key)
        return found

    def _by_book(self, board: chess.Board, key: bytes, path: tuple[chess.Move, ...]) -> bool:
        for at, uci in enumerate(self.book.get(key, ())):
            before = len(self.gaps)
            move = chess.Move.from_uci(uci)
            board.push(move)
            is_closed = self.defend(board, (*path, move))
            board.pop()
            if is_closed:
                return True
            if at:
                del self.gaps[before:]
        return False

    def defend(self, board: chess.Board, path: tuple[chess.Move, ...]) -> bool:
        """Return whether every legal reply is answered. Mate answers them all; stalemate, none."""
        replies = list(board.legal_moves)
        if not replies:
            if not board.is_check():
                self.gaps.append(path)
            return board.is_check()
        known = self.book.get(position_key(board), ())
        is_closed = True
        for reply in replies:
            self.replies += 1
            before = len(self.gaps)
            board.push(reply)
            is_answered = self.attack(board, (*path, reply))
            board.pop()
            if is_answered:
                del self.gaps[before:]
                self.searched += reply.uci() not in known
            else:
                is_closed = False
                if len(self.gaps) == before:
                    self.gaps.append((*path, reply))
        return is_closed

    def _by_search(self, board: chess.Board) -> bool:
        if self.prover.find_mate(board, _QUICK_MATE):
            return True
        for depth in range(self.depth_limit + 1):
            if self.search.value(board, depth, self.target - 1, self.target) >= self.target:
                self.depth = max(self.depth, depth)
                return True
        return False


def settle_wins_by_lines(claim: WinsByLines, asked: Asked) -> Verdict:
    """The lines of the lesson, and search where they say nothing, answer every legal reply."""
    board = asked.board()
    move = asked.move(claim.move)
    book = dict(asked.question.book)
    if move.uci() not in book.get(position_key(board), ()):
        raise CannotAskError(f"no line of the lesson plays {claim.move} from here")
    cover = Cover(
        book=book,
        target=balance_of(board) + claim.worth,
        depth_limit=asked.budget.lines_depth,
        search=search_for(board, node_limit=asked.budget.search_nodes),
        prover=MateProver(),
    )
    board.push(move)
    is_closed = cover.defend(board, (move,))
    nodes = cover.search.nodes + cover.prover.nodes
    if is_closed:
        words = f"{cover.replies} replies answered, {cover.searched} of them by search"
        return Verdict(reach=Reach.HOLDS, depth=cover.depth + 1, evidence=(words,), nodes=nodes)
    board = asked.board()
    ways = sorted(cover.gaps, key=len)
    answered = max(0, cover.replies - len(ways))
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(
            f"your lines answer {answered} of {cover.replies} replies; not answered: ",
            listed([_last(board, way) for way in ways]),
        ),
        counter=say_line(board, ways[0]),
        depth=asked.budget.lines_depth + 1,
        nodes=nodes,
    )


def _last(board: chess.Board, way: tuple[chess.Move, ...]) -> Evidence:
    """Return the last move of a way, with its number: the reply that is not answered."""
    before = board.copy(stack=False)
    for move in way[:-1]:
        before.push(move)
    said = say_line(before, way[-1:])
    before.push(way[-1])
    return say(*said, " (stalemate)" if before.is_stalemate() else "")
