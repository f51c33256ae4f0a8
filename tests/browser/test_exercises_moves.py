"""A pupil solves an exercise on its board: by mouse, finger, keys, or by typing the move."""

from __future__ import annotations

from pathlib import Path

import chess
import pytest
from playwright.sync_api import Browser

from browser.exercise_course import POSITIONS
from browser.reader import Reader, reading
from browser.tries import Trying

TWO_ROWS = "The knight is pinned to the king: the bishop on d4 would give check."


def board_after(name: str, *sans: str) -> str:
    """Return the position of an exercise after some moves, as python-chess plays them."""
    board = chess.Board(POSITIONS[name])
    for san in sans:
        board.push_san(san)
    return board.board_fen()


# ---------------------------------------------------------------------- moving a man


def test_a_man_moves_by_a_press_on_him_and_on_his_square(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1")
    assert here.taken == {"a1"}
    board = chess.Board(POSITIONS["corridor"])
    reached = {chess.square_name(m.to_square) for m in board.legal_moves if m.from_square == 0}
    assert here.goals == reached
    here.press("a8")
    assert here.fen == board_after("corridor", "Ra8#")
    assert here.told == "Right. Solved."
    assert here.goals == here.taken == set()


def test_nothing_is_marked_before_a_man_is_taken_up(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    assert here.goals == set()
    here.press("a1", "a1")  # laid down again
    assert here.goals == here.taken == set()


def test_a_man_is_dragged_by_the_mouse(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.square("a1").drag_to(here.square("a8"))
    assert here.fen == board_after("corridor", "Ra8#")
    assert here.told == "Right. Solved."


def test_a_man_dragged_beside_the_board_goes_home(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.square("a1").drag_to(here.section.locator("h2"))
    assert here.fen == board_after("corridor")
    assert here.taken == set()


def test_a_finger_taps_and_drags(browser: Browser, tries_site: Path) -> None:
    window = {"width": 390, "height": 844}
    with reading(browser, tries_site, viewport=window, has_touch=True, is_mobile=True) as reader:
        here = Trying(reader, "corridor")
        here.square("a1").tap()
        here.square("d1").tap()
        assert here.fen == board_after("corridor", "Rd1")
        here.button("Take it back").tap()
        drag_by_finger(here, "a1", "a8")
        assert here.told == "Right. Solved."


def drag_by_finger(here: Trying, origin: str, target: str) -> None:
    """Touch a square, move the finger over the board, and lift it."""
    page = here.reader.page
    client = page.context.new_cdp_session(page)
    points = []
    for name in (origin, target):
        box = here.square(name).bounding_box()
        assert box
        points.append((box["x"] + box["width"] / 2, box["y"] + box["height"] / 2))
    (x, y), (to_x, to_y) = points
    for kind, step in (("touchStart", 0.0), ("touchMove", 0.3), ("touchMove", 1.0)):
        point = {"x": x + (to_x - x) * step, "y": y + (to_y - y) * step}
        client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [point]})
    client.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_the_keys_alone_solve_it(tries: Reader) -> None:
    """One tab stop, arrows from square to square, Enter or the space bar takes and sets."""
    here = Trying(tries, "corridor")
    here.section.evaluate("(section) => section.querySelector('.sq[tabindex=\"0\"]').focus()")
    assert here.focus == "a1, white rook"
    tries.press("Enter")
    assert here.focus == "a1, white rook, taken up"
    tries.press("ArrowUp", 7)
    assert here.focus == "a8, can go here"
    tries.press(" ")
    assert here.told == "Right. Solved."
    assert here.focus == "a8, white rook"


def test_escape_lays_a_man_down(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.square("a1").focus()
    tries.press("Enter")
    tries.press("ArrowUp")
    tries.press("Escape")
    assert here.taken == set()
    assert here.focus == "a2"


def test_the_arrows_stay_on_the_board_and_follow_a_turned_one(tries: Reader) -> None:
    here = Trying(tries, "other-side")
    here.square("a8").focus()  # below and to the right, seen from Black's side
    tries.press("ArrowDown")
    tries.press("ArrowRight")
    assert here.focus == "a8, black rook"
    tries.press("ArrowUp")
    assert here.focus == "a7"
    tries.press("Home")
    assert here.focus.startswith("h7")
    here.button("Turn the board").click()
    here.square("h7").focus()
    tries.press("ArrowUp")
    assert here.focus == "h8"
    assert here.fen == board_after("other-side")


@pytest.mark.parametrize("text", ["Ra8#", "Ra8", "1. Ra8", "ra8", "a1a8", "a1-a8", "Raa8!"])
def test_a_move_may_be_typed(tries: Reader, text: str) -> None:
    here = Trying(tries, "corridor")
    here.type(text)
    assert here.told == "Right. Solved."


@pytest.mark.parametrize("text", ["O-O", "0-0", "o-o", "e1g1"])
def test_castling_may_be_typed(tries: Reader, text: str) -> None:
    here = Trying(tries, "judged")
    here.type(text)
    assert here.fen == board_after("judged", "O-O")
    assert here.told == "Right. Solved."


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", ""),
        ("mate!", "No legal move is written like that."),
        ("Rb7", "More than one man can go there: write which."),
        ("Kg4", "The king does not reach g4."),
    ],
)
def test_a_typed_text_that_is_no_move_is_told_why(tries: Reader, text: str, said: str) -> None:
    # Both rooks of this position reach b7 once one of them stands on a7.
    here = Trying(tries, "ladder")
    if text == "Rb7":
        here.type("Ra7")
    here.type(text)
    assert here.told == said


@pytest.mark.parametrize("text", ["Ta8", "ta8#", "Ra8", "a1a8"])
def test_a_typed_move_has_the_letters_of_the_page(
    browser: Browser, german_tries_site: Path, text: str
) -> None:
    """T is the rook in German (PGN standard, section 17); the letters of PGN do no harm there."""
    with reading(browser, german_tries_site) as reader:
        here = Trying(reader, "corridor")
        field = here.section.locator("input")
        here.section.locator(".xtype summary").click()
        field.fill(text)
        field.press("Enter")
        assert here.fen == board_after("corridor", "Ra8#")


def test_a_reply_is_told_in_the_letters_of_the_page(
    browser: Browser, german_tries_site: Path
) -> None:
    with reading(browser, german_tries_site) as reader:
        here = Trying(reader, "corridor")
        here.press("g1", "g2")
        assert "1…Lxa1" in here.told


def test_castling_is_the_step_of_the_king(tries: Reader) -> None:
    here = Trying(tries, "judged")
    here.press("e1", "g1")
    assert here.fen == board_after("judged", "O-O")


# ---------------------------------------------------------------------- what is not right


def test_a_foreseen_try_gets_the_coachs_words(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1", "d1")
    assert here.told.startswith("The bishop just steps away")
    assert here.fen == board_after("corridor", "Rd1")
    here.button("Take it back").click()
    assert here.fen == board_after("corridor")
    assert here.told == ""


def test_an_unforeseen_try_meets_the_reply_that_wins_most(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("g1", "g2")
    assert here.fen == board_after("corridor", "Kg2", "Bxa1")
    assert here.told == "Not this one. Black answers 1…Bxa1. That loses 5 points."
    assert here.kept() is None


def test_a_try_without_a_reply_is_legal_and_not_what_is_asked(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1", "a4")
    assert here.told == "A legal move, but not what is asked."


def test_a_press_on_the_board_takes_a_try_back_and_the_man_up(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1", "a4")
    here.press("a1")
    assert here.fen == board_after("corridor")
    assert here.taken == {"a1"}


def test_the_focus_goes_back_to_the_board_with_the_try(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    here.press("a1", "a4")
    here.button("Take it back").focus()
    tries.press("Enter")
    assert here.focus == "a4"


@pytest.mark.parametrize(
    ("presses", "said"),
    [
        (["f2"], TWO_ROWS),
        (["g1", "g4"], "The king does not reach g4."),
        (["a1", "b3"], "The rook does not reach b3."),
        (["d4"], "It is White’s move."),
        (["e4"], "No man of yours stands on e4."),
    ],
)
def test_an_illegal_press_is_told_why(tries: Reader, presses: list[str], said: str) -> None:
    here = Trying(tries, "corridor")
    here.press(*presses)
    assert here.told == said
    assert here.fen == board_after("corridor")


def test_a_king_is_told_which_man_attacks_the_square(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f6", "g6")
    assert here.told == "The king on h7 attacks that square: the king may not step there."
    here.press("e5")  # he is still in hand
    assert here.fen == board_after("arrival", "Ke5", "Kg7")


def test_an_answer_beside_the_coachs_is_no_fault(tries: Reader) -> None:
    here = Trying(tries, "judged")
    here.press("e1", "f1")
    assert here.told.startswith("Not among the coach’s answers.")
    here.button("Take it back").click()
    here.press("e1", "g1")
    assert here.told == "Right. Solved."


# ---------------------------------------------------------------------- promotion


def test_a_pawn_that_arrives_is_asked_what_it_becomes(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f7", "f8")
    group = here.section.get_by_role("group", name="The pawn becomes")
    names = [button.get_attribute("aria-label") for button in group.get_by_role("button").all()]
    assert names == ["queen", "rook", "bishop", "knight"]
    assert here.focus == "queen"
    assert here.fen == board_after("arrival")
    tries.press("Enter")
    assert here.fen == board_after("arrival", "f8=Q")
    assert here.told.startswith("Stalemate")


def test_one_of_the_promotions_is_right(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f7", "f8")
    here.button("rook").click()
    assert here.fen == board_after("arrival", "f8=R", "Kh6")
    here.press("f8", "h8")
    assert here.told == "Right. Solved."


@pytest.mark.parametrize("text", ["f8=R", "f8R", "f7f8r"])
def test_a_typed_promotion_names_the_man(tries: Reader, text: str) -> None:
    here = Trying(tries, "arrival")
    here.type(text)
    assert here.fen == board_after("arrival", "f8=R", "Kh6")


def test_a_typed_promotion_without_a_man_asks(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.type("f8")
    assert here.focus == "queen"


def test_escape_leaves_the_choice_of_a_man(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f7", "f8")
    tries.press("Escape")
    assert here.focus == "f7, white pawn"
    assert here.fen == board_after("arrival")
    assert here.section.get_by_role("group", name="The pawn becomes").count() == 0


# ---------------------------------------------------------------------- to the end


def test_a_sequence_goes_on_after_the_forced_reply(tries: Reader) -> None:
    here = Trying(tries, "ladder")
    here.press("a2", "a7")
    assert here.fen == board_after("ladder", "Ra7", "Kg8")
    assert here.told == "Right. Black answers 1…Kg8. Your move again."
    here.press("b3", "b7")
    assert here.told == "A legal move, but not what is asked."
    here.button("Take it back").click()
    assert here.fen == board_after("ladder", "Ra7", "Kg8")
    here.press("b3", "b8")
    assert here.told == "Right. Solved."


@pytest.mark.parametrize(
    "moves", [("Rb7", "Kg8", "Ra8#"), ("Rg2", "Kh7", "Rh3#")], ids=["coach", "proof"]
)
def test_every_accepted_way_is_right(tries: Reader, moves: tuple[str, ...]) -> None:
    """The coach's second answer, and a mate in two that the coach did not write down."""
    here = Trying(tries, "ladder")
    board = chess.Board(POSITIONS["ladder"])
    for ply, san in enumerate(moves):
        move = board.push_san(san)
        if ply % 2 == 0:
            here.press(chess.square_name(move.from_square), chess.square_name(move.to_square))
    assert here.told == "Right. Solved."
    assert here.fen == board.board_fen()


def test_the_opponent_takes_a_moment_when_motion_is_wanted(
    browser: Browser, tries_site: Path
) -> None:
    with reading(browser, tries_site, reduced_motion="no-preference") as reader:
        here = Trying(reader, "ladder")
        here.press("a2", "a7")
        here.press("b3", "b8")  # too early: nothing happens
        here.section.get_by_text("Your move again").wait_for()
        reader.page.wait_for_timeout(300)  # the men slide
        assert here.fen == board_after("ladder", "Ra7", "Kg8")


def test_it_can_be_done_again_from_the_start(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    assert not here.button("Start again").is_visible()
    here.press("a1", "a8")
    here.button("Start again").click()
    assert here.fen == board_after("corridor")
    assert here.told == ""
    assert here.focus == "a1, white rook"
    here.press("a1", "a8")
    assert here.told == "Right. Solved."


def test_turning_the_board_moves_nobody(tries: Reader) -> None:
    here = Trying(tries, "corridor")
    before = here.square("a1").bounding_box()
    here.button("Turn the board").click()
    after = here.square("a1").bounding_box()
    assert before
    assert after
    assert (after["x"] > before["x"], after["y"] < before["y"]) == (True, True)
    assert here.fen == board_after("corridor")
    here.press("a1", "a8")
    assert here.told == "Right. Solved."
    assert here.fen == board_after("corridor", "Ra8#")


def test_another_man_may_move_while_a_pawn_waits_to_become_one(tries: Reader) -> None:
    here = Trying(tries, "arrival")
    here.press("f7", "f8")
    here.square("f6").drag_to(here.square("e5"))
    assert here.fen == board_after("arrival", "Ke5", "Kg7")
    assert here.section.get_by_role("group", name="The pawn becomes").count() == 0
