"""Prose as HTML: CommonMark as specified, our hooks, and signs as print has them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from bs4 import BeautifulSoup

from plybook.diagnostics import Report
from plybook.site.wording.prose import (
    Anchor,
    Picture,
    Setting,
    plain_text,
    render_inline,
    render_prose,
)
from plybook.site.wording.typography import quotes_of, set_text
from plybook.text.markdown import read_inline, read_prose
from plybook.text.model import Link, Mention, Prose
from plybook.text.parser import make_parser
from plybook.text.source import excerpt_of_file

EXAMPLES: Final[list[dict[str, Any]]] = json.loads(
    (Path(__file__).parent.parent / "outside" / "commonmark.json").read_text(encoding="utf-8")
)
ENGLISH: Final = quotes_of("en")


def prose_of(markdown: str, *, has_mentions: bool = False) -> Prose:
    excerpt = excerpt_of_file("lessons/01-test.md", markdown)
    return read_prose(excerpt, has_mentions=has_mentions, report=Report())[0]


def setting(
    *,
    quotes: tuple[str, str, str, str] | None = None,
    top_heading: int | None = None,
    anchor: Callable[[Link], Anchor | None] = lambda link: Anchor(link.target),
    picture: Callable[[Link], Picture | None] = lambda link: Picture(link.target),
    mention: Callable[[Mention, str], str] = lambda mention, text: f"<b>{text}</b>",
    block: Callable[[int], str] = lambda index: f"<hr id={index}>",
) -> Setting:
    return Setting(
        mention=mention,
        anchor=anchor,
        picture=picture,
        block=block,
        quotes=quotes,
        top_heading=top_heading,
    )


def html(markdown: str, *, has_mentions: bool = False, **chosen: Any) -> str:
    return str(render_prose(prose_of(markdown, has_mentions=has_mentions), setting(**chosen)))


@pytest.mark.parametrize("example", EXAMPLES, ids=[f"{row['number']}" for row in EXAMPLES])
def test_without_our_typography_an_example_of_commonmark_is_rendered_as_the_library_does(
    example: dict[str, Any],
) -> None:
    shown = html(example["markdown"])
    expected = make_parser().render(example["markdown"])
    # headings carry ids and images may carry sizes here; void elements are written without a slash
    soup = BeautifulSoup(shown, "html.parser")
    for heading in soup.find_all(["h1", "h2", "h3", "h4", "h5", "h6"]):
        del heading["id"]
    assert str(soup) == str(BeautifulSoup(expected, "html.parser"))


def test_headings_begin_below_the_page_title_and_leave_no_gap() -> None:
    shown = html("# A\n\n### B\n\n###### C\n\n### D\n\n# E", top_heading=2)
    soup = BeautifulSoup(shown, "html.parser")
    levels = [(tag.name, tag.text) for tag in soup.find_all(["h2", "h3", "h4"])]
    assert levels == [("h2", "A"), ("h3", "B"), ("h4", "C"), ("h3", "D"), ("h2", "E")]


def test_prose_that_starts_with_a_small_heading_starts_at_the_top_level() -> None:
    assert html("#### A", top_heading=2).startswith("<h2 id=")


def test_a_link_to_nothing_is_shown_as_text() -> None:
    assert html("see [the *point*](nowhere.md) now", anchor=lambda link: None) == (
        "<p>see the <em>point</em> now</p>\n"
    )


def test_a_link_to_another_site_tells_it_nothing_about_ours() -> None:
    shown = html("[x](https://example.org/a)", anchor=lambda link: Anchor(link.target, "out"))
    link = BeautifulSoup(shown, "html.parser").a
    assert link is not None
    assert link["rel"] == ["noopener", "noreferrer"]
    assert link["class"] == ["out"]


def test_an_image_that_is_not_there_is_shown_by_its_description() -> None:
    assert html("![a *board*](x.png)", picture=lambda link: None) == "<p>a board</p>\n"


def test_an_image_has_its_size_and_description() -> None:
    shown = html('![a "board"](x.png)', picture=lambda link: Picture("../x.png", 4, 3))
    assert shown == ('<p><img src="../x.png" alt="a &quot;board&quot;" width="4" height="3"></p>\n')


def test_a_mention_is_asked_of_the_page_with_its_text_as_written() -> None:
    shown = html("After 4...g6? and 5. Nxe5!", has_mentions=True)
    assert shown == "<p>After <b>4...g6?</b> and <b>5. Nxe5!</b></p>\n"


def test_html_in_the_text_is_shown_as_it_stands() -> None:
    assert html("<b>x</b> & <script>y</script>") == (
        "<p>&lt;b&gt;x&lt;/b&gt; &amp; &lt;script&gt;y&lt;/script&gt;</p>\n"
    )


def test_the_side_of_a_table_column_is_a_class_since_styles_are_refused() -> None:
    soup = BeautifulSoup(html("|a|b|\n|:-:|--:|\n|1|2|"), "html.parser")
    assert [cell.get("class") for cell in soup.find_all(["th", "td"])] == [
        ["center"],
        ["right"],
        ["center"],
        ["right"],
    ]
    assert soup.find(style=True) is None


def test_a_table_stands_in_a_frame_that_may_scroll() -> None:
    table = BeautifulSoup(html("|a|\n|-|\n|1|"), "html.parser").table
    assert table is not None
    assert table.parent is not None
    assert (table.parent.name, table.parent["class"]) == ("div", ["tw"])


def test_footnotes_lead_there_and_back() -> None:
    soup = BeautifulSoup(html("a[^n] b[^n] c[^m]\n\n[^n]: one\n[^m]: two"), "html.parser")
    ids = [tag["id"] for tag in soup.find_all(id=True)]
    assert len(ids) == len(set(ids))
    assert {link["href"] for link in soup.find_all("a")} == {f"#{name}" for name in ids}
    notes = soup.find("section", class_="notes")
    assert notes is not None
    assert [tag.text.split()[0] for tag in notes.select("li > p")] == ["one", "two"]


def test_a_definition_list_is_one() -> None:
    soup = BeautifulSoup(html("pin\n: a man that may not move"), "html.parser")
    assert [tag.name for tag in soup.find_all(["dl", "dt", "dd"])] == ["dl", "dt", "dd"]


def test_a_comment_needs_no_paragraph() -> None:
    excerpt = excerpt_of_file("lessons/01-test.md", "hits *e5* & d4")
    inline = read_inline(excerpt, report=Report())
    assert render_inline(inline, setting()) == "hits <em>e5</em> &amp; d4"


def test_plain_text_is_what_a_reader_sees_without_markdown() -> None:
    excerpt = excerpt_of_file("lessons/01-test.md", "hits *e5*, `Nf3` and [d4](trap@5.Nxe5)")
    assert plain_text(read_inline(excerpt, report=Report())) == "hits e5, Nf3 and d4"


# ---------------------------------------------------------------------- signs


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("White is winning: +-", id="evaluation of White"),
        pytest.param("Black is winning: -+", id="evaluation of Black"),
        pytest.param("after 1...e5 and ...Nf6", id="black moves"),
        pytest.param("O-O-O or O-O", id="castling"),
        pytest.param("a well-known trap", id="hyphen"),
        pytest.param("+--", id="a sign we do not know"),
        pytest.param("10... Kd7", id="a black move with a space"),
    ],
)
def test_signs_of_chess_are_left_alone(text: str) -> None:
    assert set_text(text, ENGLISH) == text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param('He said "stop" twice', "He said “stop” twice", id="double"),
        pytest.param("the 'quiet' move", "the ‘quiet’ move", id="single"),
        pytest.param("Black's pawn isn't lost", "Black’s pawn isn’t lost", id="apostrophes"),
        pytest.param("the players' hall", "the players’ hall", id="apostrophe at a word's end"),
        pytest.param('("so")', "(“so”)", id="in brackets"),
        pytest.param("\"he's 'here'\"", "“he’s ‘here’”", id="nested"),
        pytest.param('a 6" board', 'a 6" board', id="no partner"),
        pytest.param("so -- it goes", "so – it goes", id="dash"),
        pytest.param("so---it goes", "so—it goes", id="long dash"),
        pytest.param("a3--b4", "a3–b4", id="from to"),
        pytest.param("wait... and see", "wait… and see", id="dots"),
    ],
)
def test_signs_are_set_as_print_has_them(text: str, expected: str) -> None:
    assert set_text(text, ENGLISH) == expected


@pytest.mark.parametrize(
    ("language", "expected"),
    [
        pytest.param("de", "„so“", id="german"),
        pytest.param("fr", "«\u202fso\u202f»", id="french"),
        pytest.param("sv-SE", "”so”", id="swedish"),
        pytest.param("xx", "“so”", id="unknown"),
    ],
)
def test_quotation_marks_follow_the_language(language: str, expected: str) -> None:
    assert set_text('"so"', quotes_of(language)) == expected


def test_a_quotation_may_begin_in_one_element_and_end_in_another() -> None:
    shown = html('"stop, *he* said", `"x"` and "**now**"', quotes=ENGLISH)
    assert shown == (
        "<p>“stop, <em>he</em> said”, <code>&quot;x&quot;</code> and “<strong>now</strong>”</p>\n"
    )


def test_code_and_moves_keep_their_signs() -> None:
    shown = html("`a--b...` then 1...e5 -- so", has_mentions=True, quotes=ENGLISH)
    assert shown == "<p><code>a--b...</code> then <b>1...e5</b> – so</p>\n"
