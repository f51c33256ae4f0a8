"""Markdown to prose with spans: CommonMark, tables, strikethrough, footnotes, definition lists.

Raw HTML is shown as text. Numbered moves in running text become `mention` tokens; links, images
and headings are gathered; fences are handed out for the block readers.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import accumulate
from typing import Final

from markdown_it.token import Token

from plybook.diagnostics import Report, Span, shown
from plybook.text.addresses import fault_of_address
from plybook.text.mentions import Found, find_mentions
from plybook.text.model import Link, Mention, Prose
from plybook.text.parser import parse_page, parse_running
from plybook.text.references import SAN_LIKE, looks_like_reference, read_reference
from plybook.text.running import UNSEEN, Running, find_places, past_unseen
from plybook.text.source import Excerpt

__all__ = ["Fence", "read_inline", "read_prose"]

_DEPTH_LIMIT: Final = 8
_NESTING: Final = frozenset(
    f"{kind}_{side}"
    for kind in ("bullet_list", "ordered_list", "blockquote")
    for side in ("open", "close")
)
_PLAIN = re.compile(r"[^\\`*_\[\]<>&!~\n^$#|]*")
_MOVE_ITEM = re.compile(rf"(?:[>\s]|[-*+]\s)*(?:([0-9]+)[.)]|[-*+])\s+({SAN_LIKE})(?=[\s!?]|$)")
_HTML = re.compile(r"</?[A-Za-z][^<>]*>|<!--")
_LINK_LIKE = re.compile(r"\](?:\(|:[ \t]*)<?([^\s()<>]+)")
_NUMBERED = re.compile(rf"(?<!\w)[0-9]+\.(?:\.\.)?\s*{SAN_LIKE}(?!\w)")
_SAN_WORD = re.compile(rf"(?<!\S){SAN_LIKE}[!?]*(?!\S)")


@dataclass(frozen=True, slots=True)
class Fence:
    """A fenced block as found in the Markdown: its info words, its body, and both places."""

    token: Token
    word: str  # the first word behind the fence
    argument: str  # what follows it
    body: Excerpt
    span: Span  # the opening line
    argument_span: Span
    is_closed: bool


def read_prose(
    excerpt: Excerpt, *, has_mentions: bool, report: Report
) -> tuple[Prose, tuple[Fence, ...]]:
    """Return the Markdown of `excerpt` and its fences in order.

    `has_mentions` is False for a page without lines, where numbered moves stay plain text.
    """
    tokens, notes = parse_page(excerpt.text)
    reader = _Reader(excerpt, has_mentions=has_mentions, report=report, notes=notes)
    return reader.read(tokens), tuple(reader.fences)


def read_inline(excerpt: Excerpt, *, has_mentions: bool = True, report: Report) -> Prose:
    """Return inline Markdown (a comment, a caption) as prose with a single `inline` token.

    It has no footnotes: there is no page for them to stand at the foot of.
    """
    text = excerpt.text
    if _PLAIN.fullmatch(text):
        token = Token("inline", "", 0, content=text)
        token.children = [Token("text", "", 0, content=text)]
    else:
        token = parse_running(text)
    reader = _Reader(excerpt, has_mentions=has_mentions, report=report, notes={})
    reader.read_inline_token(token, Running(text, lambda: excerpt))
    return reader.prose((token,))


class _Reader:
    """Reads the tokens of a text; `notes` holds what stands in its inline footnotes."""

    def __init__(
        self, excerpt: Excerpt, *, has_mentions: bool, report: Report, notes: Mapping[int, str]
    ) -> None:
        self._excerpt = excerpt
        self._lines = excerpt.text.split("\n")
        self._starts = [0, *accumulate(len(line) + 1 for line in self._lines)]
        self._has_mentions = has_mentions
        self._report = report
        self._mentions: list[Mention] = []
        self._links: list[Link] = []
        self._headings: dict[str, None] = {}
        self._next_names: dict[str, int] = {}
        self._notes = notes
        self._note_places: dict[int, Callable[[], Excerpt]] = {}
        self._runs = 0
        self.fences: list[Fence] = []

    def prose(self, tokens: Sequence[Token]) -> Prose:
        return Prose(
            tokens=tuple(tokens),
            mentions=tuple(self._mentions),
            links=tuple(self._links),
            headings=tuple(self._headings),
        )

    def read(self, tokens: list[Token]) -> Prose:
        depth, note = 0, -1
        is_too_deep = False
        for at, token in enumerate(tokens):
            if token.type in _NESTING:
                depth += token.nesting
                if depth > _DEPTH_LIMIT and not is_too_deep:
                    is_too_deep = True
                    self._report_depth(token)
            if token.type == "inline":
                self._check_item(tokens, at)
                find = self._note_places.get(note) if token.map is None else None
                self.read_inline_token(
                    token, Running(token.content, find or partial(self._inline_excerpt, token))
                )
            elif token.type == "footnote_open":
                note = token.meta["id"]
            elif token.type == "heading_open":
                self._name_heading(token, tokens[at + 1])
            elif token.type == "fence":
                self._take_fence(token)
            elif token.type == "code_block":
                self._check_code(token)
        return self.prose(tokens)

    # ---------------------------------------------------------------- blocks

    def _line_span(self, line: int) -> Span:
        """Return the span of a 0-based line of the excerpt."""
        start = self._starts[line]
        return self._excerpt.span(start, start + len(self._lines[line]))

    def _report_depth(self, token: Token) -> None:
        self._report.add(
            "nested-too-deep",
            self._line_span(token.map[0] if token.map else 0),
            f"lists and quotations nested deeper than {_DEPTH_LIMIT}",
            help="flatten the list, or give the inner part a heading",
        )

    def _check_item(self, tokens: list[Token], at: int) -> None:
        """Warn where Markdown made a list item out of a line that begins with a move."""
        token = tokens[at]
        if at < 2 or tokens[at - 2].type != "list_item_open" or not token.map:
            return
        line = token.map[0]
        found = _MOVE_ITEM.match(self._lines[line])
        if found:
            number = f"{found[1]}." if found[1] else ""
            self._report.add(
                "move-list-item",
                self._line_span(line),
                f"Markdown makes a list item of `{shown(found[0].strip())}`",
                help=(
                    f"write `{number or '5.'}{found[2]}` without the space, "
                    "or put the moves in a `moves` block",
                ),
            )

    def _name_heading(self, token: Token, inline: Token) -> None:
        words = re.findall(r"[^\W_]+", inline.content.lower())
        base = "h-" + ("-".join(words)[:60].strip("-") or "section")
        count = self._next_names.get(base, 1)  # counting from 1 each time costs the square
        name = base if count == 1 else f"{base}-{count}"
        while name in self._headings:
            count += 1
            name = f"{base}-{count}"
        self._next_names[base] = count + 1
        self._headings[name] = None
        token.attrSet("id", name)

    def _take_fence(self, token: Token) -> None:
        assert token.map
        first, last = token.map
        words = token.info.strip().split(None, 1)
        word = words[0] if words else ""
        argument = words[1] if len(words) > 1 else ""
        span = self._line_span(first)
        is_closed = self._is_closed(token)
        if not is_closed:
            self._report.add(
                "unclosed-fence",
                span,
                f"this `{shown(word) or token.markup}` block is never closed",
                notes=(f"it takes in everything down to line {self._line_span(last - 1).line}",),
                help=f"end it with a line of `{token.markup}`",
            )
        line = self._lines[first]
        at = line.rfind(argument) if argument else len(line)
        start = self._starts[first]
        self.fences.append(
            Fence(
                token=token,
                word=word,
                argument=argument,
                body=self._body(token),
                span=span,
                argument_span=self._excerpt.span(start + at, start + at + len(argument)),
                is_closed=is_closed,
            )
        )

    def _is_closed(self, token: Token) -> bool:
        assert token.map
        first, last = token.map
        if last - 1 <= first:
            return False
        closing = self._lines[last - 1].strip(" >\t")
        return len(closing) >= len(token.markup) and set(closing) == {token.markup[0]}

    def _body(self, token: Token) -> Excerpt:
        """Return a fence's content, each line found again behind its prefix in the file."""
        assert token.map
        text = token.content.removesuffix("\n")
        origins = []
        for row, content in enumerate(text.split("\n"), start=token.map[0] + 1):
            source = self._lines[row] if row < len(self._lines) else ""
            # Where a tab was cut in two, spaces stand for its rest: count from the end.
            origins.append(self._origin(row, len(source) - len(content)))
        return Excerpt(self._excerpt.file, text, tuple(origins))

    def _origin(self, row: int, column: int) -> tuple[int, int]:
        """Return the file's line and column of a 0-based row and column of the excerpt."""
        start = self._starts[min(row, len(self._lines))]
        line, first = self._excerpt.place(min(start, len(self._excerpt.text)))
        return line, first + column

    def _check_code(self, token: Token) -> None:
        if looks_like_moves(token.content) and token.map:
            self._report.add(
                "moves-outside-fence",
                self._line_span(token.map[0]),
                "these moves are not in a `moves` block, so nobody plays them",
                help="begin the block with a line ```moves NAME, not indented",
            )

    # ---------------------------------------------------------------- running text

    def _inline_excerpt(self, token: Token) -> Excerpt:
        """Return the content of an inline token, each line found again in the file."""
        first, last = token.map or (0, 1)
        contents = token.content.split("\n")
        # Spaces beyond ASCII are stripped from a paragraph: its first rows may be gone.
        rows = range(first, min(last, len(self._lines)))
        first = next((row for row in rows if contents[0].strip() in self._lines[row]), first)
        origins = []
        for row, content in enumerate(contents, start=first):
            source = self._lines[row] if row < len(self._lines) else ""
            words = content.strip()
            column = max(source.find(words), 0) - content.find(words)
            origins.append(self._origin(row, column))
        return Excerpt(self._excerpt.file, token.content, tuple(origins))

    def read_inline_token(self, token: Token, content: Running) -> None:
        """Gather links and mentions of one inline token; its children are rewritten once."""
        cursor = 0
        children: list[Token] = []
        inside_link = 0
        for child in token.children or ():
            if child.type == "link_open" or child.type == "image":
                cursor = self._take_link(child, content, cursor)
                inside_link += child.type == "link_open"
            elif child.type == "link_close":
                inside_link -= 1
                cursor = past_unseen(child, content.text, cursor)
            elif child.type == "footnote_ref":
                start, cursor = self._take_note(child, content, cursor)
                if inside_link:
                    self._report_note("a link", content.span(start, cursor))
            elif child.type in UNSEEN:
                cursor = past_unseen(child, content.text, cursor)
            elif child.type == "text" and child.content:
                places = find_places(child.content, content.text, cursor)
                cursor = places[-1]
                self._check_text(child.content, content, places)
                if self._has_mentions and not inside_link:
                    children += self._split(child, content, places)
                    continue
            children.append(child)
        token.children = children

    def _check_text(self, text: str, content: Running, places: Sequence[int]) -> None:
        """Report links and HTML that are not used."""
        for link in _LINK_LIKE.finditer(text):
            fault = fault_of_address(link[1])
            if fault:
                self._report.add(
                    "bad-link",
                    content.span(places[link.start(1)], places[link.end(1)]),
                    f"the address `{shown(link[1])}` is refused",
                    notes=(fault,),
                    help="link to a page of the course, a position, or an https address",
                )
        html = _HTML.search(text)
        if html:
            self._report.add(
                "raw-html",
                content.span(places[html.start()], places[html.end()]),
                f"`{shown(html[0])}` is shown as it stands: HTML is not used here",
                help="use Markdown, or a code span if you mean the sign itself",
            )

    def _split(self, child: Token, content: Running, places: Sequence[int]) -> Iterator[Token]:
        """Yield a text token as text and mention tokens."""
        text, done = child.content, 0
        for found in find_mentions(text):
            if found.begins_run:
                self._runs += 1
            if found.start > done:
                yield Token("text", "", 0, content=text[done : found.start], level=child.level)
            span = content.span(places[found.start], places[found.end])
            yield self._mention(found, text, span, child.level)
            done = found.end
        if done < len(text):
            yield Token("text", "", 0, content=text[done:], level=child.level)

    def _mention(self, found: Found, text: str, span: Span, level: int) -> Token:
        token = Token("mention", "", 0, content=text[found.start : found.end], level=level)
        token.meta = {"mention": len(self._mentions)}
        self._mentions.append(
            Mention(
                step=found.step,
                run=self._runs,
                optional=found.optional,
                span=span,
            )
        )
        return token

    def _take_note(self, child: Token, content: Running, cursor: int) -> tuple[int, int]:
        """Return where the footnote's sign stands, and its end; remember where its text is."""
        number = child.meta["id"]
        sign = f"^[{self._notes[number]}]" if number in self._notes else f"[^{child.meta['label']}]"
        start = content.text.find(sign, cursor)
        if start < 0:
            return cursor, cursor
        end = start + len(sign)
        if number in self._notes:
            self._note_places[number] = partial(content.part, start + 2, end - 1)
        return start, end

    def _report_note(self, place: str, span: Span) -> None:
        self._report.add(
            "bad-link",
            span,
            f"a footnote inside {place}",
            notes=("its number is a link of its own",),
            help="put the footnote behind it",
        )

    def _take_link(self, child: Token, content: Running, cursor: int) -> int:
        """Record a link or image; return the offset where the search goes on."""
        is_image = child.type == "image"
        target = str(child.attrGet("src" if is_image else "href") or "")
        opening = "![" if is_image else "<" if child.markup == "autolink" else "["
        label = content.text.find(opening, cursor)
        at = content.text.find(target, cursor) if target else -1
        if at < 0:  # percent-encoded, or by a reference definition: point at the label
            at = min(max(label, cursor), len(content.text))
            end = min(at + 1, len(content.text))
        else:
            end = at + len(target)
        span = content.span(at, end)
        reference = None
        if not is_image and looks_like_reference(target):
            reference = read_reference(target, span=span, report=self._report)
        if is_image and not child.content.strip():
            self._report.add(
                "missing-alt",
                span,
                "an image without words for those who cannot see it",
                help="write them between the brackets: ![A demonstration board](images/…)",
            )
        if any(part.type == "footnote_ref" for part in child.children or ()):
            self._report_note("the words of an image", span)
        child.meta = {"link": len(self._links)}
        self._links.append(Link(target=target, reference=reference, is_image=is_image, span=span))
        return max(label, cursor) + 1 if label >= 0 else cursor


def looks_like_moves(text: str) -> bool:
    """Return whether a code block holds moves: a numbered one and at least two in all."""
    return (
        bool(_NUMBERED.search(text))
        and len(_SAN_WORD.findall(text)) + len(_NUMBERED.findall(text)) >= 2
    )
