"""How the text of one page is linked: moves, references, pages of the course, images."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from urllib.parse import quote

from markupsafe import Markup, escape

from plybook.course.model import Lesson, Place
from plybook.diagnostics import Span
from plybook.site.pages.edition import Edition
from plybook.site.wording.movetext import text_html, written_html
from plybook.site.wording.prose import Anchor, Picture, Setting, render_inline
from plybook.site.wording.typography import set_text
from plybook.site.wording.words import Words
from plybook.text.addresses import fault_of_address, is_external, target_of
from plybook.text.model import Comment, Link, Mention, Prose, Reference

__all__ = ["Hypertext"]


class Hypertext:
    """The text of one page: its words, its quotation marks, and where its links go.

    `lesson` is None for a page without lines of its own. Addresses are relative to the page.
    """

    def __init__(
        self,
        edition: Edition,
        *,
        file: str,
        root: str,
        language: str | None = None,
        lesson: Lesson | None = None,
    ) -> None:
        self.edition = edition
        self.lesson = lesson
        self.root = root
        self.words: Words = edition.words(language)
        self.quotes = edition.quotes(language)
        wish = lesson.draft.letters if lesson else None
        self.letters = edition.letters(wish, language=language)
        self._file = file
        self._mentions: Mapping[Span, Place] = lesson.mentions if lesson else {}
        self._inline = self.setting(_no_block)

    def setting(self, block: Callable[[int], str]) -> Setting:
        """Return what the renderer of prose asks; `block` returns a block's HTML by its index."""
        return Setting(
            mention=self._mention,
            anchor=self._anchor,
            picture=self._picture,
            block=block,
            quotes=self.quotes,
            top_heading=2,
            note_back=self.words.note_back,
        )

    def inline(self, prose: Prose) -> Markup:
        """Return the HTML of a comment or caption."""
        return render_inline(prose, self._inline)

    def remark(self, comment: Comment) -> str:
        """Return the HTML of a comment of a line."""
        if comment.prose.tokens:
            return self.inline(comment.prose)
        return str(self.text(comment.text))

    def text(self, text: str, *, letters: str | None = None) -> Markup:
        """Return a text that is no Markdown, such as a task, with its signs and moves set."""
        return text_html(set_text(text, self.quotes), letters or self.letters)

    def address(self, place: Place) -> str:
        """Return the address of a position, only a fragment where it stands on this page."""
        if self.lesson is not None and place.lesson == self.lesson.slug:
            return f"#{self.edition.fragment(place)}"
        if self.lesson is not None:
            return f"{place.lesson}.html#{self.edition.fragment(place)}"
        return self.edition.address(place, root=self.root)

    def place_of(self, reference: Reference) -> Place | None:
        """Return the place that a reference of this page names, None for one that is not there."""
        targets = self.lesson.targets if self.lesson else self.edition.course.targets
        place = targets.get(reference)
        return place if place and place.lesson in self.edition.course.lessons else None

    # ---------------------------------------------------------------- what prose asks

    def _mention(self, mention: Mention, text: str) -> str:
        place = self._mentions.get(mention.span)
        if place is None or place.lesson not in self.edition.course.lessons:
            return str(escape(text))
        sheet = self.edition.sheet_of(place)
        ply = sheet.ply(place.index)
        kind = "m s" if ply and ply.depth else "m"
        sign = written_html(text, sheet.letters)
        return f'<a class="{kind}" href="{self.address(place)}">{sign}</a>'

    def _anchor(self, link: Link) -> Anchor | None:
        if link.reference is not None:
            place = self.place_of(link.reference)
            return Anchor(self.address(place), "go") if place else None
        if is_external(link.target):
            return None if fault_of_address(link.target) else Anchor(link.target, "out")
        return self._page_anchor(link.target)

    def _page_anchor(self, target: str) -> Anchor | None:
        """Return the address of a page of the course that is linked by its file."""
        file, heading = target_of(target, file=self._file)
        page = self.edition.pages_of_files.get(file)
        if page is None:
            return None
        fragment = self._heading(file, heading)
        if file == self._file and fragment:
            return Anchor(fragment)
        return Anchor(f"{self.root}{page}{fragment}")

    def _heading(self, file: str, heading: str) -> str:
        """Return the fragment of a heading, named with or without its `h-`, "" if not there."""
        headings = self.edition.headings_of(file)
        for name in (heading, f"h-{heading}"):
            if name in headings:
                return f"#{name}"
        return ""

    def _picture(self, link: Link) -> Picture | None:
        path = target_of(link.target, file=self._file).path
        image = self.edition.images.get(path)
        if image is None:
            return None
        return Picture(f"{self.root}{quote(path)}", image.width, image.height)


def _no_block(index: int) -> str:
    raise AssertionError(f"running text holds no block {index}")
