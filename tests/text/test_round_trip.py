"""A legal tree, written as movetext, is read and played back to the same tree without a word."""

from __future__ import annotations

from hypothesis import given

from helpers import play, steady
from text.trees import Move, flat, trees, write


@steady(80)
@given(trees())
def test_a_written_tree_is_read_back_as_it_was(tree: tuple[str, list[Move]]) -> None:
    fen, moves = tree
    line, found = play(write(fen, moves), fen=fen)
    assert not found
    assert line.is_whole
    assert [
        (ply.parent, ply.depth, ply.san, ply.nags, tuple(note.text for note in ply.comments))
        for ply in line.plies
    ] == flat(moves)


@steady(30)
@given(trees())
def test_white_space_between_tokens_says_nothing(tree: tuple[str, list[Move]]) -> None:
    fen, moves = tree
    text = write(fen, moves)
    wide, found = play(text.replace(" ", "\n\t "), fen=fen)
    assert not found
    assert [ply.key for ply in wide.plies] == [ply.key for ply in play(text, fen=fen)[0].plies]
