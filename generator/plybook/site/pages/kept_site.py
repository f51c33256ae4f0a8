"""A site whose pages are made when asked for, and kept as long as they would be the same."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from plybook.diagnostics import Report
from plybook.kept import Ask, Kept
from plybook.site.pages.build import Group, groups_of
from plybook.site.pages.edition import Edition
from plybook.site.pages.stock import Stock, watched

__all__ = ["KeptSite"]


class KeptSite:
    """The files of a site by path. What is kept of a page is its bytes and what they were made
    from: it is made anew when anything of that has become another thing.
    """

    def __init__(self, stock: Stock, kept: Kept, *, more: Iterable[Group] = ()) -> None:
        """`more` are groups from other parts, such as sheets."""
        self._stock = stock
        self._kept = kept
        self._groups = (*groups_of(stock.course), *more)
        #: Those that would have to be made to know what is in them are asked last.
        self._order = sorted(self._groups, key=lambda group: not group.stem)
        kept.only("pages", {group.name for group in self._groups})

    def find(self, path: str) -> bytes | None:
        """Return a file, None when the site has none of that path."""
        for group in self._order:
            if path.startswith(group.stem):
                content = self._made(group).get(path)
                if content is not None:
                    return content
        return None

    def files(self) -> dict[str, bytes]:
        """Return every file, as a build would."""
        files: dict[str, bytes] = {}
        for group in self._groups:
            files |= self._made(group)
        return files

    def _made(self, group: Group) -> Mapping[str, bytes]:
        def make(_: Report, ask: Ask) -> Mapping[str, bytes]:
            ask(("stock", "theme"))
            course, stock = watched(self._stock, ask)
            return dict(group.make(Edition(course, self._stock.theme, stock=stock)))

        return self._kept.trace("pages", group.name, self._stock.answer, make, report=Report())
