"""One position as a picture: every man where chess.svg has it, as SVG and as PNG."""

from __future__ import annotations

import builtins
import re
import struct
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import chess
import chess.svg
import pytest
from click.testing import CliRunner, Result

from browser.tools import need_module
from outside.test_diagram_twin import FENS, their_men
from plybook.desk.command import cli

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(cli, [str(each) for each in arguments], standalone_mode=False)


def our_men(svg: str) -> frozenset[tuple[str, int, int]]:
    """Return letter, column and row of each man of our picture."""
    men = set()
    for use in ElementTree.fromstring(svg).iter(f"{SVG}use"):
        found = re.fullmatch(r"#p-([wb])([kqrbnp])", use.get(LINK, ""))
        if found:
            letter = found[2].upper() if found[1] == "w" else found[2]
            men.add((letter, int(use.get("x", "")) // 45, int(use.get("y", "")) // 45))
    return frozenset(men)


@pytest.mark.parametrize("view", ["white", "black"])
@pytest.mark.parametrize("fen", FENS[:6])
def test_every_man_of_a_fen_stands_where_the_twin_has_it(fen: str, view: str) -> None:
    done = run("diagram", fen, "--view", view)
    assert done.return_value == 0
    twin = chess.svg.board(chess.Board(fen), orientation=view == "white")
    assert our_men(done.output) == their_men(twin)


def test_a_reference_gives_its_position_with_marks_and_last_move(course_folder: Path) -> None:
    board = chess.Board()
    for san in ["e4", "e5", "Nf3", "Qf6", "Nc3", "Bc5", "Nd5"]:
        board.push_san(san)
    done = run("diagram", "queen-waits/errand@4.Nd5", course_folder)
    assert our_men(done.output) == their_men(chess.svg.board(board))
    tree = ElementTree.fromstring(done.output)
    assert [group.get("data-role") for group in tree.iter() if group.get("data-role")] == [
        "attack",
        "attack",
    ]
    traced = [use.get(LINK) for use in tree.iter(f"{SVG}use")]
    assert {"#p-lo", "#p-lt"} <= set(traced)
    title = tree.find(f"{SVG}title")
    assert title is not None
    assert "d5 attacks f6" in (title.text or "")


def test_a_line_that_one_lesson_alone_has_needs_no_lesson(course_folder: Path) -> None:
    short = run("diagram", "errand@end", course_folder)
    assert short.output == run("diagram", "queen-waits/errand@end", course_folder).output


@pytest.mark.parametrize("theme", ["press", "slate"])
def test_the_picture_needs_no_font_and_no_style(theme: str) -> None:
    svg = run("diagram", chess.STARTING_FEN, "--theme", theme).output
    assert "<text" not in svg
    assert "<style" not in svg
    assert "var(" not in svg
    assert len(re.findall(r'<path transform="translate\(', svg)) == 16


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("8/8/4k3/8/8/4K3/4P3/8 w - -", "six fields"),
        ("8/8/4k3/8/8/4K3/4P3/9 w - - 0 1", "not a FEN"),
        ("errnd@end", "did you mean `errand`?"),
        ("queen-wait/errand@end", "did you mean `queen-waits`?"),
        ("queen-waits/errand@9...Qa1", "no move `9...Qa1`"),
        ("somewhere", "not a reference"),
    ],
)
def test_a_wrong_position_is_told_in_one_line(course_folder: Path, asked: str, said: str) -> None:
    done = run("diagram", asked, course_folder)
    assert done.return_value == 2
    assert said in done.output
    assert done.output.startswith("plybook: ")
    assert done.output.count("\n") == 1


def test_a_png_has_the_size_asked_for_and_the_same_bytes_twice(tmp_path: Path) -> None:
    need_module("resvg_py", of="resvg-py")
    for name in ("a.png", "b.png"):
        done = run("diagram", chess.STARTING_FEN, "--out", tmp_path / name, "--size", 385)
        assert done.return_value == 0, done.output
    content = (tmp_path / "a.png").read_bytes()
    assert content == (tmp_path / "b.png").read_bytes()
    # PNG specification, second edition, 11.2.2: width and height come first in the first chunk.
    assert struct.unpack(">II", content[16:24]) == (385, 389)


def test_a_picture_may_be_made_again_and_another_is_left_alone(tmp_path: Path) -> None:
    need_module("resvg_py", of="resvg-py")
    for ending in ("svg", "png"):
        target = tmp_path / f"board.{ending}"
        assert run("diagram", chess.STARTING_FEN, "--out", target).return_value == 0
        assert run("diagram", FENS[1], "--out", target).return_value == 0
        target.write_bytes(b"a picture of my own")
        assert run("diagram", FENS[1], "--out", target).return_value == 2
        assert target.read_bytes() == b"a picture of my own"


def test_a_missing_extra_is_named_with_its_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *arguments: Any, **options: Any) -> Any:
        if name == "resvg_py":
            raise ImportError(name)
        return real(name, *arguments, **options)

    monkeypatch.setattr(builtins, "__import__", without)
    done = run("diagram", chess.STARTING_FEN, "--out", tmp_path / "board.png")
    assert done.return_value == 2
    assert "pip install 'plybook[png]'" in done.output
    assert not (tmp_path / "board.png").exists()


def test_another_kind_of_picture_is_refused(tmp_path: Path) -> None:
    done = run("diagram", chess.STARTING_FEN, "--out", tmp_path / "board.gif")
    assert done.return_value == 2
    assert ".svg nor .png" in done.output
