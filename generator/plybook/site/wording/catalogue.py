"""The site's own words in the language of a page, from the gettext catalogues beside the code."""

from __future__ import annotations

import gettext
from functools import cache
from importlib.resources import files
from typing import Final

__all__ = ["DOMAIN", "catalogue"]

DOMAIN: Final = "plybook"


@cache
def catalogue(language: str) -> gettext.NullTranslations:
    """Return the catalogue of a language tag (`de`, `de-AT`); English where there is none."""
    folder = str(files("plybook") / "locale")
    tags = [language.replace("-", "_"), language.split("-")[0].lower()]
    return gettext.translation(DOMAIN, folder, languages=tags, fallback=True)
