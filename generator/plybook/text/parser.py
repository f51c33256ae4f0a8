"""Which Markdown is read: CommonMark, with tables, strikethrough, footnotes, definition lists."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.deflist import deflist_plugin
from mdit_py_plugins.footnote import footnote_plugin

from plybook.text.addresses import fault_of_address
from plybook.text.references import looks_like_reference

__all__ = ["make_parser", "parse_page", "parse_running"]


def make_parser(*, has_notes: bool = True) -> MarkdownIt:
    """Return the parser: CommonMark with our extensions, `html` off, unsafe addresses refused.

    Without `has_notes` a footnote is shown as it is written.
    """
    parser = MarkdownIt("commonmark", {"html": False, "maxNesting": 100})
    parser.enable(["table", "strikethrough"])
    parser.use(deflist_plugin)
    if has_notes:
        parser.use(footnote_plugin)
    normalize = parser.normalizeLink
    parser.normalizeLink = lambda url: url if looks_like_reference(url) else normalize(url)  # type: ignore[method-assign]  # the library's own hook
    parser.validateLink = lambda url: fault_of_address(url) is None  # type: ignore[method-assign]  # the library's own hook
    return parser


@cache
def _parser(*, has_notes: bool) -> MarkdownIt:
    return make_parser(has_notes=has_notes)


def parse_page(text: str) -> tuple[list[Token], Mapping[int, str]]:
    """Return the tokens of a page, and what stands in each inline footnote, by its number."""
    env: dict[str, Any] = {}
    tokens = _parser(has_notes=True).parse(text, env)
    notes = env.get("footnotes", {}).get("list", {})
    return tokens, {number: note["content"] for number, note in notes.items() if "content" in note}


def parse_running(text: str) -> Token:
    """Return the one token of a comment or a caption, whose page has no foot for its notes."""
    return _parser(has_notes=False).parseInline(text)[0]
