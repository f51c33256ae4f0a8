"""The keys of course.yaml and of the heads of lessons and principles."""

from __future__ import annotations

from typing import Annotated, Final, Literal

import msgspec

__all__ = [
    "DAY",
    "LANGUAGE",
    "SLUG",
    "WEB",
    "CourseFields",
    "LessonFields",
    "PartFields",
    "PrincipleFields",
]

SLUG: Final = r"^[a-z0-9-]{1,80}\Z"
LANGUAGE: Final = r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*\Z"
DAY: Final = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])\Z"
WEB: Final = r"^https?://"

Words = Annotated[str, msgspec.Meta(min_length=1)]
Slug = Annotated[str, msgspec.Meta(pattern=SLUG)]
Language = Annotated[str, msgspec.Meta(pattern=LANGUAGE)]


#: Weeks from one recall to the next; two years is as long as a club keeps a group together.
Week = Annotated[int, msgspec.Meta(ge=1, le=104)]


class PartFields(msgspec.Struct, forbid_unknown_fields=True):
    """A part of the course in course.yaml."""

    title: Words
    lessons: list[str] = []


class CourseFields(msgspec.Struct):
    """course.yaml."""

    title: Words
    id: Slug | None = None
    club: Words | None = None
    author: Words | None = None
    language: Language = "en"
    letters: Words = "figurine"
    levels: list[Words] = []
    parts: list[PartFields] = []
    recall: Annotated[tuple[Week, ...], msgspec.Meta(min_length=1, max_length=6)] = (1, 3, 8)
    paper: tuple[Literal["sheet", "key", "cards"], ...] = ()
    theme: Slug = "press"
    site_url: Annotated[str, msgspec.Meta(pattern=WEB)] | None = None
    licence: Words | None = None
    contact: Words | None = None


class LessonFields(msgspec.Struct):
    """The head of a lesson."""

    title: Words
    subtitle: Words | None = None
    level: Words | None = None
    minutes: Annotated[int, msgspec.Meta(ge=1, le=600)] | None = None
    needs: list[str] = []
    teaches: list[str] = []
    practises: list[str] = []
    language: Language | None = None
    letters: Words | None = None
    hide_next: bool = False
    draft: bool = False
    changed: Annotated[str, msgspec.Meta(pattern=DAY)] | None = None


class PrincipleFields(msgspec.Struct):
    """The head of a principle."""

    title: Words
    short: Words
    since: Words | int | None = None
    kept_by: list[str] = []
    broken_by: list[str] = []
    justified_by: list[str] = []
    punished_by: list[str] = []
