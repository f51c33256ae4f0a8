"""Games as two readers have them, in one shape: ours and python-chess's."""

from __future__ import annotations

import io
import random
import re
from typing import Any, Final

import chess
import chess.pgn

from plybook.board import games_in

__all__ = ["Tree", "chance_game", "our_tree", "ours", "their_games", "their_tree"]

#: A node: move, NAGs, the remark before it, the remark after it, what follows (main line first).
Tree = list[Any]
_COMMAND: Final = re.compile(r"\[%[^\]]*\]")


def ours(text: str) -> list[games_in.ReadGame | games_in.Rejected]:
    """Return the games of a text as we read them."""
    return [games_in.read_game(raw) for raw in games_in.split_games(text)]


def their_games(text: str) -> list[chess.pgn.Game]:
    """Return the games of a text as python-chess reads them."""
    stream, found = io.StringIO(text), []
    while (game := chess.pgn.read_game(stream, Visitor=_Quiet)) is not None:
        found.append(game)
    return found


class _Quiet(chess.pgn.GameBuilder[chess.pgn.Game]):
    def handle_error(self, error: Exception) -> None:
        self.game.errors.append(error)


def their_tree(game: chess.pgn.Game) -> Tree:
    """Return the tree of their game; the remark of the game is that before its first move."""

    def of(node: chess.pgn.GameNode) -> Tree:
        return [
            [
                child.move.uci(),
                sorted(child.nags),
                _words(child.starting_comment),
                _words(child.comment),
                of(child),
            ]
            for child in node.variations
        ]

    return [_words(game.comment), of(game)]


def our_tree(game: games_in.ReadGame) -> Tree:
    """Return the tree of our game in the same shape."""
    nodes: list[Tree] = [[]]
    for number, moved in enumerate(game.moves, start=1):
        move = chess.Move(moved.origin, moved.target, moved.promotion or None)
        before = "" if number == 1 else " ".join(game.before.get(number, ()))
        after = " ".join(game.after.get(number, ()))
        children: Tree = []
        nodes.append(children)
        nags = sorted(set(game.nags.get(number, ())))
        nodes[moved.parent].append([move.uci(), nags, before, after, children])
    return [" ".join(game.before.get(1, ())), nodes[0]]


def _words(comment: str) -> str:
    return " ".join(_COMMAND.sub(" ", comment).split())


def chance_game(source: random.Random, *, plies: int) -> chess.pgn.Game:
    """Return a game of chance moves with variations, remarks and NAGs, as python-chess makes it."""
    game = chess.pgn.Game({"Event": "By chance", "White": "Amber", "Black": "Birch"})
    node: chess.pgn.GameNode = game
    for _ in range(plies):
        moves = sorted(node.board().legal_moves, key=chess.Move.uci)
        if not moves:
            break
        node = node.add_main_variation(source.choice(moves))
        if len(moves) > 1 and source.random() < 0.1:
            other = next(move for move in moves if move != node.move)
            side = node.parent.add_variation(other, starting_comment=_remark(source))
            side.comment = _remark(source)
            for _ in range(source.randrange(3)):
                answers = sorted(side.board().legal_moves, key=chess.Move.uci)
                if answers:
                    side = side.add_variation(source.choice(answers))
        if source.random() < 0.1:
            node.comment = _remark(source)
        if source.random() < 0.1:
            node.nags.add(source.choice((1, 2, 3, 4, 5, 6, 14, 146)))
    game.headers["Result"] = game.end().board().result()
    return game


def _remark(source: random.Random) -> str:
    return source.choice(("", "", "A remark.", "1-0 is no result here; (nor this)", "[%clk 0:1:2]"))
