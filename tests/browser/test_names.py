"""What the plate says: names of buttons, captions, words, announcements, hidden moves."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import chess
import pytest
from playwright.sync_api import Browser

from browser.reader import Reader, reading
from browser.told import ToldLesson, ToldLine, ToldPlace

LESSON = "lessons/special.html"
MEN = "kqrbnp"


@pytest.fixture(scope="module")
def special(trial_told: Mapping[str, ToldLesson]) -> ToldLesson:
    return trial_told["special"]


def plain(name: str) -> str:
    """Return a printed move as a label is written: `1. e4` with a thin space is `1.e4`."""
    return name.replace("\u202f", "").replace("…", "...")


def is_named(name: str, lead: str, place: ToldPlace) -> bool:
    """Return whether a name is a lead and the move with its number, signs and assessment."""
    number = re.match(r"\d+\.+", place.label)
    assert number
    wanted = f"{lead} {number[0]}{place.san}"
    return re.fullmatch(re.escape(wanted) + "[!?]*", plain(name)) is not None


def neighbours(line: ToldLine, place: ToldPlace) -> tuple[ToldPlace | None, ToldPlace | None]:
    before = line.places[place.parent] if place.parent else None
    after = line.places[place.children[0]] if place.children else None
    return before, after


def test_buttons_are_named_with_the_moves_they_lead_to(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for line in special.lines:
        for place in line.places.values():
            trial.follow(place.fragment)
            plate = trial.plate()
            before, after = neighbours(line, place)
            if after:
                assert is_named(plate.onward, "On to", after), (place.fragment, plate.onward)
            else:
                assert plate.onward == "end of line"
            if before and before.san:
                assert is_named(plate.back, "Back to", before), (place.fragment, plate.back)
            elif before:
                assert plate.back == "Back to The start"


def test_a_button_says_what_it_shows(trial: Reader, special: ToldLesson) -> None:
    """The name holds the visible text (WCAG 2.2, 2.5.3), so that voice control finds it."""
    trial.open(LESSON)
    for place in special.lines[0].places.values():
        trial.follow(place.fragment)
        shown = trial.all(
            "['prv', 'nxt'].map((id) => document.getElementById(id)).map((button) =>"
            " [button.innerText.trim(), button.getAttribute('aria-label')])"
        )
        for text, name in shown:
            assert text in name


def test_the_caption_names_the_place(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for line in special.lines:
        for place in line.places.values():
            trial.follow(place.fragment)
            plate = trial.plate()
            assert plate.title == line.title
            if not place.san:
                assert plate.caption == "The start"
            elif line.is_inside(place.fragment):
                assert re.match("Sideline [A-Z]: ", plate.caption), plate.caption
                assert is_named(plate.caption[10:], ":", place), plate.caption
            else:
                assert is_named(plate.caption, "After", place), plate.caption


def turn_of(board: chess.Board) -> str:
    if board.is_checkmate():
        return "Checkmate"
    if board.is_stalemate():
        return "Stalemate"
    return "White to move" if board.turn else "Black to move"


def test_whose_turn_it_is_and_how_it_ended(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    seen = set()
    for place in special.places.values():
        trial.follow(place.fragment)
        assert trial.plate().turn == turn_of(place.board), place.fragment
        seen.add(turn_of(place.board))
    assert seen == {"White to move", "Black to move", "Checkmate", "Stalemate"}


def position_in_words(board: chess.Board) -> str:
    """Return every man and square: king first, squares by file, then by rank."""
    sides = []
    for colour, side in ((chess.WHITE, "White"), (chess.BLACK, "Black")):
        groups = []
        for letter in MEN:
            man = chess.PIECE_SYMBOLS.index(letter)
            squares = sorted(chess.square_name(at) for at in board.pieces(man, colour))
            if not squares:
                continue
            name = chess.piece_name(man) + ("s" if len(squares) > 1 else "")
            first = ", ".join(squares[:-1])
            groups.append(f"{name} on {first}{' and ' if first else ''}{squares[-1]}")
        sides.append(f"{side}: {', '.join(groups)}.")
    return " ".join(sides)


def test_the_position_in_words_holds_every_man(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for place in special.places.values():
        trial.follow(place.fragment)
        assert trial.plate().words == position_in_words(place.board), place.fragment


def test_words_without_a_script_are_those_of_the_script(
    trial: Reader, browser: Browser, sites: Mapping[str, Path]
) -> None:
    trial.open(LESSON)
    with reading(browser, sites["trial"], java_script_enabled=False) as still:
        still.open(LESSON)
        assert still.page.locator("#words").text_content() == trial.plate().words


def test_the_picture_is_called_by_place_and_turn(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON)
    for place in special.places.values():
        trial.follow(place.fragment)
        plate = trial.plate()
        assert plate.picture == f"Board. {plate.caption}. {plate.turn}."


def said_of(place: ToldPlace, before: chess.Board) -> list[str]:
    """Return words that the announcement of a move must hold, in this order."""
    move = before.parse_san(place.san)
    side = "White" if before.turn else "Black"
    if before.is_castling(move):
        words = [f"{side} castles {'short' if before.is_kingside_castling(move) else 'long'}"]
    else:
        man = before.piece_at(move.from_square)
        assert man
        squares = [chess.square_name(at) for at in (move.from_square, move.to_square)]
        words = [f"{side} {chess.piece_name(man.piece_type)}, {squares[0]} to {squares[1]}"]
    if before.is_en_passant(move):
        words.append("takes the pawn on")
    elif before.is_capture(move):
        taken = before.piece_at(move.to_square)
        assert taken
        words.append(f"takes a {chess.piece_name(taken.piece_type)}")
    if move.promotion:
        words.append(f"becomes a {chess.piece_name(move.promotion)}")
    for ending, sign in (("mate", "#"), ("check", "+")):
        if place.san.endswith(sign):
            words.append(ending)
    if place.board.is_stalemate():
        words.append("stalemate")
    return words


def steps(lesson: ToldLesson) -> Iterator[tuple[ToldLine, ToldPlace, ToldPlace]]:
    for line in lesson.lines:
        for place in line.places.values():
            if place.parent is not None:
                yield line, line.places[place.parent], place


def test_a_move_is_announced_when_a_button_or_a_link_asks(
    trial: Reader, special: ToldLesson
) -> None:
    trial.open(LESSON)
    for line, before, place in steps(special):
        trial.follow(before.fragment)
        if before.children[0] == place.fragment:
            trial.focus("nxt")
            trial.press("Enter")
        else:
            trial.follow(place.fragment)
        live = trial.plate().live
        pattern = ".*".join(re.escape(words) for words in said_of(place, before.board))
        assert re.search(pattern, live), (place.fragment, live)
        assert live.startswith("Sideline ") == line.is_inside(place.fragment)


def test_the_slider_speaks_for_itself(trial: Reader, special: ToldLesson) -> None:
    """Its value text is read aloud by itself: an announcement besides would be read twice."""
    trial.open(LESSON)
    line = special.lines[0]
    trial.follow(line.start.fragment)
    before = trial.plate().live
    trial.focus("sl")
    for place in line.way_on(line.start.fragment)[1:]:
        trial.press("ArrowRight")
        plate = trial.plate()
        assert plate.live == before
        assert place.parent
        for words in said_of(place, line.places[place.parent].board):
            assert words in plate.said


def test_the_announcement_is_a_polite_live_region(trial: Reader) -> None:
    trial.open(LESSON)
    assert trial.page.locator("#live").get_attribute("aria-live") == "polite"
    assert trial.plate().live == ""  # nothing is announced while the page is opened


@pytest.mark.parametrize("control", ["nxt", "sl", "nested@1.e4", "d-1"])
def test_the_focus_stays_where_the_reader_pressed(
    trial: Reader, special: ToldLesson, control: str
) -> None:
    trial.open(LESSON, special.lines[0].start.fragment)
    if control == "d-1":  # the link in the caption of the first diagram
        trial.page.locator("#d-1 figcaption a").focus()
        trial.press("Enter")
        assert trial.all("document.activeElement.closest('#d-1') !== null")
    else:
        trial.focus(control)
        trial.press("ArrowRight" if control == "sl" else "Enter")
        assert trial.plate().focus == control
    assert trial.plate().places != [special.lines[0].start.fragment]


def test_marks_show_only_at_their_place(press: Reader, demo_told: Mapping[str, ToldLesson]) -> None:
    press.open("lessons/centre-first.html")
    lesson = demo_told["centre-first"]
    marked = {f"{line.name}@{label}" for line in lesson.lines for label in line.marked}
    assert marked
    for place in lesson.places.values():
        press.follow(place.fragment)
        plate = press.plate()
        if place.fragment in marked:
            assert plate.sets == [place.fragment]
        assert plate.sets in ([], [place.fragment])
        assert bool(plate.roles) == bool(plate.sets)


def test_the_legend_lists_the_marks_of_the_place(trial: Reader) -> None:
    trial.open(LESSON)
    expected = {"nested@2.Nf3": ["attack"], "nested@3.d4": ["plan", "target"], "nested@4.Nxd4": []}
    for fragment, roles in expected.items():
        trial.follow(fragment)
        assert sorted(trial.plate().roles) == roles


def hides_move(reader: Reader, place: ToldPlace) -> bool:
    """Return whether the forward button and the choices keep a move to themselves."""
    button = reader.page.locator("#nxt")
    said = [
        button.inner_text(),
        str(button.get_attribute("aria-label")),
        button.aria_snapshot(),
        reader.page.locator("#alts").inner_text(),
        str(button.get_attribute("title")),
    ]
    return not any(place.san.rstrip("+#") in plain(words) for words in said)


def test_a_hidden_next_move_is_given_away_by_nothing(
    trial: Reader, trial_told: Mapping[str, ToldLesson]
) -> None:
    line = trial_told["hidden"].lines[0]
    trial.open("lessons/hidden.html", line.start.fragment)
    trial.focus("nxt")
    for place in line.way_on(line.start.fragment)[1:]:
        assert hides_move(trial, place), place.fragment
        assert trial.plate().onward == "On to next move"
        trial.press("Enter")
        assert trial.placement() == place.placement
    assert trial.plate().onward == "end of line"


def test_hiding_can_be_switched(trial: Reader, special: ToldLesson) -> None:
    trial.open(LESSON, "nested@2.Nf3")
    after = special.places["nested@2...Nc6"]
    assert not hides_move(trial, after)
    assert trial.plate().choices == ["nested@2...d6", "nested@2...Nf6"]
    trial.page.locator("#hide").check()
    assert hides_move(trial, after)
    assert trial.plate().choices == []
    trial.page.locator("#hide").uncheck()
    assert not hides_move(trial, after)
