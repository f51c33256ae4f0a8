"""Each definition agrees with a slow, obvious twin on random and real positions."""

from __future__ import annotations

import chess
import pytest

from claims import twins
from claims.claim_positions import few_men, games, hunted, mixed, real
from plybook.board.claims.castling import reasons_against
from plybook.board.claims.checking import checking_moves, mates_at_once
from plybook.board.claims.counts import behind
from plybook.board.claims.discoveries import uncovered
from plybook.board.claims.forks import fork_net
from plybook.board.claims.material import MaterialSearch, balance_of
from plybook.board.claims.mates import MateProver
from plybook.board.claims.overloaded import wards_of
from plybook.board.claims.pinned import find_skewer, pins_of
from plybook.board.claims.replies import find_defences
from plybook.board.claims.threats import MateThreat, WinThreat
from plybook.board.claims.words import squares_of
from plybook.board.exchange import best_capture, exchange_value, gain_of


def same(board: chess.Board) -> str:
    """Return what a failure prints: the position."""
    return board.fen()


def test_moves_that_give_check_are_those_after_which_the_king_is_attacked() -> None:
    for board in [*games(400), *few_men(1500, men=(2, 9)), *real(200)]:
        expected = {move for move in board.legal_moves if board.gives_check(move)}
        found = checking_moves(board)
        assert set(found) == expected, same(board)
        assert len(found) == len(expected), same(board)


def test_promotion_castling_and_en_passant_can_check() -> None:
    """Positions of our own, each with one check that changes more than two squares."""
    for fen, uci in (
        ("8/3P2k1/8/8/8/8/8/4K3 w - - 0 1", None),
        ("3r1k2/2P5/8/8/8/8/8/4K3 w - - 0 1", "c7d8q"),
        ("5k2/8/8/8/8/8/8/4K2R w K - 0 1", "e1g1"),
        ("3k4/8/8/8/8/8/8/R3K3 w Q - 0 1", "e1c1"),
        ("8/8/8/R2pP2k/8/8/8/4K3 w - d6 0 1", "e5d6"),
    ):
        board = chess.Board(fen)
        found = {move.uci() for move in checking_moves(board)}
        assert found == {move.uci() for move in board.legal_moves if board.gives_check(move)}
        assert uci is None or uci in found


def test_mates_at_once_are_the_moves_that_mate() -> None:
    met = 0
    for board in [*hunted(500, seed=2), *few_men(900, seed=2, men=(3, 8)), *games(200, seed=2)]:
        expected = []
        for move in board.legal_moves:
            after = board.copy(stack=False)
            after.push(move)
            if after.is_checkmate():
                expected.append(move)
        met += bool(expected)
        assert set(mates_at_once(board)) == set(expected), same(board)
    assert met > 50


@pytest.mark.parametrize("seed", [3, 4])
def test_a_mate_in_two_is_found_exactly_where_trying_everything_finds_it(seed: int) -> None:
    met = 0
    for board in [*hunted(24, seed=seed, men=(2, 2)), *few_men(12, seed=seed, men=(3, 4))]:
        expected = twins.mates_within(board, 2)
        prover = MateProver()
        move = prover.find_mate(board, 2)
        assert (move is not None) == expected, same(board)
        met += expected
        if move is not None:
            after = board.copy(stack=False)
            after.push(move)
            assert twins.mated_within(after, 1), same(board)
    assert met >= 5


def test_what_a_prover_has_learnt_changes_nothing() -> None:
    """One prover for many questions in any order gives what fresh provers give."""
    for board in [*hunted(12, seed=9), *few_men(2, seed=9, men=(3, 5))]:
        kept = MateProver()
        answers = [kept.find_mate(board, moves) is not None for moves in (3, 1, 2, 3)]
        fresh = [MateProver().find_mate(board, moves) is not None for moves in (3, 1, 2, 3)]
        assert answers == fresh, same(board)


def test_a_mate_in_three_of_few_men_is_found_exactly() -> None:
    met = 0
    for board in hunted(4, seed=5, men=(1, 1)):
        expected = twins.mates_within(board, 3)
        assert (MateProver().find_mate(board, 3) is not None) == expected, same(board)
        met += expected
    assert met >= 1


def test_stalemate_is_no_mate() -> None:
    """The queen leaves the king no square and gives no check (Laws of Chess, article 5.2.1)."""
    board = chess.Board("7k/8/5KQ1/8/8/8/8/8 w - - 0 1")
    prover = MateProver()
    after = board.copy(stack=False)
    after.push_san("Kf7")
    assert twins.afters(after) == []
    assert prover.find_refutation(after, 3) is not None
    assert prover.find_mate(board, 1) is not None


def test_attackers_and_those_behind_them_are_found() -> None:
    for board in mixed(90):
        men = board.piece_map()
        for square in chess.SQUARES:
            for color in chess.COLORS:
                expected = {chess.SQUARE_NAMES[s] for s in twins.attackers(men, color, square)}
                assert set(squares_of(board.attackers_mask(color, square))) == expected
                hidden = {chess.SQUARE_NAMES[s] for s in twins.attackers_behind(men, color, square)}
                assert set(squares_of(behind(board, color, square))) == hidden, same(board)


def test_exchanges_are_worth_what_trying_all_captures_gives() -> None:
    for board in mixed(450, seed=6):
        for move in board.legal_moves:
            if board.is_capture(move) or move.promotion:
                assert gain_of(board, move) == twins.won_by(board, move), same(board)
                assert exchange_value(board, move) == twins.exchange(board, move), same(board)


def test_what_hangs_is_what_a_capture_wins() -> None:
    for board in mixed(500, seed=7):
        for square, man in board.piece_map().items():
            if man.piece_type != chess.KING:
                found = best_capture(board, square)
                expected = twins.loss_on(board, square)
                assert (found[0] if found else 0) == max(0, expected), (same(board), square)


def test_pins_are_the_men_between_a_slider_and_a_greater_man() -> None:
    met = 0
    for board in mixed(1500, seed=8):
        found = {
            (pinner, pinned, behind_it, "absolute" if pin.is_absolute else "relative")
            for pinned in board.piece_map()
            for pinner, behind_it, pin in pins_of(board, pinned)
        }
        assert found == twins.pins(board), same(board)
        met += len(found)
    assert met > 200


def test_skewers_are_the_greater_men_before_lesser_ones() -> None:
    met = 0
    for board in mixed(1500, seed=10):
        men = board.piece_map()
        found = {
            (slider, front, prize)
            for slider, front, prize in twins._trios(men)
            if find_skewer(board, slider, front, prize)
        }
        assert found == twins.skewers(board), same(board)
        met += len(found)
    assert met > 15


def test_a_move_uncovers_what_another_man_attacks_only_after_it() -> None:
    for board in mixed(150, seed=11):
        men = board.piece_map()
        for move in board.legal_moves:
            after = board.copy(stack=False)
            after.push(move)
            later = after.piece_map()
            expected = {
                (square, target)
                for square, man in men.items()
                if man.color == board.turn
                and man.piece_type in (3, 4, 5)
                and square != move.from_square
                and later.get(square) == man
                for target in twins.attacked_from(later, square) - twins.attacked_from(men, square)
                if target in later and later[target].color != board.turn
            }
            assert set(uncovered(board, move)) == expected, (same(board), move)


def test_a_side_may_castle_exactly_when_no_reason_stands_against_it() -> None:
    """The library's castling is the twin: it follows article 3.8.2 of the Laws on its own."""
    met = 0
    boards = [*games(900, seed=12), *(chess.Board(fen) for fen in CASTLING)]
    for board in boards:
        for color in chess.COLORS:
            other = twins.turned(board, color)
            if other is None or not any(other.legal_moves):
                continue
            for wing, is_short in (("king-side", True), ("queen-side", False)):
                can = any(
                    other.is_castling(move) and other.is_kingside_castling(move) == is_short
                    for move in other.legal_moves
                )
                assert can == (not reasons_against(board, color, wing)), (same(board), wing)
                met += can
    assert met > 30


CASTLING = (
    "1r2k2r/8/8/8/8/8/8/R3K2R w KQk - 0 1",  # b1 attacked: that does not matter
    "r3k2r/8/8/8/8/8/6p1/R3K2R w KQkq - 0 1",  # the pawn g2 attacks f1 and h1
    "r3k2r/8/8/8/4R3/8/8/4K3 b kq - 0 1",
    "rn2k1nr/8/8/8/8/8/8/R3KB1R b KQkq - 0 1",
)


def test_overload_is_what_hangs_without_the_guard() -> None:
    for board in mixed(15, seed=13):
        for guard, man in board.piece_map().items():
            if man.piece_type == chess.KING or twins.turned(board, not man.color) is None:
                continue
            bare = board.copy(stack=False)
            bare.remove_piece_at(guard)
            expected = {
                square: twins.loss_on(bare, square)
                for square, ward in bare.piece_map().items()
                if ward.color == man.color
                and ward.piece_type != chess.KING
                and twins.loss_on(board, square) <= 0 < twins.loss_on(bare, square)
            }
            assert wards_of(board, guard) == expected, (same(board), guard)


def test_a_fork_nets_its_best_capture_less_what_the_reply_took() -> None:
    for board in mixed(60, seed=14):
        for move in list(board.legal_moves)[:8]:
            after = board.copy(stack=False)
            after.push(move)
            men = after.piece_map()
            square = move.to_square
            targets = {
                s
                for s in twins.attacked_from(men, square)
                if s in men and men[s].color == after.turn
            }
            mask = sum(chess.BB_SQUARES[s] for s in targets)
            for reply in list(after.legal_moves)[:12]:
                then = after.copy(stack=False)
                then.push(reply)
                values = [
                    twins.exchange(then, capture)
                    for capture in then.legal_moves
                    if capture.from_square == square
                    and capture.to_square in targets
                    and then.color_at(capture.to_square) == then.turn ^ True
                ]
                expected = max([0, *values]) - twins.won_by(after, reply)
                assert fork_net(after, reply, square, mask) == expected, (same(after), reply)


def test_defences_are_the_replies_after_which_the_threat_is_gone() -> None:
    met = 0
    pressed = list(hunted(45, seed=15))
    for board in pressed:
        board.turn = chess.BLACK
    for board in [*pressed, *few_men(20, seed=15, men=(3, 6)), *games(4, seed=15)]:
        if not board.is_valid() or not any(board.legal_moves):
            continue
        found = {d.move for d in find_defences(board, MateThreat(1), MateProver())}
        expected = {
            move
            for move, after in zip(board.legal_moves, twins.afters(board), strict=True)
            if not twins.mates_within(after, 1)
        }
        assert found == expected, same(board)
        met += len(found) < board.legal_moves.count()
    assert met > 10


def test_defences_of_a_man_leave_no_capture_that_wins_as_much() -> None:
    for board in mixed(60, seed=16):
        own = [s for s, man in board.piece_map().items() if man.color == board.turn]
        for square in own[:4]:
            if board.piece_type_at(square) == chess.KING or not any(board.legal_moves):
                continue
            found = {d.move for d in find_defences(board, WinThreat(square, 1), MateProver())}
            expected = set()
            for move, after in zip(board.legal_moves, twins.afters(board), strict=True):
                stands = after.color_at(square) == board.turn
                if not stands or twins.loss_on(after, square) < 1:
                    expected.add(move)
            assert found == expected, (same(board), square)


@pytest.mark.parametrize(
    ("depth", "count", "men"), [(0, 500, (3, 6)), (1, 100, (2, 5)), (2, 24, (2, 4))]
)
def test_the_search_finds_the_value_that_trying_everything_finds(
    depth: int, count: int, men: tuple[int, int]
) -> None:
    for board in few_men(count, seed=17 + depth, men=men):
        level = twins.standing(board, chess.WHITE)
        search = MaterialSearch(level=level)
        expected = twins.value(board, depth, level)
        assert search.value(board, depth) == expected, same(board)
        assert balance_of(board) == twins.standing(board, board.turn)


def test_stalemate_is_worth_what_was_there_before() -> None:
    board = chess.Board("7k/5K2/6Q1/8/8/8/8/8 b - - 0 1")
    assert MaterialSearch(level=5).value(board, 1) == -5
    assert twins.value(board, 1, 5) == -5


def test_a_narrow_window_tells_the_same_as_a_wide_one() -> None:
    for board in [*few_men(60, seed=20, men=(3, 6)), *real(20, seed=20)]:
        level = twins.standing(board, chess.WHITE)
        wide = MaterialSearch(level=level).value(board, 2)
        search = MaterialSearch(level=level)
        for target in (wide - 1, wide, wide + 1, wide, wide - 1):
            assert (search.value(board, 2, target - 1, target) >= target) == (wide >= target)


def test_the_best_line_is_legal_and_ends_at_its_value() -> None:
    for board in [*few_men(80, seed=21, men=(3, 6)), *real(30, seed=21)]:
        search = MaterialSearch(level=twins.standing(board, chess.WHITE))
        expected = search.value(board, 2)
        line = search.best_line(board, 2)
        end = board.copy(stack=False)
        for move in line:
            assert end.is_legal(move)
            end.push(move)
        if len(line) < 12 and abs(expected) < 1000 and any(end.legal_moves):
            assert twins.standing(end, board.turn) == expected, same(board)
