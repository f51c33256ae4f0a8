"""Prose to HTML: the parser's tokens, rendered with the library's renderer and our hooks.

Blocks, moves, links and images are asked of the page (`Setting`). Everything else is plain
CommonMark, apart from what a strict page needs: no `style`, no raw HTML, no address that is not
ours or external by a fair scheme.
"""

from __future__ import annotations

from collections.abc import Callable, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import OptionsDict
from markupsafe import Markup

from plybook.site.wording.typography import has_signs, set_text, set_texts
from plybook.text.model import Link, Mention, Prose

__all__ = ["Anchor", "Picture", "Setting", "plain_text", "render_inline", "render_prose"]


class Anchor(NamedTuple):
    """Where a link goes. `kind` is its class: `m` for a position, `out` for another site."""

    href: str
    kind: str = ""


class Picture(NamedTuple):
    """An image file of the site; sizes in pixels, 0 when unknown."""

    source: str
    width: int = 0
    height: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a page knows and its prose does not.

    `mention` returns the HTML of a move, given the text as written; `anchor` and `picture` return
    None for a target that is not there, which is then shown as text. `block` returns the HTML of a
    block by its index. `quotes` is None to leave the signs as typed; `top_heading` is the level
    that the prose's first headings take, None to leave all levels alone; `note_back` names the link
    from a footnote back to the text.
    """

    mention: Callable[[Mention, str], str]
    anchor: Callable[[Link], Anchor | None]
    picture: Callable[[Link], Picture | None]
    block: Callable[[int], str]
    quotes: tuple[str, str, str, str] | None
    top_heading: int | None
    note_back: str = "Back to the text"


def render_prose(prose: Prose, setting: Setting) -> Markup:
    """Return the HTML of a page's or block's prose."""
    env = _environment(prose, setting)
    return Markup(_RENDERER.render(prose.tokens, _OPTIONS, env))


def render_inline(prose: Prose, setting: Setting) -> Markup:
    """Return the HTML of a comment or caption: running text without a paragraph."""
    if len(prose.tokens) == 1:
        children = prose.tokens[0].children
        if children and len(children) == 1 and children[0].type == "text":  # most comments
            text = children[0].content
            text = text if setting.quotes is None else set_text(text, setting.quotes)
            return Markup(escapeHtml(text))
    return render_prose(prose, setting)


def plain_text(prose: Prose) -> str:
    """Return running text without its Markdown, as PGN comments and labels want it."""
    parts: list[str] = []
    for token in prose.tokens:
        for child in token.children or ():
            if child.type in {"softbreak", "hardbreak"}:
                parts.append(" ")
            else:  # the content of an image token is its description
                parts.append(child.content)
    return "".join(parts)


_OPTIONS: Final = OptionsDict(
    {
        "maxNesting": 100,
        "html": False,
        "linkify": False,
        "typographer": False,
        "quotes": "",
        "xhtmlOut": False,
        "breaks": False,
        "langPrefix": "language-",
        "highlight": None,
    }
)
_Env = MutableMapping[str, Any]
#: The children whose content is a neighbour of a quotation mark, but is not ours to change.
_FIXED: Final = frozenset({"code_inline", "mention"})


def _environment(prose: Prose, setting: Setting) -> _Env:
    return {
        "setting": setting,
        "prose": prose,
        "levels": _heading_levels(prose.tokens, setting.top_heading),
        "closings": [],  # of links that are open
    }


def _heading_levels(tokens: Sequence[Token], top: int | None) -> dict[int, int]:
    """Return the level of each heading by its token's index, without a gap in the outline."""
    levels: dict[int, int] = {}
    outer: list[int] = []  # the coach's levels that stand above
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            own = int(token.tag[1])
            while outer and outer[-1] >= own:
                outer.pop()
            outer.append(own)
            levels[at] = own if top is None else min(top + len(outer) - 1, 6)
            levels[at + 2] = levels[at]  # a heading is three tokens: open, inline, close
    return levels


class _Renderer(RendererHTML):
    """The library's renderer with our rules; a method of a token type's name is its rule."""

    def renderInline(  # noqa: N802 - the name is the library's
        self, tokens: Sequence[Token], options: OptionsDict, env: _Env
    ) -> str:
        setting: Setting = env["setting"]
        texts: list[str] | None = None
        if setting.quotes is not None:
            are_prose = [token.type == "text" for token in tokens]
            if any(has_signs(tokens[at].content) for at, is_it in enumerate(are_prose) if is_it):
                texts = set_texts(_contents(tokens), are_prose, setting.quotes)
        rules = self.rules
        out = []
        for at, token in enumerate(tokens):
            kind = token.type
            if kind == "text":
                out.append(escapeHtml(texts[at] if texts else token.content))
            elif kind in rules:
                out.append(rules[kind](tokens, at, options, env))
            else:
                out.append(self.renderToken(tokens, at, options, env))
        return "".join(out)

    # ---------------------------------------------------------------- what the page decides

    def mention(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        setting: Setting = env["setting"]
        mention = env["prose"].mentions[tokens[at].meta["mention"]]
        return setting.mention(mention, tokens[at].content)

    def fence(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: _Env) -> str:
        block = tokens[idx].meta.get("block")
        if block is None:
            return super().fence(tokens, idx, options, env)
        setting: Setting = env["setting"]
        return setting.block(block)

    def link_open(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        setting: Setting = env["setting"]
        anchor = setting.anchor(env["prose"].links[tokens[at].meta["link"]])
        env["closings"].append("</a>" if anchor else "")
        if anchor is None:
            return ""
        kind = f' class="{escapeHtml(anchor.kind)}"' if anchor.kind else ""
        away = ' rel="noopener noreferrer"' if anchor.kind == "out" else ""
        title = tokens[at].attrGet("title")
        hint = f' title="{escapeHtml(str(title))}"' if title else ""
        return f'<a{kind} href="{escapeHtml(anchor.href)}"{hint}{away}>'

    def link_close(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        closing: str = env["closings"].pop()
        return closing

    def image(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: _Env) -> str:
        token = tokens[idx]
        setting: Setting = env["setting"]
        picture = setting.picture(env["prose"].links[token.meta["link"]])
        words = escapeHtml(self.renderInlineAsText(token.children, options, env))
        if picture is None:
            return words
        size = f' width="{picture.width}" height="{picture.height}"' if picture.width else ""
        title = token.attrGet("title")
        hint = f' title="{escapeHtml(str(title))}"' if title else ""
        return f'<img src="{escapeHtml(picture.source)}" alt="{words}"{hint}{size}>'

    # ---------------------------------------------------------------- what a strict page needs

    def heading_open(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return f"<h{env['levels'][at]}{self.renderAttrs(tokens[at])}>"

    def heading_close(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return f"</h{env['levels'][at]}>\n"

    def html_block(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: _Env) -> str:
        return escapeHtml(tokens[idx].content)

    html_inline = html_block

    def table_open(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        return '<div class="tw">' + self.renderToken(tokens, at, options, env)

    def table_close(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        return self.renderToken(tokens, at, options, env) + "</div>\n"

    def th_open(self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env) -> str:
        style = str(tokens[at].attrGet("style") or "")
        side = style.rpartition(":")[2]  # the parser writes `text-align:right`
        return f'<{tokens[at].tag} class="{side}">' if side else f"<{tokens[at].tag}>"

    td_open = th_open

    # ---------------------------------------------------------------- footnotes

    def footnote_ref(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        number = tokens[at].meta["id"] + 1
        back = _note_back(tokens[at])
        return f'<sup class="fn"><a href="#f-{number}" id="{back}">{number}</a></sup>'

    def footnote_block_open(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return '<section class="notes">\n<ol>\n'

    def footnote_block_close(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return "</ol>\n</section>\n"

    def footnote_open(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return f'<li id="f-{tokens[at].meta["id"] + 1}">'

    def footnote_close(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        return "</li>\n"

    def footnote_anchor(
        self, tokens: Sequence[Token], at: int, options: OptionsDict, env: _Env
    ) -> str:
        setting: Setting = env["setting"]
        label = escapeHtml(setting.note_back)
        # The selector keeps the arrow a sign of the text where it would become a coloured picture.
        return f' <a class="fb" href="#{_note_back(tokens[at])}" aria-label="{label}">↩\ufe0e</a>'


def _note_back(token: Token) -> str:
    """Return the id of the place that refers to a footnote, or of one of several."""
    again = token.meta.get("subId", 0)
    return f"fr-{token.meta['id'] + 1}" + (f"-{again + 1}" if again > 0 else "")


def _contents(tokens: Sequence[Token]) -> list[str]:
    """Return the text of each child as its neighbours see it."""
    return [
        token.content
        if token.type == "text" or token.type in _FIXED
        else " "
        if token.type in {"softbreak", "hardbreak"}
        else "x"
        if token.type in {"image", "footnote_ref"}
        else ""
        for token in tokens
    ]


_RENDERER: Final = _Renderer()
