"""PGN files: python-chess reads back the same tree, and the form is that of the standard.

Sections are those of the PGN standard of 1994-03-12.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import chess
import chess.pgn

from plybook.board.model import Line
from plybook.site.wording.pgn import line_pgn
from plybook.text.model import Comment
from site_lines import SPAN, Builder, comment, line_of, random_builders


def read(text: str) -> chess.pgn.Game:
    """Return the one game of a text; a complaint of the reader fails the test."""
    stream = io.StringIO(text)
    game = chess.pgn.read_game(stream)
    assert game is not None
    assert not game.errors
    assert chess.pgn.read_game(stream) is None
    return game


def nodes_of(node: chess.pgn.GameNode) -> Iterator[chess.pgn.ChildNode]:
    """Yield the nodes below `node` in the order of the movetext."""
    if not node.variations:
        return
    main, *others = node.variations
    yield main
    for other in others:
        yield other
        yield from nodes_of(other)
    yield from nodes_of(main)


def said(comments: tuple[Comment, ...]) -> str:
    """Return comments as one text, spaces and braces as an export writes them."""
    text = " ".join(each.text for each in comments)
    return " ".join(text.replace("{", "(").replace("}", ")").split())


def assert_same_tree(line: Line) -> None:
    game = read(line_pgn(line, event="Test"))
    assert game.board().fen() == line.start.fen
    nodes = {tuple(move.uci() for move in node.board().move_stack): node for node in nodes_of(game)}
    ways: dict[int, tuple[str, ...]] = {0: ()}
    for ply in line.plies:
        way = (*ways[ply.parent], f"{ply.origin}{ply.target}{ply.promotion or ''}")
        ways[ply.index] = way
        node = nodes[way]
        assert set(node.nags) == set(ply.nags)
        assert " ".join(node.starting_comment.split()) == said(ply.comments_before)
        assert " ".join(node.comment.split()) == said(ply.comments)
    assert len(nodes) == len(line.plies)


def test_random_trees_read_back_with_moves_glyphs_comments_and_start() -> None:
    plies = 0
    for builder in random_builders(250, seed=1994, plies=16):
        assert_same_tree(builder.line())
        plies += len(builder.plies)
    assert plies > 3000


def test_lines_are_shorter_than_80_columns() -> None:  # section 4.3
    for builder in random_builders(60, seed=80):
        text = line_pgn(builder.line(), event="Test", source="A club night, " * 20)
        assert max(map(len, text.splitlines())) < 80


def test_no_line_begins_with_the_sign_that_hides_it() -> None:  # section 6
    builder = Builder()
    for count in range(3):
        board = builder.boards[count]
        move = sorted(board.legal_moves, key=chess.Move.uci)[0]
        builder.add(count, move, depth=0, comments=(comment("100 % " * 40),))
    assert not re.search("^%", line_pgn(builder.line(), event="Test"), re.MULTILINE)


def test_the_seven_tags_stand_first_and_in_order() -> None:  # section 8.1.1
    text = line_pgn(line_of("e4", fen="4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"), event="An ending")
    names = re.findall(r"^\[(\w+) ", text, re.MULTILINE)
    roster = ["Event", "Site", "Date", "Round", "White", "Black", "Result"]
    assert names == [*roster, "FEN", "SetUp"]


def test_a_line_from_the_usual_start_says_nothing_of_its_position() -> None:  # section 9.7
    assert "SetUp" not in read(line_pgn(line_of("e4", "e5"), event="Test")).headers


def test_quotation_marks_and_backslashes_in_a_title_stay_in_their_tag() -> None:  # section 7
    text = line_pgn(line_of("e4"), event='The "quiet" move \\ a study')
    assert text.splitlines()[0] == r'[Event "The \"quiet\" move \\ a study"]'


def test_the_result_stands_in_its_tag_and_at_the_end() -> None:  # section 8.2.6
    builder = Builder()
    builder.add_tree(0, ("f3", "e5", "g4", "Qh4#"))
    text = line_pgn(builder.line(result="0-1"), event="Test")
    assert read(text).headers["Result"] == "0-1"
    assert text.endswith(" 0-1\n")


def test_a_source_is_a_comment_before_the_first_move() -> None:
    game = read(line_pgn(line_of("e4"), event="Test", source="A. Player {White}, 1895"))
    assert game.comment == "A. Player (White), 1895"


def test_black_has_a_number_where_a_remark_or_a_variation_comes_between() -> None:  # 8.2.2.2
    text = line_pgn(line_of("e4", ("d4", "d5"), "e5", "Nf3"), event="Test")
    assert text.endswith("\n\n1. e4 (1. d4 d5) 1... e5 2. Nf3 *\n")


def test_a_comment_before_a_move_reads_back_before_it() -> None:
    builder = Builder()
    before = Comment(text="first", prose=comment("").prose, span=SPAN)
    builder.add(0, chess.Move.from_uci("e2e4"), depth=0)
    builder.add(0, chess.Move.from_uci("d2d4"), depth=1, comments_before=(before,))
    assert_same_tree(builder.line())
