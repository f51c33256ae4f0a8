"""The papers that a site offers to print, beside its lessons: as `paper:` in course.yaml says."""

from __future__ import annotations

import hashlib
from functools import partial
from typing import Final

from plybook.course.model import Course
from plybook.site.pages.build import Group
from plybook.site.pages.edition import Edition
from plybook.site.paper.chosen import choose
from plybook.site.paper.papers import linked_style, make_papers

__all__ = ["paper_groups"]

_ROOT: Final = "../"


def paper_groups(course: Course) -> tuple[Group, ...]:
    """Return the papers of each lesson and their style sheet; nothing unless it is asked for."""
    if not course.file.paper:
        return ()
    return (
        *(
            Group(f"paper {slug}", f"paper/{slug}-", partial(_papers, slug=slug))
            for slug in course.lessons
        ),
        Group("paper style", "assets/paper-", _stylesheet),
    )


def _papers(edition: Edition, *, slug: str) -> dict[str, bytes]:
    (stylesheet,) = _stylesheet(edition)
    papers = make_papers(
        edition,
        choose(edition.course, slug),
        edition.course.file.paper,
        stylesheet=_ROOT + stylesheet,
    )
    return {f"paper/{paper.name}.html": paper.html.encode() for paper in papers}


def _stylesheet(edition: Edition) -> dict[str, bytes]:
    style = edition.assets.files[edition.assets.stylesheets["style"]]
    content = linked_style(style.decode()).encode()
    return {f"assets/paper-{hashlib.sha256(content).hexdigest()[:10]}.css": content}
