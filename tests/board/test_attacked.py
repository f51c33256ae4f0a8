"""What a moved man newly attacks, said aloud: the targets that matter and no others."""

from __future__ import annotations

import pytest

from helpers import play
from plybook.board import newly_attacked


@pytest.mark.parametrize(
    ("movetext", "targets"),
    [
        ("1. e4 e5 2. Nf3", ("e5",)),
        ("1. e4 e5 2. Nf3 Nc6 3. Bb5", ()),
        ("1. e4 d5", ("e4",)),
        ("1. e4 Nf6", ("e4",)),
        ("1. e4 d5 2. exd5 Qxd5 3. Nc3", ("d5",)),
        ("1. e4 e5 2. Qh5", ("e5",)),
        ("1. e4 e5 2. Qh5 Ke7 3. Qxe5#", ()),
        ("1. e4 f6 2. Bc4 g5 3. Qh5#", ()),
        ("1. d4 e6 2. c3 Bb4", ()),
        ("1. e4 e5 2. Qh5 g6 3. Qxe5+", ()),
    ],
    ids=[
        "unguarded",
        "guarded",
        "pawn",
        "knight",
        "queen",
        "queen-out",
        "mate",
        "mate-2",
        "guarded-pawn",
        "check",
    ],
)
def test_a_target_is_worth_more_or_has_no_guard(movetext: str, targets: tuple[str, ...]) -> None:
    line, found = play(movetext)
    assert not found
    assert newly_attacked(line)[-1] == targets


def test_each_ply_of_a_tree_is_asked_on_its_own_board() -> None:
    tree, _ = play("1. e4 e5 (1... d5 2. exd5 Qxd5 3. Nc3) 2. Nf3 (2. Qh5 Nf6) 2... Nc6")
    by_name = dict(zip((ply.label for ply in tree.plies), newly_attacked(tree), strict=True))
    for movetext in ("1. e4 d5 2. exd5 Qxd5 3. Nc3", "1. e4 e5 2. Qh5 Nf6", "1. e4 e5 2. Nf3 Nc6"):
        alone, _ = play(movetext)
        assert [by_name[ply.label] for ply in alone.plies] == list(newly_attacked(alone))
