"""Bring the catalogues of the site's words up to date: collect, merge, compile.

    python generator/catalogues.py

It writes `generator/plybook/locale/plybook.pot` (all messages), merges them into the `plybook.po`
of each language (what is said nowhere any more goes), compiles each `plybook.mo`, and names what is
not translated yet. Needs Babel, from the extra `dev`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

from babel.messages import Catalog
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_file
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from plybook.board import ledger
from plybook.site.drawing.marks import ROLE_NAMES
from plybook.site.pages.theme import load_theme, theme_names
from plybook.site.wording.catalogue import DOMAIN, messages_of
from plybook.site.wording.languages import ENGLISH

ROOT: Final = Path(__file__).resolve().parent.parent
LOCALE: Final = ROOT / "generator" / "plybook" / "locale"
LANGUAGES: Final = ("de", "es", "fr", "ru")

#: `words.say(…)` and `words.count(one, many, …)` beside the names that gettext knows.
_KEYWORDS: Final = {**DEFAULT_KEYWORDS, "say": None, "count": (1, 2)}
#: Headers that differ from run to run or from machine to machine say nothing of the words.
_KEPT_HEADERS: Final = {
    "Project-Id-Version",
    "Language",
    "Plural-Forms",
    "MIME-Version",
    "Content-Type",
    "Content-Transfer-Encoding",
}


class _Plain(Catalog):  # type: ignore[misc]  # Babel's own annotations are partial
    """A catalogue whose head holds no dates and no versions."""

    @property
    def mime_headers(self) -> list[tuple[str, str]]:
        return [(name, text) for name, text in super().mime_headers if name in _KEPT_HEADERS]


def collected() -> Catalog:
    """Return every message of the code, the templates and the tables of words."""
    catalog = _catalog(None)
    for path in _sources():
        is_python = path.suffix == ".py"
        for _, message, _, context in extract_from_file(
            "python" if is_python else "jinja2.ext:babel_extract",
            str(path),
            keywords=_KEYWORDS,
            options={} if is_python else {"silent": "false"},
        ):
            catalog.add(message, context=context)
    for context, table in _tables().items():
        for place, message in messages_of(table, context=context):
            catalog.add(message, context=place)
    return catalog


def _sources() -> Iterator[Path]:
    yield from sorted((ROOT / "generator" / "plybook" / "site").rglob("*.py"))
    for ending in ("*.html", "*.xml", "*.xhtml"):
        yield from sorted((ROOT / "themes").rglob(ending))


def _tables() -> Mapping[str, object]:
    """Return the tables whose texts are messages, by the context they are looked up in."""
    return {
        "words": ENGLISH,
        "ledger": ledger.ENGLISH,
        "legend": dict(ROLE_NAMES),
        "credits": tuple(text for name in theme_names() for text in load_theme(name).credits),
    }


def _catalog(language: str | None) -> Catalog:
    return _Plain(
        locale=language,
        header_comment="# The words of the site. How to bring them up to date: DEVELOPERS.md.",
        project=DOMAIN,
        version="-",
        charset="utf-8",
        fuzzy=False,
    )


def merged(template: Catalog, language: str) -> Catalog:
    """Return the catalogue of a language with the messages of the template, and no others."""
    catalog = _catalog(language)
    path = LOCALE / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    if path.is_file():
        with path.open("rb") as file:
            known = read_po(file, locale=language)
    else:
        known = catalog
    for message in template:
        if message.id:
            found = known.get(message.id, message.context)
            catalog.add(message.id, found.string if found else "", context=message.context)
    return catalog


def write(catalog: Catalog, path: Path) -> None:
    """Write a catalogue as text, sorted, so that a new message moves no other."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(file, catalog, width=100, no_location=True, sort_output=True)


def main() -> int:
    """Bring all catalogues up to date. Return 1 when messages wait for their translation."""
    template = collected()
    write(template, LOCALE / f"{DOMAIN}.pot")
    waiting = 0
    for language in LANGUAGES:
        catalog = merged(template, language)
        folder = LOCALE / language / "LC_MESSAGES"
        write(catalog, folder / f"{DOMAIN}.po")
        with (folder / f"{DOMAIN}.mo").open("wb") as file:
            write_mo(file, catalog)
        for message in catalog:
            strings = message.string if isinstance(message.string, tuple) else (message.string,)
            if message.id and not all(strings):
                waiting += 1
                print(f"{language}: {message.context or ''} {message.id!r}")
    print(f"{len(template)} messages, {waiting} to be translated")
    return 1 if waiting else 0


if __name__ == "__main__":
    sys.exit(main())
