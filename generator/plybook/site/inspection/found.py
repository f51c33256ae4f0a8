"""Where a search leads: every record of the search data names a place that is there."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, Final

from plybook.site.inspection.strict_html import Page

__all__ = ["search_faults"]

_PAGE: Final = "search.html"
_BEGIN: Final = "window.plybook.searchData = JSON.parse("
_END: Final = ");"
_FOUND: Final = (KeyError, TypeError, ValueError, IndexError, AttributeError, RecursionError)


def search_faults(
    files: Mapping[str, bytes], pages: Mapping[str, Page]
) -> Iterator[tuple[str, str]]:
    """Yield path and fault of search data that cannot be read or lead nowhere.

    A site with a search page has the data exactly once, in a script that the page loads; a site
    without one has none.
    """
    named = sorted(path for path in files if path.endswith(".js"))
    scripts = {path: files[path].decode("utf-8", "replace") for path in named}
    holding = [path for path in named if scripts[path].startswith(_BEGIN)]
    wanted = int(_PAGE in pages)
    if len(holding) != wanted:
        yield _PAGE, f"there are {len(holding)} scripts of search data, not {wanted}"
    for path in holding:
        if wanted and path not in {value for _, _, value, _ in pages[_PAGE].references}:
            yield _PAGE, f"it does not load its data, `{path}`"
        try:
            faults = list(_faults(scripts[path], pages))
        except _FOUND as error:
            faults = [f"the search data cannot be read: {error!r}"]
        yield from ((path, fault) for fault in faults)


def _faults(text: str, pages: Mapping[str, Page]) -> Iterator[str]:
    """Yield the records of a script that lead to no page, or to no place of it."""
    data: Any = json.loads(json.loads(text.removeprefix(_BEGIN).rstrip().removesuffix(_END)))
    paths = [path for path, _ in data["pages"]]
    for path in paths:
        if path not in pages:
            yield f"a search leads to `{path}`, which is not there"
    known = {path: frozenset(pages[path].ids) for path in paths if path in pages}
    for at, fragment, _, _ in data["records"]:
        if not 0 <= at < len(paths):
            yield f"a record names the page {at}, which is not there"
        elif fragment and fragment not in known.get(paths[at], {fragment}):
            yield f"a search leads to `{paths[at]}#{fragment}`, which is not there"
    for at, name, *_ in data["lines"]:
        if not 0 <= at < len(paths):
            yield f"the line `{name}` names the page {at}, which is not there"
