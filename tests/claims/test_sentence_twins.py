"""Whole sentences agree with slow, obvious readings of what they say."""

from __future__ import annotations

import random

import chess

from claims import twins
from claims.claim_positions import few_men, games, hunted, mixed, real
from claims.claim_stand import claim_of
from plybook.board.claims import Budget, Reach
from plybook.board.claims.development import Census
from plybook.board.claims.mates import MateProver
from plybook.board.claims.mating import mating_line, reply_net
from plybook.board.claims.question import Question
from plybook.board.claims.settle import settle_question
from plybook.board.positions import position_key


def reach_of(sentence: str, board: chess.Board, **more: object) -> Reach:
    question = Question(claim=claim_of(sentence), start=board.fen(), played=(), **more)  # type: ignore[arg-type]  # a book, or nothing
    return settle_question(question, Budget(lines_depth=1)).reach


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    """Return the position after a move."""
    then = board.copy(stack=False)
    then.push(move)
    return then


def name(square: int) -> str:
    return chess.SQUARE_NAMES[square]


# ------------------------------------------------------------------ mate


def test_mates_in_two_means_two_and_not_one() -> None:
    met = 0
    for board in hunted(20, seed=31, men=(2, 2)):
        for move in list(board.legal_moves)[:10]:
            then = after(board, move)
            expected = twins.mated_within(then, 1) and not then.is_checkmate()
            reach = reach_of(f"{board.san(move)} mates in 2", board)
            assert (reach is Reach.PROVED) == expected, (board.fen(), move)
            met += expected
    assert met >= 3


def test_the_only_mate_is_alone() -> None:
    met = 0
    for board in hunted(300, seed=32):
        mating = [move for move in board.legal_moves if after(board, move).is_checkmate()]
        for move in mating:
            reach = reach_of(f"{board.san(move)} is the only mate in 1", board)
            assert (reach is Reach.PROVED) == (len(mating) == 1), board.fen()
            met += 1
    assert met > 30


def test_a_mating_line_ends_in_mate_after_as_many_moves_as_it_takes() -> None:
    met = 0
    for board in hunted(30, seed=33):
        prover = MateProver()
        moves = next((n for n in (1, 2, 3) if prover.find_mate(board, n)), 0)
        if not moves:
            continue
        key = prover.find_mate(board, moves)
        assert key is not None
        end = board.copy(stack=False)
        line = mating_line(board, key, moves, prover)
        for move in line:
            assert end.is_legal(move)
            end.push(move)
        assert end.is_checkmate(), board.fen()
        assert len(line) == 2 * moves - 1
        met += moves > 1
    assert met > 4


def test_no_reply_stops_mate_means_all_replies_are_mated() -> None:
    met = 0
    for board in hunted(120, seed=34):
        board.turn = chess.BLACK
        if not board.is_valid() or not any(board.legal_moves):
            continue
        expected = all(twins.mates_within(then, 1) for then in twins.afters(board))
        reach = reach_of("no reply stops mate in 1", board)
        assert (reach is Reach.PROVED) == expected, board.fen()
        met += expected
    assert met >= 2


# ------------------------------------------------------------------ material


def test_a_reply_costs_what_captures_then_take() -> None:
    for board in few_men(60, seed=35, men=(2, 5)):
        for move in list(board.legal_moves)[:6]:
            expected = -twins.quiet_value(after(board, move)) - twins.standing(board, board.turn)
            assert reply_net(board, move) == expected, (board.fen(), move)


def test_wins_means_after_every_reply() -> None:
    """Depth 2: a reply, a move, then captures alone."""
    met = 0
    for board in few_men(24, seed=36, men=(2, 3)):
        base = twins.standing(board, board.turn)
        level = twins.standing(board, chess.WHITE)
        captures = [move for move in board.legal_moves if board.is_capture(move)]
        for move in (captures + list(board.legal_moves))[:4]:
            then = after(board, move)
            replies = twins.afters(then)
            if not replies:
                continue
            expected = min(twins.value(reply, 1, level) for reply in replies) >= base + 1
            reach = reach_of(f"{board.san(move)} wins 1 or more, depth 2", board)
            assert (reach is Reach.HOLDS) == expected, (board.fen(), move)
            met += expected
    assert met > 5


def test_does_not_win_means_after_the_reply_named() -> None:
    for board in few_men(16, seed=37, men=(2, 3)):
        base = twins.standing(board, board.turn)
        level = twins.standing(board, chess.WHITE)
        for move in list(board.legal_moves)[:3]:
            then = after(board, move)
            for reply in list(then.legal_moves)[:3]:
                expected = twins.value(after(then, reply), 1, level) < base + 1
                sentence = f"{board.san(move)} does not win 1, depth 2, because {then.san(reply)}"
                assert (reach_of(sentence, board) is Reach.HOLDS) == expected, board.fen()


def test_lines_that_give_one_move_prove_what_search_and_near_mate_prove() -> None:
    """With the claimed move alone as the lesson's line, every reply is left to search."""
    met = 0
    for board in few_men(40, seed=38, men=(2, 4)):
        base = twins.standing(board, board.turn)
        level = twins.standing(board, chess.WHITE)
        for move in [m for m in board.legal_moves if board.is_capture(m)][:2]:
            replies = twins.afters(after(board, move))
            if not replies:
                continue
            expected = all(
                max(twins.value(reply, depth, level) for depth in (0, 1)) >= base + 1
                or twins.mates_within(reply, 2)
                for reply in replies
            )
            reach = reach_of(
                f"{board.san(move)} wins 1 or more by the lines given",
                board,
                book=((position_key(board), (move.uci(),)),),
            )
            assert (reach is Reach.HOLDS) == expected, (board.fen(), move)
            met += expected
    assert met > 5


def test_a_trapped_man_is_attacked_and_lost_after_every_reply() -> None:
    met = 0
    for board in few_men(500, seed=39, men=(2, 3)):
        level = twins.standing(board, chess.WHITE)
        for square, man in board.piece_map().items():
            if man.color != board.turn or man.piece_type == chess.KING:
                continue
            if twins.loss_on(board, square) < 1:
                continue
            if met > 3 or not any(board.legal_moves):
                break
            target = 1 - twins.standing(board, board.turn)
            expected = all(
                any(twins.value(reply, depth, level) >= target for depth in range(3))
                for reply in twins.afters(board)
            )
            reach = reach_of(f"{name(square)} is trapped and costs 1 or more", board)
            if expected:
                assert reach is Reach.HOLDS, board.fen()
                met += 1
            elif reach is Reach.HOLDS:  # by the third ply, which the twin has no patience for
                assert not board.is_checkmate()
    assert met > 2


# ------------------------------------------------------------------ the Laws


def test_a_move_is_illegal_for_the_reason_found_by_playing_it() -> None:
    met = {"guarded": 0, "pinned": 0}
    for board in mixed(450, seed=40):
        for move in board.pseudo_legal_moves:
            if board.is_legal(move) or board.is_castling(move):
                continue
            sign = "x" if board.is_capture(move) else "-"
            word = f"{name(move.from_square)}{sign}{name(move.to_square)}"
            tail = f"={chess.piece_symbol(move.promotion).upper()}" if move.promotion else ""
            men = after(board, move).piece_map()
            king = next(s for s, man in men.items() if man == chess.Piece(6, board.turn))
            takers = twins.attackers(men, not board.turn, king)
            if board.piece_type_at(move.from_square) == chess.KING:
                true = {name(s) for s in takers}
                reason = "guarded"
            else:
                before = twins.attackers(board.piece_map(), not board.turn, king)
                true = {name(s) for s in takers - before}
                reason = "pinned"
            for by in true | {"a1", "e4"}:
                sentence = f"{word}{tail} is illegal, {reason} by {by}"
                assert (reach_of(sentence, board) is Reach.PROVED) == (by in true), (
                    board.fen(),
                    sentence,
                )
            met[reason] += bool(true)
    assert min(met.values()) > 50


def test_the_only_legal_reply_is_alone() -> None:
    met = 0
    for board in [*games(40, seed=41), *hunted(60, seed=41)]:
        for move in board.legal_moves:
            then = after(board, move)
            replies = list(then.legal_moves)
            if not 1 <= len(replies) <= 2:
                continue
            sentence = f"after {board.san(move)} the only legal reply is {then.san(replies[0])}"
            expected = len(replies) == 1
            assert (reach_of(sentence, board) is Reach.PROVED) == expected, board.fen()
            met += expected
    assert met > 20


def test_legal_but_loses_names_the_best_capture_that_follows() -> None:
    for board in mixed(60, seed=42):
        for move in list(board.legal_moves)[:6]:
            if board.is_castling(move):
                continue
            then = after(board, move)
            captures = [
                twins.exchange(then, reply) for reply in then.legal_moves if then.is_capture(reply)
            ]
            loss = max(captures, default=0)
            sign = "x" if board.is_capture(move) else "-"
            tail = f"={chess.piece_symbol(move.promotion).upper()}" if move.promotion else ""
            word = f"{name(move.from_square)}{sign}{name(move.to_square)}{tail}"
            for worth in {1, 3, max(1, loss)}:
                reach = reach_of(f"{word} is legal but loses {worth}", board)
                assert (reach is Reach.PROVED) == (worth == loss), (board.fen(), word)


def test_a_pawn_that_can_be_taken_in_passing_hangs() -> None:
    """The only capture of d5 goes to d6 (Laws of Chess, article 3.7.3)."""
    board = chess.Board("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 2")
    assert reach_of("d5 is hanging", board) is Reach.PROVED
    board = chess.Board("4k3/8/8/3pP3/8/8/8/4K3 w - - 0 2")
    assert reach_of("d5 is safe", board) is Reach.PROVED


# ------------------------------------------------------------------ development


def test_men_are_counted_by_following_each_one_alone() -> None:
    source = random.Random(43)
    for _ in range(60):
        board = chess.Board()
        for _ in range(source.randrange(6, 50)):
            moves = list(board.legal_moves)
            if not moves:
                break
            castling = [move for move in moves if board.is_castling(move)]
            board.push(source.choice(castling or moves))
        census = Census(board)
        for color in chess.COLORS:
            homes = (1, 2, 5, 6) if color else (57, 58, 61, 62)
            stands = [follow(board, home) for home in homes]
            expected = {s for s in stands if s is not None and s // 8 != (0 if color else 7)}
            assert set(census.minors_out(color)) == expected
            pawns = [follow(board, home) for home in ((11, 12) if color else (51, 52))]
            moved = {
                s
                for s in pawns
                if s is not None
                and board.piece_at(s) == chess.Piece(1, color)
                and s // 8 != (1 if color else 6)
            }
            assert set(census.centre_pawns(color)) == moved
            assert census.has_castled(color) == any(
                is_castling for is_castling, side in castlings(board) if side == color
            )


def follow(board: chess.Board, square: int) -> int | None:
    """Return where the man that began on a square stands, or None when it was taken."""
    trial = board.root()
    at: int | None = square
    for move in board.move_stack:
        if at == move.from_square:
            at = move.to_square
        elif at == move.to_square or (
            trial.is_en_passant(move) and at == move.to_square + (-8 if trial.turn else 8)
        ):
            return None
        trial.push(move)
    return at


def castlings(board: chess.Board) -> list[tuple[bool, bool]]:
    """Return for each move played whether it castled, and the side."""
    trial = board.root()
    found = []
    for move in board.move_stack:
        found.append((trial.is_castling(move), trial.turn))
        trial.push(move)
    return found


def test_a_demo_position_has_the_same_forks_whoever_counts() -> None:
    """A sentence `forks` is true when the worst reply still loses a target or more."""
    met = 0
    for board in [*real(12, seed=44), *few_men(120, seed=44)]:
        for move in board.legal_moves:
            then = after(board, move)
            men = then.piece_map()
            if board.is_castling(move) or not any(then.legal_moves):
                continue
            targets = sorted(
                s
                for s in twins.attacked_from(men, move.to_square)
                if s in men and men[s].color == then.turn
            )[:2]
            if len(targets) < 2:
                continue
            expected = all(
                _net(then, reply, move.to_square, targets) >= 1 for reply in then.legal_moves
            )
            sentence = f"{board.san(move)} forks {name(targets[0])} and {name(targets[1])}"
            assert (reach_of(sentence, board) is Reach.PROVED) == expected, (board.fen(), sentence)
            met += expected
    assert met > 5


def _net(board: chess.Board, reply: chess.Move, square: int, targets: list[int]) -> int:
    then = after(board, reply)
    if then.is_checkmate():
        return -99
    values = [
        twins.exchange(then, capture)
        for capture in then.legal_moves
        if capture.from_square == square
        and capture.to_square in targets
        and then.is_capture(capture)
        and then.piece_at(capture.to_square) is not None
    ]
    return max([0, *values]) - twins.won_by(board, reply)
