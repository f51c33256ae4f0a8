"""A lesson or the whole course as one HTML file that needs nothing beside it.

A phone often opens a file by an address through which its neighbours are out of reach. So style,
fonts, pictures and scripts stand in the file itself, each named by its hash in the policy.
"""

from __future__ import annotations

import posixpath
import re
from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256
from html import unescape
from typing import Final

from markupsafe import escape

from plybook import __version__
from plybook.course.model import Course
from plybook.site.handouts.leaves import Leaf, Rewriter, leaf_name, scripts_of
from plybook.site.handouts.markup import between
from plybook.site.pages.theme import handout_text
from plybook.site.wording.languages import words_for
from plybook.site.wording.typography import quotes_of, set_text

__all__ = ["course_page", "lesson_page"]

_FONT: Final = re.compile(r'url\("([^"]+\.woff2)"\)')
_SHEETS: Final = re.compile(r'<link rel="stylesheet" href="([^"]*)">')
_RULE: Final = re.compile(r"principles/([a-z0-9-]+)\.html")
#: Pages that are about other pages stand behind them; the room views are for a projector, the
#: papers for a printer.
_ORDER: Final = ("index.html", "lessons/", "principles/index.html", "principles/", "")
_LEFT_OUT: Final = ("room/", "paper/")


def course_page(course: Course, files: Mapping[str, bytes]) -> bytes:
    """Return all pages of a site in one file, the front page first, one shown at a time.

    `files` are those of the built site, which has passed inspection.
    """
    pages = sorted(
        (path for path in files if path.endswith(".html") and not path.startswith(_LEFT_OUT)),
        key=lambda path: _rank(course, path),
    )
    rewriter = Rewriter(files, shown=frozenset(pages), instead={})
    leaves = [rewriter.leaf(path, parts=_parts(files, path)) for path in pages]
    return _file(files, pages, leaves)


def lesson_page(course: Course, files: Mapping[str, bytes], slug: str) -> bytes:
    """Return one lesson in one file. Of other pages it has the principles' short rules.

    A link to another page is left as text.
    """
    path = f"lessons/{slug}.html"
    named = dict.fromkeys(_RULE.findall(files[path].decode()))
    rules = [rule for rule in named if rule in course.principles]
    rewriter = Rewriter(
        files,
        shown=frozenset({path}),
        instead={f"principles/{rule}.html": f"#{leaf_name(path)}/r-{rule}" for rule in rules},
    )
    more = _rules(course, rules, course.lessons[slug].draft.language)
    leaf = rewriter.leaf(path, parts=_parts(files, path), more=more)
    return _file(files, [path], [leaf])


def _rank(course: Course, path: str) -> tuple[int, int, str]:
    group = next(at for at, start in enumerate(_ORDER) if path.startswith(start))
    slug = posixpath.basename(path).removesuffix(".html")
    order = [*course.lessons, *course.principles]
    return group, order.index(slug) if slug in order else -1, path


def _rules(course: Course, rules: Iterable[str], language: str | None) -> str:
    """Return the short rules of some principles, for a file without their pages."""
    words = words_for(language or course.file.language)
    quotes = quotes_of(language or course.file.language)
    rows = "".join(
        f'<dt id="r-{rule}">{escape(course.principles[rule].title)}</dt>'
        f"<dd>{escape(set_text(course.principles[rule].short, quotes))}</dd>\n"
        for rule in rules
    )
    title = escape(words.say("Principles"))
    return f'<h2 id="r-all">{title}</h2>\n<dl>\n{rows}</dl>\n' if rows else ""


def _parts(files: Mapping[str, bytes], path: str) -> str:
    """Return the names of the scripts of a page, parted by spaces."""
    return " ".join(_part(address) for address in scripts_of(files[path].decode()))


def _part(address: str) -> str:
    """Return the name of a script by the address of its file."""
    return posixpath.basename(address).removesuffix(".js")


# ---------------------------------------------------------------------- the file


def _file(files: Mapping[str, bytes], pages: Sequence[str], leaves: Sequence[Leaf]) -> bytes:
    first = files[pages[0]].decode()
    style = _style(files, pages)
    start, scripts = _scripts(files, pages)
    sprite = next((leaf.sprite for leaf in leaves if leaf.sprite), "")
    title = between(first, "<title>", "</title>")
    whole = between(first, "<html ", ">")
    text = "".join(
        (
            "<!doctype html>\n",
            f"<html {whole}>\n<head>\n",
            '<meta charset="utf-8">\n',
            '<meta http-equiv="Content-Security-Policy" content="',
            f'{escape(_policy(style, [start, *scripts]))}">\n',
            '<meta name="viewport" content="width=device-width, initial-scale=1">\n',
            f"<title>{title}</title>\n",
            f'<meta name="generator" content="plybook {__version__}">\n',
            f"<style>{style}</style>\n<script>{start}</script>\n</head>\n<body>\n{sprite}",
            *(leaf.html for leaf in leaves),
            *(f"<script>{script}</script>\n" for script in scripts),
            "</body>\n</html>\n",
        )
    )
    return text.encode()


def _policy(style: str, scripts: Iterable[str]) -> str:
    """Return the policy: these scripts and this style, by their hashes, and nothing else."""
    allowed = " ".join(map(_hash, scripts))
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_hash(style)}; img-src data:; "
        "font-src data:; base-uri 'none'; form-action 'none'; "
        "require-trusted-types-for 'script'; trusted-types 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def _style(files: Mapping[str, bytes], pages: Iterable[str]) -> str:
    """Return every style sheet that a page loads, each once, with its fonts, and the leaves'."""
    sheets = dict.fromkeys(
        posixpath.normpath(posixpath.join(posixpath.dirname(path), unescape(href)))
        for path in pages
        for href in _SHEETS.findall(files[path].decode())
    )
    return "".join(_with_fonts(files, sheet) for sheet in sheets) + handout_text("leaf.css")


def _with_fonts(files: Mapping[str, bytes], sheet: str) -> str:
    def held(found: re.Match[str]) -> str:
        font = files[posixpath.join(posixpath.dirname(sheet), found[1])]
        return f'url("data:font/woff2;base64,{b64encode(font).decode()}")'

    return _FONT.sub(held, files[sheet].decode())


def _scripts(files: Mapping[str, bytes], pages: Iterable[str]) -> tuple[str, list[str]]:
    """Return the script of the head, and those at the end in order: the leaves' own first.

    A script of the end runs where the page that is shown asks for it, as in a file of its own.
    """
    wanted = dict.fromkeys(
        posixpath.normpath(posixpath.join(posixpath.dirname(path), unescape(source)))
        for path in pages
        for source in scripts_of(files[path].decode())
    )
    first, *others = wanted  # the first one runs before anything is seen
    guarded = [
        f'if((document.documentElement.dataset.parts||"").split(" ").includes("{_part(path)}")){{\n'
        f"{_script(files, path)}}}\n"
        for path in others
    ]
    return _script(files, first), [handout_text("leaf.js"), *guarded]


def _script(files: Mapping[str, bytes], path: str) -> str:
    """Return a script as it may stand in a page. One that would end there is a fault of ours."""
    text = files[path].decode()
    if re.search(r"</script|<!--", text, re.IGNORECASE):
        raise ValueError(f"{path} cannot stand in a page")
    return text
