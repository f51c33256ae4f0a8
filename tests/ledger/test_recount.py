"""The ledger of lines by chance against a slow recount of every place, and what must hold of it."""

from __future__ import annotations

import random
from collections import deque
from functools import cache
from typing import Final

import chess
import pytest

from ledger.recount import CENTRE, Recount
from plybook.board import Line
from plybook.board.exchange import exchange_value
from plybook.board.ledger import Account, Entry, FactKind, Ledger, ledger_of
from plybook.board.ledger.model import Cause
from site_lines import Builder, random_builders

#: Openings from which chance plays on: from the first move alone it seldom castles or trades.
BEGINNINGS: Final = (
    "",
    "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6 d3 d6",
    "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3 O-O Nf3 Nbd7 Rc1 c6",
    "e4 d5 exd5 Qxd5 Nc3 Qa5 d4 Nf6 Nf3 Bf5 Bd2 c6",
    "e4 e5 d4 exd4 Qxd4 Nc6 Qe3 Nf6 Nc3 Bb4 Bd2 O-O O-O-O Re8",
    "e4 e5 f4 exf4 Nf3 g5 h4 g4 Ne5 Nf6 d4 d6 Nd3 Nxe4",
)


def game(seed: int, *, plies: int) -> Line:
    """Return one line by chance, sometimes from a beginning that people play."""
    chance = random.Random(seed)
    builder = Builder()
    place = 0
    for san in BEGINNINGS[seed % len(BEGINNINGS)].split():
        place = builder.add(place, builder.boards[place].parse_san(san), depth=0)
    while place < plies:
        board = builder.boards[place]
        moves = sorted(board.legal_moves, key=chess.Move.uci)
        if not moves:
            break
        captures = [move for move in moves if board.is_capture(move)]
        pick = captures if captures and chance.random() < 0.3 else moves
        place = builder.add(place, chance.choice(pick), depth=0)
    return builder.line()


def accounts(entry: Entry) -> list[tuple[chess.Color, Account]]:
    """Return both accounts with their colours."""
    return [(chess.WHITE, entry.white), (chess.BLACK, entry.black)]


def names(stones: tuple[object, ...]) -> set[str]:
    """Return the squares of stones."""
    return {stone.square for stone in stones}  # type: ignore[attr-defined]  # all are stones


def assert_counts(slow: Recount, color: chess.Color, account: Account) -> None:
    """Check everything that is a count against the slow twin."""
    board = slow.board
    standing = [s for s in CENTRE if board.color_at(s) == color]
    assert account.centre.pawns == sum(board.piece_type_at(s) == chess.PAWN for s in standing)
    assert account.centre.pieces == len(standing) - account.centre.pawns
    guards = [board.attackers(color, square) for square in CENTRE]
    assert account.centre.guards == tuple(len(men) for men in guards)
    pawns = board.pieces(chess.PAWN, color)
    assert account.centre.pawn_guards == tuple(len(men & pawns) for men in guards)
    men = account.men
    assert men.out == slow.minors_out(color)
    looks = slow.looks(color)
    assert {key: names(getattr(men, key)) for key in looks} == looks
    assert names(men.asleep) == slow.asleep(color)
    assert names(men.shut_in) == slow.shut_in(color)
    originals = len(slow.minors(color))
    sleepers = sum(stone.man != "r" for stone in men.asleep)
    captured = sum(man.square is None for man in slow.minors(color))
    assert men.gone == captured + max(0, 4 - originals)
    assert men.out + len(men.back) + sleepers + captured == originals
    assert account.development.castled == (color in slow.castled)
    assert account.development.centre_pawns == slow.centre_pawns(color)
    assert account.development.rooks == slow.active_rooks(color)


def assert_king(slow: Recount, color: chess.Color, account: Account) -> None:
    """Check castling against the library's own rights and legal moves."""
    board, king = slow.board, account.king
    assert king.square == chess.square_name(board.king(color) or 0)
    rights = {"short": board.has_kingside_castling_rights(color)}
    rights["long"] = board.has_queenside_castling_rights(color)
    assert {wing.value for wing in king.rights} == {wing for wing, has in rights.items() if has}
    assert (king.castled.value if king.castled else None) == slow.castled.get(color)
    turned = board.copy(stack=False)
    turned.turn, turned.ep_square = color, None
    legal = {
        "short" if board.is_kingside_castling(move) else "long"
        for move in turned.legal_moves
        if turned.is_castling(move)
    }
    barred = {hindrance.wing.value for hindrance in king.hindrances}
    assert {wing.value for wing in king.rights} - barred == legal
    missing = {wing.value for wing in king.rights} | {lost.wing.value for lost in king.lost}
    assert king.castled or missing == {"short", "long"}


@cache
def steps_from(kind: chess.PieceType, origin: chess.Square) -> dict[chess.Square, int]:
    """Return the fewest moves of a piece from a square, by another search than the ledger's."""
    found, waiting = {origin: 0}, deque([origin])
    while waiting:
        square = waiting.popleft()
        board = chess.Board(None)
        board.set_piece_at(square, chess.Piece(kind, chess.WHITE))
        board.turn = chess.WHITE
        for target in board.attacks(square):
            if target not in found:
                found[target] = found[square] + 1
                waiting.append(target)
    return found


@cache
def pawn_steps_from(color: chess.Color, origin: chess.Square) -> dict[chess.Square, int]:
    """Return the fewest moves of a pawn, breadth first, taking whenever it likes."""
    ahead = 8 if color else -8
    found, waiting = {origin: 0}, deque([origin])
    while waiting:
        square = waiting.popleft()
        targets = [square + ahead] if 0 <= square + ahead < 64 else []
        if chess.square_rank(square) == (1 if color else 6):
            targets.append(square + 2 * ahead)
        targets += list(chess.SquareSet(chess.BB_PAWN_ATTACKS[color][square]))
        for target in targets:
            if target not in found:
                found[target] = found[square] + 1
                waiting.append(target)
    return found


def assert_tempo(slow: Recount, color: chess.Color, account: Account) -> None:
    """Check moves, visible moves and moves of captured men (no promoted man in these games)."""
    mine = [man for man in slow.men if man.color == color]
    assert account.tempo.moves == sum(man.moves for man in mine)
    assert account.tempo.with_the_dead == sum(man.moves for man in mine if man.square is None)
    visible = 0
    rank = 0 if color else 7
    for man in mine:
        if man.square is None:
            continue
        if man.castled:
            is_short = slow.castled[color] == "short"
            if man.kind == chess.KING:
                put = chess.square(6 if is_short else 2, rank)
                visible += 1 + steps_from(chess.KING, put)[man.square]
            else:
                put = chess.square(5 if is_short else 3, rank)
                visible += steps_from(chess.ROOK, put)[man.square]
        elif man.kind == chess.PAWN:
            visible += pawn_steps_from(color, man.home)[man.square]
        else:
            visible += steps_from(man.kind, man.home)[man.square]
    assert account.tempo.visible == visible
    assert account.tempo.wasted >= 0


@pytest.mark.parametrize("batch", range(8))
def test_the_counts_of_a_place_are_those_of_a_recount(batch: int) -> None:
    """Twelve hundred games; of each, a place at random and the last."""
    for seed in range(batch * 150, (batch + 1) * 150):
        line = game(seed, plies=20)
        ledger = ledger_of(line)
        chance = random.Random(seed)
        places = {len(line.plies), chance.randint(0, len(line.plies))}
        for place in sorted(places):
            slow = Recount(line, place)
            for color, account in accounts(ledger.entries[place]):
                assert_counts(slow, color, account)
                assert_king(slow, color, account)
                if not any(move.promotion for move in slow.moves):
                    assert_tempo(slow, color, account)


@pytest.mark.parametrize("seed", range(4))
def test_the_counts_of_trees_and_strange_starts_are_those_of_a_recount(seed: int) -> None:
    for builder in random_builders(12, seed=seed):
        line = builder.line()
        ledger = ledger_of(line)
        for place in range(0, len(line.plies) + 1, 11):
            slow = Recount(line, place)
            for color, account in accounts(ledger.entries[place]):
                assert_counts(slow, color, account)
                assert_king(slow, color, account)


def kinds_at(ledger: Ledger, place: int) -> set[FactKind]:
    """Return the kinds of facts of a place, reasons included."""
    facts = ledger.entries[place].facts
    return {each.kind for fact in facts for each in (fact, *fact.reasons)}


@pytest.mark.parametrize("batch", range(6))
def test_second_moves_and_their_reasons_are_those_of_a_recount(batch: int) -> None:
    for seed in range(5000 + batch * 12, 5000 + (batch + 1) * 12):
        line = game(seed, plies=24)
        ledger = ledger_of(line)
        before = Recount(line, 0)
        for ply in line.plies:
            after = Recount(line, ply.index)
            _assert_again(ledger, ply.index, before, after)
            before = after


def _assert_again(ledger: Ledger, place: int, before: Recount, after: Recount) -> None:
    move, color = after.moves[-1], before.board.turn
    (man,) = [each for each in before.men if each.square == move.from_square]
    found = kinds_at(ledger, place)
    previous = ledger.entries[place - 1]
    is_open = not previous.account("white" if color else "black").is_done
    in_check = before.board.is_check()
    is_piece = before.board.piece_type_at(move.from_square) not in (chess.PAWN, chess.KING)
    is_again = is_piece and before.has_moved(man) and is_open
    assert (FactKind.SAME_MAN_AGAIN in found) == is_again
    assert (FactKind.ANSWERS_CHECK in found) == in_check
    if is_again:
        pressed = None if in_check else before.best_on(move.from_square)
        assert (FactKind.WAS_ATTACKED in found) == (pressed is not None and pressed > 0)
        assert (FactKind.LEFT_A_TRADE in found) == (pressed == 0)
    if before.board.is_capture(move):
        _assert_capture(found, before, move)
    if is_open and not in_check and not after.board.is_check():
        _assert_threats(ledger, place, before, after, color)


def _assert_capture(found: set[FactKind], before: Recount, move: chess.Move) -> None:
    worth = exchange_value(before.board, move)
    last = before.moves[-1] if before.moves else None
    takes_back = (
        last is not None and before.boards[-2].is_capture(last) and last.to_square == move.to_square
    )
    assert (FactKind.RECAPTURES in found) == takes_back
    if not takes_back:
        assert (FactKind.WINS_MATERIAL in found) == (worth > 0)
        assert (FactKind.TRADES in found) == (worth == 0)
        assert (FactKind.SACRIFICES in found) == (worth < 0)


def _assert_threats(
    ledger: Ledger, place: int, before: Recount, after: Recount, color: chess.Color
) -> None:
    """Every enemy man is asked, before and after; en passant is no threat in this sense."""
    for recount in (before, after):
        recount.board.ep_square = None
    fresh = {
        chess.square_name(square)
        for square in chess.SquareSet(after.board.occupied_co[not color] & ~after.board.kings)
        if after.hanging(square) > max(before.best_on(square) or 0, 0)
    }
    told = {
        stone.square
        for fact in ledger.entries[place].facts
        if fact.kind is FactKind.THREATENS
        for stone in fact.others
    }
    assert told == (fresh if any(after.board.legal_moves) else set())
    threatens = after.mates(color) and not before.mates(color)
    assert (FactKind.THREATENS_MATE in kinds_at(ledger, place)) == threatens


def test_every_lost_right_has_a_cause_that_fits_the_move() -> None:
    seen = set()
    for seed in range(100):
        line = game(seed, plies=30)
        for place, fact in ledger_of(line).facts():
            if fact.kind is FactKind.RIGHT_LOST:
                ply = line.plies[place - 1]
                seen.add(fact.cause)
                if fact.cause is Cause.ROOK_TAKEN:
                    assert ply.captured == "r"
                    assert fact.side != ply.mover
                else:
                    assert ply.man == ("k" if fact.cause is Cause.KING_MOVED else "r")
    assert seen == {Cause.KING_MOVED, Cause.ROOK_MOVED, Cause.ROOK_TAKEN}
