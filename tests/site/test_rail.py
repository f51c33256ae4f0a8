"""The rail under the plate: a column a ply, sidelines under the plies they replace."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from plybook.board.model import Line
from plybook.site.drawing.rail import rail_svg
from plybook.site.wording.tree import sideline_letters
from site_lines import line_of

BRANCHED = line_of(
    "e4", "e5", "Nf3", "Nc6", ("d6", "d4", "exd4"), ("Nf6", "Nxe5", "d6"), "Bb5", "a6", "Ba4"
)


def rail(line: Line) -> ElementTree.Element:
    return ElementTree.fromstring(str(rail_svg(line, letters=sideline_letters(line))))


def place_zero(root: ElementTree.Element) -> tuple[float, float]:
    """Return the x of the start and the width of a column."""
    return float(root.attrib["data-x"]), float(root.attrib["data-w"])


def test_a_branch_hangs_before_the_ply_it_replaces() -> None:
    root = rail(BRANCHED)
    left, width = place_zero(root)
    hooks = root.findall("./g[@class='br']")
    assert [hook.findtext("text") for hook in hooks] == ["A", "B"]
    for hook in hooks:
        ply = BRANCHED.plies[int(hook.attrib["data-i"]) - 1]
        assert (ply.number, ply.mover) == (2, "black")
        path = hook.find("./path[@class='hk']")
        assert path is not None
        start = float(re.findall(r"[\d.]+", path.attrib["d"])[0])
        assert left + 3 * width < start < left + 4 * width


def test_branches_that_overlap_stand_in_rows_of_their_own() -> None:
    rows = [float(hook.attrib["data-y"]) for hook in rail(BRANCHED).findall("./g[@class='br']")]
    assert len(set(rows)) == 2


def test_branches_far_apart_share_a_row() -> None:
    moves = ["e4", ("d4",), "e5", "Nf3", "Nc6", "Bb5", "a6", "Ba4", "Nf6", ("b5",), "O-O"]
    rows = [float(hook.attrib["data-y"]) for hook in rail(line_of(*moves)).findall("./g")[1:]]
    assert len(set(rows)) == 1


def test_a_long_line_fits_the_width() -> None:
    knights = ["Nf3", "Nf6", "Ng1", "Ng8"] * 30
    root = rail(line_of(*knights))
    left, width = place_zero(root)
    across = float(root.attrib["viewBox"].split()[2])
    assert left + width * len(knights) <= across
    numbers = [float(text.attrib["x"]) for text in root.iter("text")]
    assert min(b - a for a, b in pairwise(numbers)) >= 20


def test_a_sideline_longer_than_the_line_fits_too() -> None:
    tail = ("c5", *["Nf3", "Nf6", "Ng1", "Ng8"] * 10)
    root = rail(line_of("e4", "e5", tail))
    left, width = place_zero(root)
    assert left + width * 42 <= float(root.attrib["viewBox"].split()[2])


@pytest.mark.parametrize("moves", [(), ("e4",)], ids=["no move", "one move"])
def test_a_short_line_has_a_rail(moves: tuple[str, ...]) -> None:
    root = rail(line_of(*moves))
    assert root.attrib["data-line"] == "line"
    assert root.attrib["aria-hidden"] == "true"


def test_a_line_that_black_begins_is_numbered_from_whites_next_move() -> None:
    line = line_of("Kd8", "Kd6", fen="4k3/8/4K3/8/8/8/8/8 b - - 0 30")
    assert [text.text for text in rail(line).iter("text")] == ["31"]


def test_names_are_escaped() -> None:
    line = line_of("e4", name='a"<b')
    assert rail(line).attrib["data-line"] == 'a"<b'
