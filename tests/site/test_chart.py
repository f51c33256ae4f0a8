"""The chart of the men that are out, against a count on python-chess boards."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from xml.etree import ElementTree

import chess
import pytest

from plybook.board import ledger
from plybook.board.model import Line
from plybook.site.pages.chart import (
    chart_svg,
    chart_words,
    count_signs,
    has_chart,
    is_telling,
    men_out,
    still_chart,
)
from plybook.site.wording.languages import ENGLISH
from plybook.site.wording.tree import sideline_letters
from site_lines import Builder, line_of, random_builders

#: Italian moves of our own choice; White castles in the main line, Black in a sideline.
ITALIAN = line_of(
    "e4", "e5", "Nf3", "Nc6", "Bc4", "Bc5", ("Nf6", "d3", "Be7", "O-O", "O-O"), "O-O", "Nf6", "d3"
)
#: A queen that comes out on the second move and is hit by a knight that comes out.
DRIVEN = line_of("e4", "d5", "exd5", "Qxd5", "Nc3", "Qa5", "Nf3")
#: Twelve moves a side: more plies than stacks have room for.
LONG = line_of(
    *("e4", "e5", "Nf3", "Nc6", "Bc4", "Bc5", "O-O", "Nf6", "d3", "O-O", "c3", "d6"),
    *("Nbd2", "a6", "Bb3", "Ba7", "h3", "Be6", "Bxe6", "fxe6", "Nc4", "h6", "a4", "Qe8"),
)
ENDING = line_of("Kd6", "Kd8", fen="4k3/8/4K3/4P3/8/8/8/8 w - - 0 40")


def book_of(line: Line) -> ledger.Ledger:
    return ledger.ledger_of(line)


def chart(line: Line) -> ElementTree.Element:
    letters = sideline_letters(line)
    return ElementTree.fromstring(str(chart_svg(line, book_of(line), letters=letters)))


def replayed(line: Line) -> list[chess.Board]:
    """Return a board for every place."""
    boards = [chess.Board(line.start.fen)]
    for ply in line.plies:
        board = boards[ply.parent].copy(stack=False)
        board.push_san(ply.san)
        boards.append(board)
    return boards


def off_the_rank(board: chess.Board, color: chess.Color) -> str:
    """Return the knights and bishops that are off their first rank, knights first."""
    rank = chess.BB_RANK_1 if color else chess.BB_RANK_8
    knights = len(chess.SquareSet(board.pieces_mask(chess.KNIGHT, color) & ~rank))
    bishops = len(chess.SquareSet(board.pieces_mask(chess.BISHOP, color) & ~rank))
    return "n" * knights + "b" * bishops


def column_of(root: ElementTree.Element, use: ElementTree.Element, scale: float) -> int:
    """Return the column a small man stands in, counted in plies from the start."""
    x = (float(use.attrib["x"]) + 22.5) * scale
    return round((x - float(root.attrib["data-x"])) / float(root.attrib["data-w"]))


def men_of(root: ElementTree.Element, group: ElementTree.Element) -> Counter[tuple[int, str]]:
    """Return how many small men of each drawing stand in each column of a group."""
    found: Counter[tuple[int, str]] = Counter()
    for scaled in group.findall("./g[@transform]"):
        scale = float(scaled.attrib["transform"][len("scale(") : -1])
        found.update(
            (column_of(root, use, scale), use.attrib["href"][3:]) for use in scaled.findall("use")
        )
    return found


def runs(line: Line) -> dict[int, list[int]]:
    """Return the places of each variation by its first place; the main line by 0."""
    found: dict[int, list[int]] = {0: [0, *(ply.index for ply in line.main())]}
    for ply in line.plies:
        if ply.depth and line.children(ply.parent)[0] != ply.index:
            run = found[ply.index] = [ply.index]
            while children := line.children(run[-1]):
                run.append(children[0])
    return found


# ---------------------------------------------------------------------- numbers


def test_men_that_are_out_are_those_off_the_back_rank() -> None:
    """On lines without promotion, where every knight and bishop is an original one."""
    for builder in random_builders(24, seed=11, plies=30):
        if builder.boards[0].fen() != chess.STARTING_FEN:
            continue
        line = builder.line()
        if any(ply.promotion for ply in line.plies):
            continue
        for entry, board in zip(book_of(line).entries, builder.boards, strict=True):
            assert men_out(entry.white) == off_the_rank(board, chess.WHITE)
            assert men_out(entry.black) == off_the_rank(board, chess.BLACK)


def test_the_script_reads_two_counts_a_place() -> None:
    boards = replayed(ITALIAN)
    signs = count_signs(book_of(ITALIAN), of="out")
    assert len(signs) == 2 * len(boards)
    for at, board in enumerate(boards):
        counts = [len(off_the_rank(board, color)) for color in (chess.WHITE, chess.BLACK)]
        assert [int(sign, 36) for sign in signs[2 * at : 2 * at + 2]] == counts


def test_a_queen_that_must_run_has_lost_a_move() -> None:
    signs = count_signs(book_of(DRIVEN), of="lost")
    assert signs == "00" * 6 + "01" * 2  # Black's, from 3...Qa5 on


# ---------------------------------------------------------------------- which lines have one


def test_a_game_in_which_men_come_out_has_a_chart() -> None:
    assert has_chart(book_of(ITALIAN))


@pytest.mark.parametrize(
    "line",
    [
        ENDING,
        line_of("e4", "e5", "d4"),
        line_of(),
        line_of("Nd5", "Nb5", fen="4k3/2n5/8/8/8/4N3/8/4K3 w - - 0 1"),
    ],
    ids=["ending", "pawns only", "no move", "all men out"],
)
def test_a_line_of_which_it_tells_nothing_has_none(line: Line) -> None:
    assert not has_chart(book_of(line))


def test_on_paper_stands_a_chart_in_which_men_come_out() -> None:
    assert is_telling(ITALIAN, book_of(ITALIAN))
    short = line_of("e4", "e5", "Nf3", "Nc6")
    assert has_chart(book_of(short))
    assert not is_telling(short, book_of(short))


def test_what_comes_out_in_a_sideline_alone_is_not_printed() -> None:
    line = line_of("e4", "e5", ("Nf6", "Nc3", "Nc6", "Nf3"), "d4")
    assert not is_telling(line, book_of(line))


# ---------------------------------------------------------------------- stacks


def test_each_column_of_stacks_holds_the_men_that_are_out() -> None:
    root, boards = chart(ITALIAN), replayed(ITALIAN)
    depth = [len(ITALIAN.path(place)) for place in range(len(boards))]
    groups = {int(group.get("data-i", 0)): group for group in root.findall("./g[@class='seg']")}
    assert groups.keys() == runs(ITALIAN).keys()
    for first, places in runs(ITALIAN).items():
        wanted: Counter[tuple[int, str]] = Counter()
        for place in places:
            for color, sign in ((chess.WHITE, "w"), (chess.BLACK, "b")):
                men = off_the_rank(boards[place], color)
                wanted.update((depth[place], sign + man) for man in men)
                king = boards[place].king(color)
                if king is not None and chess.square_file(king) == chess.FILE_NAMES.index("g"):
                    wanted[depth[place], sign + "k"] += 1
        assert men_of(root, groups[first]) == wanted


def test_white_stands_above_the_axis_and_black_below() -> None:
    root = chart(ITALIAN)
    axis_path = root.find(".//path[@class='ax']")
    assert axis_path is not None
    axis = float(axis_path.attrib["d"].split()[1].split("H")[0])
    for scaled in root.findall(".//g[@transform]"):
        scale = float(scaled.attrib["transform"][len("scale(") : -1])
        for use in scaled.findall("use"):
            middle = (float(use.attrib["y"]) + 22.5) * scale
            assert (middle < axis) == use.attrib["href"].startswith("#p-w")


def test_a_queen_is_struck_through_where_she_lost_a_move() -> None:
    root = chart(DRIVEN)
    (group,) = root.findall("./g[@class='seg']")
    queens = {at: n for at, n in men_of(root, group).items() if at[1] == "bq"}
    assert queens == {(6, "bq"): 1}
    assert len(group.findall("./path[@class='run']")) == 1


# ---------------------------------------------------------------------- stairs


def test_a_long_line_has_bricks_and_each_man_once() -> None:
    root, boards = chart(LONG), replayed(LONG)
    (group,) = root.findall("./g[@class='seg']")
    came: Counter[str] = Counter()
    for before, after in pairwise(boards):
        for color, sign in ((chess.WHITE, "w"), (chess.BLACK, "b")):
            gained = Counter(off_the_rank(after, color)) - Counter(off_the_rank(before, color))
            came.update({sign + man: count for man, count in gained.items()})
    came.update({"wk": 1, "bk": 1})  # both sides castle
    drawn: Counter[str] = Counter()
    for (_, man), count in men_of(root, group).items():
        drawn[man] += count
    assert drawn == came


def test_bricks_lie_where_that_many_men_are_out() -> None:
    root, boards = chart(LONG), replayed(LONG)
    left, width = float(root.attrib["data-x"]), float(root.attrib["data-w"])
    for color, name in ((chess.WHITE, "w"), (chess.BLACK, "b")):
        bricks = root.find(f".//path[@class='{name}']")
        assert bricks is not None
        spans = [
            (float(a), float(b))
            for a, b in re.findall(r"M([\d.-]+) [\d.-]+H([\d.-]+)", bricks.attrib["d"])
        ]
        for at, board in enumerate(boards):
            x = left + width * at
            assert sum(a < x < b for a, b in spans) == len(off_the_rank(board, color))


def test_a_line_of_sixty_plies_fits_the_width() -> None:
    knights = ["Nf3", "Nf6", "Ng1", "Ng8"] * 15
    root = chart(line_of(*knights))
    left, width = float(root.attrib["data-x"]), float(root.attrib["data-w"])
    assert left + width * 60.5 <= float(root.attrib["viewBox"].split()[2]) + 0.5


# ---------------------------------------------------------------------- sidelines, paper, words


def test_a_sideline_covers_what_it_replaces() -> None:
    root = chart(ITALIAN)
    left, width = float(root.attrib["data-x"]), float(root.attrib["data-w"])
    (sideline,) = (group for group in root.findall("./g[@class='seg']") if "data-i" in group.attrib)
    cover = sideline[0]
    assert cover.attrib["class"] == "cv"
    start = float(cover.attrib["d"][1:].split()[0])
    assert start == pytest.approx(left + 5.5 * width, abs=0.1)  # before Black's third move


def test_every_sideline_has_its_hook_and_its_letter() -> None:
    root = chart(ITALIAN)
    (hook,) = root.findall("./g[@class='br']")
    assert hook.findtext("text") == "A"
    assert ITALIAN.plies[int(hook.attrib["data-i"]) - 1].san == "Nf6"


def test_variations_of_random_lines_have_a_group_each() -> None:
    drawn = 0
    for builder in random_builders(16, seed=5, plies=24):
        line = builder.line()
        if has_chart(book_of(line)):
            groups = chart(line).findall("./g[@class='seg']")
            assert [int(group.get("data-i", 0)) for group in groups] == sorted(runs(line))
            drawn += 1
    assert drawn


def test_the_chart_on_paper_has_the_main_line_and_its_words() -> None:
    book = book_of(ITALIAN)
    told = chart_words(ITALIAN, book, ENGLISH, letters="english")
    still = ElementTree.fromstring(str(still_chart(ITALIAN, book, label=told)))
    assert (still.attrib["role"], still.attrib["aria-label"]) == ("img", told)
    assert not still.findall(".//g[@data-i]")
    assert told == (
        "Men out: White 0, Black 0. After 2.Nf3: White 1, Black 0."
        " After 2…Nc6: White 1, Black 1. After 3.Bc4: White 2, Black 1."
        " After 3…Bc5: White 2, Black 2. After 4…Nf6: White 2, Black 3."
    )


def test_a_chart_is_the_same_each_time() -> None:
    assert ElementTree.tostring(chart(LONG)) == ElementTree.tostring(chart(LONG))


def test_names_are_escaped() -> None:
    builder = Builder()
    builder.add_tree(0, ("e4", "e5", "Nf3"))
    assert chart(builder.line('a"<b')).attrib["data-line"] == 'a"<b'
