"""Footnotes: faults in them are found where they stand, and there are places without any."""

from __future__ import annotations

import pytest

from diagnostics.folder import HEAD, LESSON, body, check, marked, place, write
from plybook.diagnostics import Report
from plybook.text.markdown import read_inline
from plybook.text.source import excerpt_of_file

ABOVE = "A first paragraph.\n\nA second one.\n\n"


@pytest.mark.parametrize(
    "text",
    [
        "See this ^[why «<b>» not].\n",
        "> - one ^[why «<b>» not]\n",
        "^[<i] and ^[why\n«<b>» not]\n",
        "see ^[one ^[two «<b>»] more]\n",
        "| a ^[why «<b>»] | b |\n|---|---|\n| c | d |\n",
        "see[^1]\n\n[^1]: it says «<b>»\n",
        "## Head ^[why «<b>» not]\n",
        "^[why] then «<b>» and why\n",
        "^[why `<b>`] then «<b>» and why\n",
        "\u202f\nsee «<b>»\n",
    ],
    ids=[
        "paragraph", "nested-block", "two-lines", "note-in-note", "table", "by-reference",
        "heading", "behind-a-note", "same-words-in-note", "first-row-stripped",
    ],
)  # fmt: skip
def test_a_fault_is_found_on_its_own_words(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    files, where = marked({LESSON: HEAD + ABOVE + text})
    (fault,) = check(write(tmp_path_factory.mktemp("course"), files))
    assert (fault.code, place(fault)) == ("raw-html", where)


@pytest.mark.parametrize(
    "text",
    [
        "[a«^[x]»](https://e.example)\n",
        "![a^[x]](«../images/board.png»)\n",
    ],
    ids=["link", "image"],
)
def test_a_footnote_inside_a_link_or_an_image_is_refused(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    files, where = marked(body(text))
    (fault,) = check(write(tmp_path_factory.mktemp("course"), files))
    assert (fault.code, place(fault)) == ("bad-link", where)
    assert "footnote" in fault.message


def test_a_link_inside_a_footnote_is_fair(tmp_path_factory: pytest.TempPathFactory) -> None:
    course = write(tmp_path_factory.mktemp("course"), body("a^[see [this](https://e.example)]\n"))
    assert check(course) == ()


def test_a_comment_has_no_footnotes() -> None:
    prose = read_inline(excerpt_of_file(LESSON, "see ^[why] *now*"), report=Report())
    (token,) = prose.tokens
    kinds = [child.type for child in token.children]
    assert "footnote_ref" not in kinds
    assert "".join(child.content for child in token.children) == "see ^[why] now"
