"""Our Markdown against the 652 examples of the CommonMark specification 0.31.2.

Every example is shown as the specification says, or stands in `commonmark_changes.json` under the
cause that makes it differ: raw HTML, an address that we refuse, white space. A cause is believed
only when the difference goes away without it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from markdown_it import MarkdownIt

from plybook.text.parser import make_parser

_HERE: Final = Path(__file__).parent
EXAMPLES: Final[list[dict[str, Any]]] = json.loads(
    (_HERE / "commonmark.json").read_text(encoding="utf-8")
)
CHANGES: Final[dict[str, dict[str, Any]]] = json.loads(
    (_HERE / "commonmark_changes.json").read_text(encoding="utf-8")
)
CAUSES: Final = {number: cause for cause, row in CHANGES.items() for number in row["examples"]}


def with_raw_html(markdown: str) -> str:
    """Return the HTML of our parser with raw HTML let through."""
    parser = make_parser()
    parser.options["html"] = True
    return str(parser.render(markdown))


def with_any_address(markdown: str) -> str:
    """Return the HTML of our parser with every address let through."""
    parser = make_parser()
    parser.validateLink = lambda url: True  # type: ignore[method-assign]  # the library's own hook
    return str(parser.render(markdown))


def without_white_space(html: str) -> str:
    """Return HTML without the white space between two tags."""
    return re.sub(r">\s+<", "><", html)


WITHOUT_CAUSE: Final[dict[str, Callable[[str], str]]] = {
    "raw_html": with_raw_html,
    "address": with_any_address,
    "white_space": lambda markdown: str(make_parser().render(markdown)),
}


@pytest.fixture(scope="module")
def parser() -> MarkdownIt:
    """Return our parser."""
    return make_parser()


@pytest.mark.parametrize("example", EXAMPLES, ids=[f"{row['number']}" for row in EXAMPLES])
def test_an_example_is_shown_as_specified_or_differs_for_its_listed_cause(
    example: dict[str, Any], parser: MarkdownIt
) -> None:
    shown = parser.render(example["markdown"])
    cause = CAUSES.get(example["number"])
    if cause is None:
        assert shown == example["html"]
        return
    assert shown != example["html"], "no longer differs: take it off the list"
    unchanged = WITHOUT_CAUSE[cause](example["markdown"])
    if cause == "white_space":
        unchanged, expected = without_white_space(unchanged), without_white_space(example["html"])
        assert unchanged == expected
    else:
        assert unchanged == example["html"]


def test_all_examples_are_there_and_each_change_has_one_cause() -> None:
    assert [example["number"] for example in EXAMPLES] == list(range(1, 653))
    listed = [number for row in CHANGES.values() for number in row["examples"]]
    assert len(listed) == len(set(listed))


def test_raw_html_is_never_let_through() -> None:
    """Compare with the tags of the specification's own output for the raw HTML examples."""
    for number in CHANGES["raw_html"]["examples"]:
        shown = make_parser().render(EXAMPLES[number - 1]["markdown"])
        tags = set(re.findall(r"</?([A-Za-z][A-Za-z0-9-]*)", shown))
        assert tags <= {
            "p", "em", "strong", "a", "pre", "code", "ul", "ol", "li", "blockquote", "hr", "br",
            "h1", "h2", "h3", "h4", "h5", "h6", "img",
        }  # fmt: skip
