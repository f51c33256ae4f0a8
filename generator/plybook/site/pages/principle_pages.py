"""The pages of the principles: the rule, and what the course's moves do to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from plybook.course.model import Evidence, PrincipleUse
from plybook.site.pages.edition import Edition
from plybook.site.pages.evidence import VERBS, sentence_of
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.lesson_page import lesson_link
from plybook.site.pages.views import ExampleGroupView, ExampleView, LinkView, PrincipleView
from plybook.site.wording.movetext import move_link
from plybook.site.wording.prose import render_prose
from plybook.site.wording.typography import set_text
from plybook.site.wording.words import Words
from plybook.text.model import PrincipleDraft

__all__ = ["principle_pages"]

_SHOWN: Final = 6
_NOT_WORTH_A_FOLD: Final = 2
#: Breaches with a reason are easy to find: more of them would outshout the rule.
_SHOWN_OF_EXCEPTIONS: Final = 3
#: A page of many hundred boards would be slow: beyond these a group names moves only.
_MOST_BOARDS: Final = 60
_NO_USE: Final = PrincipleUse(taught=(), practised=(), tagged=())


def principle_pages(edition: Edition) -> dict[str, bytes]:
    """Return the pages of the principles and their index, by path."""
    files = {}
    listed = []
    for slug, principle in edition.course.principles.items():
        view = _principle(edition, principle)
        listed.append(view)
        files[f"principles/{slug}.html"] = edition.page(
            "principle.html",
            kind="principle",
            title=principle.title,
            root="../",
            has_boards=bool(view.groups),
            principle=view,
        )
    files["principles/index.html"] = edition.page(
        "principles.html",
        kind="principles",
        title=edition.words().titles["principles"],
        root="../",
        has_boards=False,
        principles=listed,
    )
    return files


def _principle(edition: Edition, principle: PrincipleDraft) -> PrincipleView:
    """Return a principle as its page and the index beside it show it."""
    text = Hypertext(edition, file=principle.file, root="../")
    use = edition.course.uses.get(principle.slug, _NO_USE)
    evidence = edition.course.evidence.get(principle.slug, ())
    return PrincipleView(
        slug=principle.slug,
        title=principle.title,
        short=set_text(principle.short, text.quotes),
        since=principle.since or "",
        href=f"{principle.slug}.html",
        body=render_prose(principle.prose, text.setting(_no_block)),
        taught=tuple(lesson_link(edition, slug, folder="../lessons/") for slug in use.taught),
        practised=tuple(lesson_link(edition, slug, folder="../lessons/") for slug in use.practised),
        groups=tuple(
            _group(edition, text, verb, found)
            for verb in VERBS
            if (found := [one for one in evidence if one.verb == verb])
        ),
    )


def _no_block(index: int) -> str:
    """Principles have prose alone: a block in one has been reported, and nothing shows it."""
    return ""


def _group(
    edition: Edition, text: Hypertext, verb: str, found: Sequence[Evidence]
) -> ExampleGroupView:
    """Return the examples of one verb in the order of the lessons.

    What the coach has pointed out is not folded away for what was computed.
    """
    worth = _SHOWN_OF_EXCEPTIONS if verb == "justified" else _SHOWN
    is_long = len(found) > worth + _NOT_WORTH_A_FOLD
    most = worth if is_long else len(found)
    first = {id(one) for one in sorted(found, key=lambda one: not one.is_tagged)[:most]}
    shown = [one for one in found if id(one) in first]
    rest = [one for one in found if id(one) not in first]
    boards = _MOST_BOARDS - len(shown)
    return ExampleGroupView(
        verb=verb,
        title=text.words.verbs[verb],
        count=len(found),
        shown=tuple(_example(edition, text, one) for one in shown),
        folded=tuple(_example(edition, text, one) for one in rest[:boards]),
        plain=tuple(_example(edition, text, one, has_board=False) for one in rest[boards:]),
        first=_before_exceptions(text.words) if is_long and verb == "justified" else "",
    )


def _before_exceptions(words: Words) -> str:
    """Return what stands above many breaches that each have a reason."""
    return words.say(
        "Learn the rule first. Each of these moves breaks it and has a reason. Without a reason as "
        "good, keep to the rule."
    )


def _example(
    edition: Edition, text: Hypertext, one: Evidence, *, has_board: bool = True
) -> ExampleView:
    sheet = edition.sheet_of(one.place)
    ply = sheet.line.plies[one.place.index - 1]
    address = text.address(one.place)
    told = text.text(sentence_of(one, text.words), letters=sheet.letters)
    return ExampleView(
        board=edition.board(one.place, text.words, small=True) if has_board else Markup(),
        sentence=move_link(ply, address, letters=sheet.letters) + ": " + told,
        link=LinkView(href=address, text=edition.course.lessons[one.place.lesson].draft.title),
    )
