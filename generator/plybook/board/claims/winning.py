"""Material won within a depth, and not won because of a reply."""

from __future__ import annotations

import chess

from plybook.board.claims.asked import Asked
from plybook.board.claims.material import MATE, MaterialSearch, balance_of
from plybook.board.claims.model import Evidence, NodesSpentError, Reach, Verdict
from plybook.board.claims.words import also, say, say_line, say_move, spaced
from plybook.text.claim_model import Wins, WinsNot

__all__ = ["search_for", "settle_wins", "settle_wins_not"]


def search_for(board: chess.Board, *, node_limit: int | None) -> MaterialSearch:
    """Return a search in which nothing won means the material of this position."""
    balance = balance_of(board)
    return MaterialSearch(level=balance if board.turn else -balance, node_limit=node_limit)


def settle_wins(claim: Wins, asked: Asked) -> Verdict:
    """After every legal reply the mover gains that much within the depth.

    The depth counts the plies after the move, the reply being the first.
    """
    board, (move,) = asked.advanced((claim.move,))
    before = asked.board()
    search = search_for(before, node_limit=asked.budget.search_nodes)
    target = balance_of(before) + claim.worth
    replies = list(board.legal_moves)
    if not replies:
        return _game_over(before, board, move)
    answers = _answers(board, replies, claim.depth - 1, target, search)
    if answers:
        return _answered(asked, claim, move, answers, search)
    count = len(replies)
    which = f"each of {count} replies" if count > 1 else "the only reply"
    return Verdict(
        reach=Reach.HOLDS,
        depth=claim.depth,
        evidence=(f"after {which} {claim.worth} or more is won",),
        nodes=search.nodes,
    )


def _answers(
    board: chess.Board,
    replies: list[chess.Move],
    depth: int,
    target: int,
    search: MaterialSearch,
) -> list[chess.Move]:
    """Return the replies after which the target is not reached.

    One is enough to settle the claim: when the budget ends, those found so far are returned.
    """
    found: list[chess.Move] = []
    try:
        for reply in replies:
            if search.value(_after(board, reply), depth, target - 1, target) < target:
                found.append(reply)
    except NodesSpentError:
        if not found:
            raise
    return found


def _game_over(before: chess.Board, after: chess.Board, move: chess.Move) -> Verdict:
    said = say_move(before, move)
    if after.is_check():
        return Verdict(reach=Reach.PROVED, evidence=say(said, " is mate"))
    return Verdict(reach=Reach.FALSE, evidence=say(said, " is stalemate"), counter=(said,))


def _answered(
    asked: Asked, claim: Wins, move: chess.Move, answers: list[chess.Move], search: MaterialSearch
) -> Verdict:
    """Return the verdict on a win that some replies prevent: the strongest, and its line."""
    before = asked.board()
    base = balance_of(before)
    after = before.copy(stack=False)
    after.push(move)
    strongest, best, rest = _strongest(after, answers, claim.depth - 1, base + claim.worth, search)
    line = say_line(before, (move, strongest, *rest))
    others = [say_move(after, reply) for reply in answers if reply != strongest]
    evidence = say(
        f"not shown to depth {claim.depth}: ",
        say_move(after, strongest),
        f" answers it ({_result(best - base)})",
        say(": ", spaced(say_line(_after(after, strongest), rest))) if rest else (),
        also(others),
    )
    return Verdict(
        reach=Reach.FALSE,
        evidence=evidence,
        counter=line,
        depth=claim.depth,
        nodes=search.nodes,
    )


def _strongest(
    board: chess.Board, answers: list[chess.Move], depth: int, target: int, search: MaterialSearch
) -> tuple[chess.Move, int, list[chess.Move]]:
    """Return the reply that leaves the mover least, the balance it leaves, and the line after it.

    When the budget ends first, the best reply known by then, without a line.
    """
    best, strongest = target - 1, answers[0]
    try:
        for reply in answers:
            value = search.value(_after(board, reply), depth, -MATE, best + 1)
            if value < best or reply == strongest:
                best, strongest = value, reply
        return strongest, best, search.best_line(_after(board, strongest), depth)
    except NodesSpentError:
        return strongest, best, []


def _result(gain: int) -> str:
    if gain <= -MATE // 2:
        return "it mates"
    if gain == 0:
        return "nothing won"
    return f"only {gain} won" if gain > 0 else f"{-gain} lost"


def settle_wins_not(claim: WinsNot, asked: Asked) -> Verdict:
    """After the reply named the mover gains less than that much within the depth."""
    board, (move, reply) = asked.advanced((claim.move, claim.reply))
    before = asked.board()
    search = search_for(before, node_limit=asked.budget.search_nodes)
    base = balance_of(before)
    target = base + claim.worth
    value = search.value(board, claim.depth - 1, target - 1, target)
    if value < target:
        exact = search.value(board, claim.depth - 1, -MATE, target)
        return Verdict(
            reach=Reach.HOLDS,
            depth=claim.depth,
            evidence=say(say_move(_after(before, move), reply), f" ({_result(exact - base)})"),
            nodes=search.nodes,
        )
    rest = search.best_line(board, claim.depth - 1)
    line = say_line(before, (move, reply, *rest))
    won: Evidence = (f" wins {claim.worth} or more all the same",)
    return Verdict(
        reach=Reach.FALSE,
        evidence=say(spaced(line), won),
        counter=line,
        depth=claim.depth,
        nodes=search.nodes,
    )


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after
