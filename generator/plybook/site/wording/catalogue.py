"""The site's own words in the language of a page, from the gettext catalogues beside the code.

A sentence stands in English where it is used, and whole tables of words stand as frozen
dataclasses: a table in another language is the English one with each of its texts looked up.
"""

from __future__ import annotations

import dataclasses
import gettext
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Final, TypeVar, cast

__all__ = ["DOMAIN", "SOURCE", "catalogue", "language_of", "messages_of", "translated"]

DOMAIN: Final = "plybook"
#: The language that the code is written in.
SOURCE: Final = "en"

_Table = TypeVar("_Table")


def _known(language: str) -> str | None:
    """Return where gettext finds the catalogue of a language tag, None where there is none."""
    tags = [language.replace("-", "_"), language.split("-")[0].lower()]
    return gettext.find(DOMAIN, str(files("plybook") / "locale"), languages=tags)


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    """Return the catalogue of a language tag (`de`, `de-AT`); English where there is none."""
    path = _known(language)
    if path is None:
        return gettext.NullTranslations()
    with open(path, "rb") as file:
        return gettext.GNUTranslations(file)


@cache
def language_of(language: str) -> str:
    """Return the language in which the site speaks on a page of `language`: `de` for `de-AT`."""
    return language.split("-")[0].lower() if _known(language) else SOURCE


def translated(table: _Table, *, context: str, language: str) -> _Table:
    """Return a table (dataclass, mapping, tuple or text) with each text looked up.

    A text is looked up in the context of its field: `words.mate`. A field `language` is kept.
    """
    return cast("_Table", _mapped(table, context, catalogue(language).pgettext))


def messages_of(table: Any, *, context: str) -> Iterator[tuple[str, str]]:
    """Yield context and text of every message of a table, in its order."""
    found: dict[tuple[str, str], None] = {}

    def note(place: str, message: str) -> str:
        found.setdefault((place, message))
        return message

    _mapped(table, context, note)
    yield from found


def _mapped(value: Any, context: str, change: Callable[[str, str], str]) -> Any:
    if isinstance(value, str):
        return change(context, value)
    if isinstance(value, tuple):
        return tuple(_mapped(one, context, change) for one in value)
    if isinstance(value, Mapping):
        return {key: _mapped(one, context, change) for key, one in value.items()}
    names = [field.name for field in dataclasses.fields(value) if field.name != "language"]
    return dataclasses.replace(
        value,
        **{name: _mapped(getattr(value, name), f"{context}.{name}", change) for name in names},
    )
