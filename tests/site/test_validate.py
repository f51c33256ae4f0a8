"""The last look finds every planted fault, and nothing in a sound site."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable

import chess
import justhtml
import pytest

from plybook.site.inspection.strict_html import read_page
from plybook.site.inspection.validate import POLICY, Problem, validate

SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
Files = dict[str, bytes]


class Tree:
    """A line with variations, told in squares and in words by python-chess alone."""

    def __init__(self, name: str, fen: str = chess.STARTING_FEN, *, chess960: bool = False) -> None:
        self.name = name
        self.start = chess.Board(fen, chess960=chess960)
        self.moves = ""
        self.anchors = [f"{name}@start"]

    def play(self, board: chess.Board, move: chess.Move, way: str) -> str:
        """Write one move down, play it on the board, and return the words it got."""
        dots = "." if board.turn else "..."
        words = f"{way}{board.fullmove_number}{dots}{board.san(move).rstrip('+#')}"
        target, extra = move.to_square, ""
        if board.is_castling(move):
            is_short = board.is_kingside_castling(move)
            row = chess.square_rank(move.from_square)
            target = chess.square(6 if is_short else 2, row)
            rights = board.clean_castling_rights() & chess.BB_RANKS[row]
            rook = chess.msb(rights) if is_short else chess.lsb(rights)
            extra = f"+{SIGNS[rook]}{SIGNS[chess.square(5 if is_short else 3, row)]}"
        elif board.is_en_passant(move):
            extra = f"!{SIGNS[chess.square(chess.square_file(target), move.from_square // 8)]}"
        elif move.promotion:
            extra = f"={chess.Piece(move.promotion, board.turn).symbol()}"
        self.moves += f"{SIGNS[move.from_square]}{SIGNS[target]}{extra}"
        self.anchors.append(f"{self.name}@{words}")
        board.push(move)
        return words

    def play_san(self, board: chess.Board, *sans: str, way: str = "") -> None:
        for san in sans:
            self.play(board, board.parse_san(san), way)

    def grow(self, chance: random.Random, *, plies: int) -> None:
        self._grow(chance, self.start.copy(), "", plies, 0)

    def _grow(
        self, chance: random.Random, board: chess.Board, way: str, plies: int, depth: int
    ) -> None:
        for _ in range(plies):
            legal = sorted(board.legal_moves, key=chess.Move.uci)
            if not legal:
                return
            # Rare kinds of moves are taken whenever they can be.
            rare = [m for m in legal if board.is_castling(m) or board.is_en_passant(m)]
            rare += [m for m in legal if m.promotion]
            first = chance.choice(rare or legal)
            before = board.copy()
            self.play(board, first, way)
            others = [move for move in legal if move != first]
            if others and depth < 3 and chance.random() < 0.2:
                self.moves += "("
                side = before.copy()
                words = self.play(side, chance.choice(others), way)
                self._grow(chance, side, f"{words}~", chance.randrange(6), depth + 1)
                self.moves += ")"

    def data(self) -> dict[str, object]:
        board = self.start
        return {
            "name": self.name,
            "fen": board.fen(),
            "from": "".join(
                piece.symbol() if (piece := board.piece_at(square)) else "."
                for square in chess.SQUARES
            ),
            "turn": "w" if board.turn else "b",
            "moves": self.moves,
            "say": [""] * (len(self.anchors) - 1),
        }

    def html(self) -> str:
        moves = " ".join(f'<a class="m" id="{name}" href="#{name}">x</a>' for name in self.anchors)
        return f'<section class="line" id="l-{self.name}"><p class="mv">{moves}</p></section>'


def page(body: str, *, root: str = "", head: str = "") -> bytes:
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        f'<title>Knots &amp; pins</title>\n<link rel="stylesheet" href="{root}style.css">\n'
        f'<script src="{root}board.js"></script>{head}\n</head>\n<body>\n'
        f'<svg width="0" height="0"><symbol id="p-wn" viewBox="0 0 45 45"><path d="M0 0h9"/>'
        f"</symbol></svg>\n{body}\n</body>\n</html>\n"
    ).encode()


def lesson(*trees: Tree, at: str | None = None) -> bytes:
    data = json.dumps({"at": at or trees[0].anchors[0], "lines": [tree.data() for tree in trees]})
    lines = "\n".join(tree.html() for tree in trees)
    return page(
        f'<main><h1 id="h-top">Moor the rook</h1>{lines}<svg><use href="#p-wn"/></svg></main>\n'
        f'<script type="application/json" id="lesson-data">{data}</script>',
        root="../",
    )


def quay() -> Tree:
    tree = Tree("quay")
    board = tree.start.copy()
    tree.play_san(board, "e4", "e5", "Nf3")
    tree.moves += "("
    side = chess.Board()
    for san in ("e4", "e5"):
        side.push_san(san)
    tree.play_san(side, "f4", way="")
    tree.anchors[-1] = "quay@2.f4"
    tree.play_san(side, "exf4", way="2.f4~")
    tree.moves += ")"
    tree.play_san(board, "Nc6", "Bb5", "a6", "O-O")
    return tree


@pytest.fixture
def files() -> Files:
    return {
        "index.html": page(
            '<main><p><a href="lessons/moor.html">Moor</a> '
            '<a href="lessons/moor.html#quay@2.Nf3">there</a> '
            '<a href="lessons/moor.html#quay%402.Nf3">again</a> '
            '<a href="https://example.org/">out</a> <a href="m%C3%B6we.png">gull</a></p>'
            '<img src="m%C3%B6we.png" alt="A gull"></main>'
        ),
        "lessons/moor.html": lesson(quay()),
        "lessons/moor.pgn": b"1. e4 e5 *\n",
        "style.css": b'@font-face{src:url("fonts/five.woff2")} /* url(gone) */',
        "fonts/five.woff2": b"wOF2",
        "board.js": b"'use strict'",
        "m\u00f6we.png": b"png",
        "drawing.svg": b'<svg xmlns="http://www.w3.org/2000/svg"><path id="a" d="M0 0"/></svg>',
        "search.json": b"{}",
    }


def test_a_sound_site_has_no_problems(files: Files) -> None:
    assert validate(files) == ()


def swap(path: str, old: str, new: str) -> Callable[[Files], None]:
    def plant(files: Files) -> None:
        text = files[path].decode()
        assert old in text
        files[path] = text.replace(old, new, 1).encode()

    return plant


def add(body: str) -> Callable[[Files], None]:
    return swap("index.html", "</main>", f"{body}</main>")


def remove(path: str) -> Callable[[Files], None]:
    def plant(files: Files) -> None:
        del files[path]

    return plant


def rename(path: str, new: str) -> Callable[[Files], None]:
    def plant(files: Files) -> None:
        files[new] = files.pop(path)

    return plant


MOOR = "lessons/moor.html"
FAULTS: dict[str, tuple[Callable[[Files], None], str]] = {
    # links
    "a missing page": (remove("lessons/moor.html"), "leads to no file"),
    "a missing picture": (remove("m\u00f6we.png"), "leads to no file"),
    "another case": (rename("lessons/moor.html", "lessons/Moor.html"), "leads to no file"),
    "a missing style sheet": (remove("style.css"), "leads to no file"),
    "a missing script": (remove("board.js"), "leads to no file"),
    "a missing font": (remove("fonts/five.woff2"), "leads to no file"),
    "a broken fragment": (swap("index.html", "#quay@2.Nf3", "#quay@2.Nf4"), "not in that page"),
    "a broken fragment here": (add('<a href="#gone">x</a>'), "not in the page"),
    "an empty fragment": (add('<a href="#">x</a>'), "not in the page"),
    "an empty link": (add('<a href="">x</a>'), "is empty"),
    "a folder": (add('<a href="lessons/">x</a>'), "leads to a folder"),
    "the host's top": (add('<a href="/index.html">x</a>'), "host's top"),
    "a way out": (add('<a href="../index.html">x</a>'), "leads to no file"),
    "a query": (add('<a href="index.html?a=1">x</a>'), "has a"),
    "a scheme": (add('<a href="javascript:alert(1)">x</a>'), "scheme of another kind"),
    "a hidden scheme": (add('<a href="&#106;avascript:alert(1)">x</a>'), "scheme of another kind"),
    "data as a link": (add('<a href="data:text/html,x">x</a>'), "scheme of another kind"),
    "a fragment of no page": (add('<a href="lessons/moor.pgn#1">x</a>'), "leads to no page"),
    "a missing man": (swap(MOOR, '<use href="#p-wn"/>', '<use href="#p-wq"/>'), "not in the page"),
    "a man from elsewhere": (
        swap(MOOR, '<use href="#p-wn"/>', '<use href="men.svg#p-wn"/>'),
        "leads out of the page",
    ),
    "a missing pattern": (add('<svg><path fill="url(#gone)"/></svg>'), "not in the page"),
    "a label that is not there": (add('<p aria-labelledby="gone">x</p>'), "not in the page"),
    "a diagram that goes nowhere": (add('<div data-go="#gone"></div>'), "not in the page"),
    # what is loaded from elsewhere
    "a foreign picture": (add('<img src="https://example.org/a.png" alt="">'), "out of the site"),
    "a picture by two slashes": (add('<img src="//example.org/a.png" alt="">'), "out of the site"),
    "a picture in the address": (add('<img src="data:image/png,x" alt="">'), "out of the site"),
    "a foreign script": (
        swap("index.html", 'src="board.js"', 'src="https://example.org/a.js"'),
        "out of the site",
    ),
    "a foreign style sheet": (
        swap("index.html", 'href="style.css"', 'href="//example.org/a.css"'),
        "out of the site",
    ),
    "a foreign font": (swap("style.css", "fonts/five.woff2", "https://example.org/f"), "out of"),
    "an imported style sheet": (swap("style.css", "@font", '@import "//a.org/x";@font'), "out of"),
    "a choice of pictures": (add('<img srcset="a.png 2x" alt="">'), "attribute srcset"),
    "a frame": (add('<iframe src="index.html"></iframe>'), "<iframe> has no place"),
    "an object": (add('<object data="a.pdf"></object>'), "<object> has no place"),
    "a base": (swap("index.html", "<title>", '<base href="/"><title>'), "<base> has no place"),
    "a form": (add('<form action="https://example.org/"></form>'), "<form> has no place"),
    "a refresh": (
        swap("index.html", "<title>", '<meta http-equiv="refresh" content="0"><title>'),
        "other than the policy",
    ),
    # code and style
    "an inline script": (add("<script>alert(1)</script>"), "inline script"),
    "an inline module": (add('<script type="module">1</script>'), "inline script"),
    "an event": (add('<p onclick="alert(1)">x</p>'), "event attribute"),
    "an event in capitals": (add('<p OnClick="alert(1)">x</p>'), "event attribute"),
    "an event in a drawing": (add('<svg><path onload="x"/></svg>'), "event attribute"),
    "a script in a drawing": (add("<svg><script>1</script></svg>"), "in a drawing"),
    "a foreign object": (add("<svg><foreignObject/></svg>"), "<foreignObject> has no place"),
    "a style": (add('<p style="color:red">x</p>'), "attribute style"),
    "a style element": (add("<style>p{}</style>"), "<style> has no place"),
    # the policy
    "no policy": (
        lambda files: files.update(
            {"index.html": re.sub(rb"<meta http-equiv.*\n", b"", files["index.html"])}
        ),
        "the policy does not stand first",
    ),
    "a looser policy": (
        swap("index.html", "default-src 'none'", "default-src 'self'"),
        "the policy does not stand first",
    ),
    "a script before the policy": (
        swap("index.html", '<meta charset="utf-8">', '<meta charset="utf-8"><script></script>'),
        "the policy does not stand first",
    ),
    "another encoding": (swap("index.html", "utf-8", "latin-1"), "the policy does not"),
    # the page as such
    "an id twice": (add('<p id="a">x</p><p id="a">y</p>'), "the id `a` stands 2 times"),
    "an id with a space": (add('<p id="a b">x</p>'), "id with a space"),
    "an open tag": (add("<p>x"), "where <p> is open"),
    "a list left open": (add("<ul><li>x</ul>"), "where <li> is open"),
    "an end too many": (add("</div>"), "</div> where <main> is open"),
    "crossed ends": (add("<p><b><i>x</b></i></p>"), "</b> where <i> is open"),
    "a division closed by a slash": (add("<div/>"), "not closed by its slash"),
    "a block in a paragraph": (add("<p><ul></ul></p>"), "<ul> in a paragraph"),
    "a link in a link": (
        add('<a href="index.html"><b><a href="index.html">x</a></b></a>'),
        "<a> in a link",
    ),
    "an item without a list": (add("<li>x</li>"), "<li> in <main>"),
    "a cell without a row": (add("<table><td>x</td></table>"), "<td> in <table>"),
    "a bare angle": (add("<p>a < b</p>"), "broken tag: < b"),
    "a bare ampersand": (add("<p>a & b</p>"), "bare &: & b"),
    "an unknown character": (add("<p>&nosuch;</p>"), "unknown character"),
    "an unquoted value": (add("<p class=a>x</p>"), "broken tag"),
    "a value in single quotes": (add("<p class='a'>x</p>"), "broken tag"),
    "an attribute twice": (add('<p class="a" class="b">x</p>'), "attribute twice"),
    "a control character": (add("<p>\x00</p>"), "control character U+0000"),
    "no document type": (swap("index.html", "<!doctype html>\n", ""), "does not begin with"),
    "a page cut short": (swap("index.html", "</html>", ""), "<html> is not closed"),
    "not utf-8": (lambda files: files.update({"index.html": b"\xff"}), "not in UTF-8"),
    # other files
    "an entity in a drawing": (
        lambda files: files.update({"a.svg": b'<!DOCTYPE s [<!ENTITY a "b">]><s>&a;</s>'}),
        "document type",
    ),
    "code in a drawing": (swap("drawing.svg", "<path", "<script/><path"), "<script> has no place"),
    "an address in a drawing": (
        swap("drawing.svg", 'id="a"', 'fill="url(https://example.org/a)"'),
        "leads out of the drawing",
    ),
    "a broken drawing": (swap("drawing.svg", "</svg>", ""), "cannot be read"),
    "broken data": (swap("search.json", "}", ""), "cannot be read"),
    # moves
    "an illegal move": (swap(MOOR, '"moves": "Mc', '"moves": "Mk'), "e2e5 is illegal"),
    "a move of nobody": (swap(MOOR, '"moves": "Mc', '"moves": "Tc'), "is illegal"),
    "a wrong square": (swap(MOOR, "GV(", "GW("), "is illegal"),
    "castling without the rook": (swap(MOOR, "EG+HF", "EG"), "quay@4.O-O"),
    "the rook to a wrong square": (swap(MOOR, "EG+HF", "EG+HE"), "the board would show"),
    "a man too many vanishes": (swap(MOOR, "Mc", "Mc!A"), "the board would show"),
    "a promotion from nowhere": (swap(MOOR, "Mc", "Mc=Q"), "is illegal"),
    "another start": (swap(MOOR, '"from": "RNB', '"from": "RBN'), "the board would show"),
    "the wrong side to move": (swap(MOOR, '"turn": "w"', '"turn": "b"'), "side to move"),
    "another numbering": (swap(MOOR, " KQkq - 0 1", " KQkq - 0 2"), "is another one"),
    "other words": (swap(MOOR, 'id="quay@3.Bb5"', 'id="quay@3.Bc4"'), "is another one"),
    "no capture in the words": (swap(MOOR, "~2...exf4", "~2...ef4"), "is another one"),
    "a ply too many": (swap(MOOR, '+HF"', '+HF80"'), "10 plies, 9 moves in the text"),
    "a ply without speech": (swap(MOOR, '"say": ["", ', '"say": ['), "spoken"),
    "a bracket too many": (swap(MOOR, "EG+HF", "EG+HF)"), "cannot be read"),
    "a bracket left open": (swap(MOOR, "GV(", "GV(("), "cannot be read"),
    "a sign of no square": (swap(MOOR, '"moves": "Mc', '"moves": "M.'), "cannot be read"),
    "no data": (swap(MOOR, '"lines"', '"lanes"'), "cannot be read"),
    "data that breaks off": (swap(MOOR, "]}</script>", "]</script>"), "cannot be read"),
    "a tag in the data": (swap(MOOR, '"at"', '"<b>": 1, "at"'), "<b> in a script"),
    "a board that stands nowhere": (swap(MOOR, '"at": "quay@start"', '"at": "q"'), "stands at `q`"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_found(files: Files, name: str) -> None:
    plant, words = FAULTS[name]
    plant(files)
    found = validate(files)
    assert [problem for problem in found if words in problem.message], found
    assert list(found) == sorted(found)


def test_a_problem_names_its_file(files: Files) -> None:
    add('<a href="#gone">x</a>')(files)
    assert validate(files) == (
        Problem("index.html", "<a> leads to `#gone`, which is not in the page"),
    )


MARKUP = [
    "<p>x",
    "<div/>",
    "<p><ul></ul></p>",
    "<p><b><i>x</b></i></p>",
    "</div>",
    "<p>a < b</p>",
    "<p>&nosuch;</p>",
    "<p class=a'b>x</p>",
    '<p class="a" class="b">x</p>',
    "<li>x</div>",
    "<table><td>x</td></table>",
    "<p>\x01</p>",
    "<b><p>x</b></p>",
    "<svg><p>x</p></svg>",
    '<a href="index.html"><a href="index.html">x</a></a>',
    "<button><button>x</button></button>",
    "<h2>a<h3>b</h3></h2>",
    "</p>",
    "<br></br>",
    "<p>x</p></body><p>y</p>",
    "<span",
    "<!-- <!-- x -->",
    "<!-->",
    "<?php ?>",
    "<![CDATA[x]]>",
    "<p>x</p x>",
]


@pytest.mark.parametrize("body", MARKUP)
def test_markup_that_a_browser_would_have_to_repair_is_found(body: str) -> None:
    assert read_page(page(f"<main>{body}</main>")).faults


def test_whatever_a_full_parser_complains_of_is_found(files: Files) -> None:
    """It complains of less than the standard calls an error; of that, nothing may escape us."""
    chance = random.Random(11)
    whole = files["lessons/moor.html"].decode()
    pieces = re.findall(r"<[^>]*>|[^<]+", whole)
    complaints = 0
    for _ in range(300):
        spoilt = pieces[:]
        for _ in range(chance.randint(1, 3)):
            place = chance.randrange(len(spoilt))
            match chance.randrange(3):
                case 0:
                    del spoilt[place]
                case 1:
                    spoilt.insert(place, chance.choice(pieces))
                case _:
                    spoilt[place] = spoilt[place][:-1]
        text = "".join(spoilt)
        if justhtml.JustHTML(text, collect_errors=True).errors:
            complaints += 1
            assert read_page(text.encode()).faults, text
    assert complaints > 100


def test_a_full_parser_has_nothing_to_add_on_sound_pages(files: Files) -> None:
    pages = [content for path, content in files.items() if path.endswith(".html")]
    pages.append(
        page(
            "<main><!-- plain --><ul><li>a<ol><li>b</li></ol></li></ul><dl><dt>c</dt><dd>d</dd>"
            "</dl><table><thead><tr><th>e</th></tr></thead><tbody><tr><td>f</td></tr></tbody>"
            "</table><details open><summary>g</summary><p>h&nbsp;&#8239;&lt;</p></details>"
            '<svg viewBox="0 0 9 9"><title>i</title><linearGradient id="j"/><path '
            'fill="url(#j)"/></svg><pre><code>k</code></pre><p>l<br>m<img src="a" alt=""></p>'
            '<label><input type="checkbox" hidden> n</label><figure><figcaption>o</figcaption>'
            "</figure></main>"
        )
    )
    for content in pages:
        assert read_page(content).faults == ()
        assert justhtml.JustHTML(content.decode(), collect_errors=True).errors == []


POSITIONS = {
    "from the start": (chess.STARTING_FEN, False),
    "castling": ("r3k2r/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/R3K2R b KQkq - 4 9", False),
    "en passant": ("rnbqkbnr/ppp1p1pp/8/3pPp2/8/8/PPPP1PPP/RNBQKBNR w KQkq f6 0 3", False),
    "promotion": ("1n2k3/P1P5/8/8/8/8/1p1p4/R3K2R b K - 0 40", False),
    "castling from other squares": ("1r2kr2/pppppppp/8/8/8/8/PPPPPPPP/1R2KR2 w FBfb - 0 1", True),
    "king and rook change places": ("4k3/8/8/8/8/8/8/5KR1 w G - 0 1", True),
}


@pytest.mark.parametrize("name", POSITIONS)
def test_lines_of_every_kind_of_move_are_found_sound(files: Files, name: str) -> None:
    fen, chess960 = POSITIONS[name]
    for seed in range(12):
        trees = [Tree(f"line-{number}", fen, chess960=chess960) for number in range(2)]
        for tree in trees:
            tree.grow(random.Random(seed), plies=24)
        files["lessons/moor.html"] = lesson(*trees)
        files["index.html"] = page("<main><p>x</p></main>")
        assert validate(files) == ()


def test_no_square_of_a_line_can_be_changed_unseen(files: Files) -> None:
    tree = Tree("moor", POSITIONS["promotion"][0])
    board = tree.start.copy()
    tree.play_san(board, "bxa1=Q+", "Kxd2", "Qxh1", "cxb8=Q+", "Ke7")
    whole = tree.moves
    files["index.html"] = page("<main><p>x</p></main>")
    files["lessons/moor.html"] = lesson(tree)
    assert validate(files) == ()
    for place, sign in enumerate(whole):
        for other in f"{SIGNS}()+!=":
            if other == sign:
                continue
            tree.moves = whole[:place] + other + whole[place + 1 :]
            files["lessons/moor.html"] = lesson(tree)
            assert validate(files), tree.moves


@pytest.mark.parametrize("name", ["x.htm", "x.xhtml", "x.HTML", "x.mjs", "x.pdf", "x.png.php", "x"])
def test_a_file_that_a_host_could_take_for_something_else_is_found(files: Files, name: str) -> None:
    files[f"images/{name}"] = b"<html><script>1</script>"
    assert validate(files) == (Problem(f"images/{name}", "no file of a site ends like this"),)


@pytest.mark.parametrize("name", ["x.png", "x.PNG", "x.jpg", "x.jpeg", "x.webp", "x.woff2"])
def test_pictures_and_fonts_are_files_of_a_site(files: Files, name: str) -> None:
    files[f"images/{name}"] = b"content"
    assert validate(files) == ()
