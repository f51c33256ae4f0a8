"""Where a search leads: every record of the search data names a place that is there."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from plybook.site.inspection.strict_html import Page

__all__ = ["search_faults"]

_BEGIN = "window.plybook.searchData = JSON.parse("


def search_faults(text: str, pages: Mapping[str, Page]) -> Iterator[str]:
    """Yield the records of a search script that lead to no page, or to no place of it."""
    if not text.startswith(_BEGIN):
        return
    data: Any = json.loads(json.loads(text.removeprefix(_BEGIN).rstrip().removesuffix(");")))
    paths = [path for path, _ in data["pages"]]
    for path in paths:
        if path not in pages:
            yield f"a search leads to `{path}`, which is not there"
    known = {path: frozenset(pages[path].ids) for path in paths if path in pages}
    for at, fragment, _, _ in data["records"]:
        if fragment and fragment not in known.get(paths[at], {fragment}):
            yield f"a search leads to `{paths[at]}#{fragment}`, which is not there"
