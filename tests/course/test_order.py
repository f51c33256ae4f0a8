"""How lessons hang together: order, parts, drafts, prerequisites, principles, levels and links."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from helpers import Checked, check_course, lesson, moves

PRINCIPLE = "---\ntitle: Rule\nshort: In short.\n---\nText.\n"


def lessons(folder: Path, heads: Mapping[str, Mapping[str, object]], course: str = "") -> Checked:
    """Return a course of lessons by file name, each with a head and a word of text."""
    files = {f"lessons/{name}.md": lesson("Text.\n", **head) for name, head in heads.items()}
    return check_course(folder, {"course.yaml": f"title: A course\n{course}", **files})


# ---------------------------------------------------------------------- order and parts


def test_lessons_come_by_number_then_by_name(tmp_path: Path) -> None:
    names = ("10-last", "2-second", "02-a-second", "01-first", "unnumbered")
    checked = lessons(tmp_path, {name: {} for name in names})
    order = ["unnumbered", "first", "a-second", "second", "last"]
    assert [draft.slug for draft in checked.draft.lessons] == order
    assert [one.number for one in checked.course.lessons.values()] == [1, 2, 3, 4, 5]
    assert not checked.found


def test_parts_hold_their_lessons_and_the_rest_comes_last(tmp_path: Path) -> None:
    course = "parts:\n- {title: One, lessons: [a]}\n- {title: Two, lessons: [03-c]}\n"
    checked = lessons(tmp_path, {"01-a": {}, "02-b": {}, "03-c": {}}, course)
    assert [(part.title, part.lessons) for part in checked.course.parts] == [
        ("One", ("a",)),
        ("Two", ("c",)),
        ("", ("b",)),
    ]
    assert checked.codes == ["lesson-in-no-part"]


@pytest.mark.parametrize(
    ("course", "code", "there"),
    [
        ("parts: [{title: P, lessons: [a, b, a]}]", "lesson-in-two-parts", "a"),
        ("parts: [{title: P, lessons: [b, a]}]", "part-order", "a"),
        ("parts: [{title: P, lessons: [a, b, bb]}]", "unknown-lesson", "bb"),
    ],
)
def test_a_part_names_each_lesson_once_in_order(
    tmp_path: Path, course: str, code: str, there: str
) -> None:
    checked = lessons(tmp_path, {"01-a": {}, "02-b": {}}, course)
    assert checked.codes == [code]
    assert checked.under(code) == there


# ---------------------------------------------------------------------- drafts


def test_a_draft_is_checked_and_left_out(tmp_path: Path) -> None:
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson("Text.\n"),
            "lessons/02-b.md": lesson(moves("m", "1. e5"), draft="true"),
            "lessons/03-c.md": lesson("Text.\n"),
        },
    )
    assert checked.codes == ["illegal-move"]
    assert [(one.slug, one.number) for one in checked.course.lessons.values()] == [
        ("a", 1),
        ("c", 2),
    ]
    assert checked.course.parts[0].lessons == ("a", "c")


def test_a_published_lesson_may_not_refer_to_a_draft_and_a_draft_may(tmp_path: Path) -> None:
    body = "See [this](hidden/m@1.e4).\n"
    files = {
        "lessons/01-a.md": lesson(body),
        "lessons/02-hidden.md": lesson(moves("m", "1. e4"), draft="true"),
        "lessons/03-other.md": lesson(body, draft="true"),
    }
    checked = check_course(tmp_path, files)
    assert checked.codes == ["unknown-lesson"]
    assert checked.the("unknown-lesson").span.file == "lessons/01-a.md"


# ---------------------------------------------------------------------- prerequisites


@pytest.mark.parametrize(
    ("needs", "found"),
    [
        ({"a": "[]", "b": "[a]", "c": "[a, 02-b]"}, []),
        ({"a": "[b]", "b": "[]", "c": "[]"}, ["later-prerequisite"]),
        ({"a": "[]", "b": "[ab]", "c": "[]"}, ["unknown-lesson"]),
        ({"a": "[a]", "b": "[]", "c": "[]"}, ["prerequisite-cycle"]),
        ({"a": "[b]", "b": "[a]", "c": "[]"}, ["prerequisite-cycle"]),
        ({"a": "[c]", "b": "[a]", "c": "[b]"}, ["prerequisite-cycle"]),
    ],
    ids=["in-order", "later", "unknown", "itself", "two", "three"],
)
def test_what_a_lesson_needs_comes_before_it(
    tmp_path: Path, needs: dict[str, str], found: list[str]
) -> None:
    heads = {f"0{at}-{name}": {"needs": need} for at, (name, need) in enumerate(needs.items(), 1)}
    checked = lessons(tmp_path, heads)
    assert checked.codes == found


def test_a_cycle_is_told_from_end_to_end(tmp_path: Path) -> None:
    checked = lessons(
        tmp_path, {"01-a": {"needs": "[c]"}, "02-b": {"needs": "[a]"}, "03-c": {"needs": "[b]"}}
    )
    assert checked.the("prerequisite-cycle").notes == ("a → c → b → a",)


# ---------------------------------------------------------------------- principles, levels, tags


def test_names_in_heads_are_looked_up_each_with_a_near_miss(tmp_path: Path) -> None:
    head = {"level": "begginer", "teaches": "[centre, king-saefty]", "practises": "[develop]"}
    checked = check_course(
        tmp_path,
        {
            "course.yaml": "title: T\nlevels: [beginner, club]\n",
            "lessons/01-a.md": lesson("Text.\n", **head),
            "principles/centre.md": PRINCIPLE,
            "principles/king-safety.md": PRINCIPLE,
        },
    )
    assert [(one.code, one.help) for one in checked.found] == [
        ("unknown-level", ("did you mean `beginner`?",)),
        ("unknown-principle", ("did you mean `king-safety`?",)),
        ("unknown-principle", ("write principles/develop.md",)),
    ]


def test_a_principle_knows_its_lessons_and_moves(tmp_path: Path) -> None:
    tags = '```tags game\n1.e4 obeys centre\n1...f6 breaks centre anyway "for the trap"\n```\n'
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson(moves("game", "1. e4 f6") + tags, teaches="[centre]"),
            "lessons/02-b.md": lesson("Text.\n", practises="[centre]"),
            "principles/centre.md": PRINCIPLE,
            "principles/unused.md": PRINCIPLE,
        },
    )
    assert not checked.found
    use = checked.course.uses["centre"]
    assert (use.taught, use.practised) == (("a",), ("b",))
    assert [(one.place.index, one.verb, one.reason) for one in use.tagged] == [
        (1, "obeys", None),
        (2, "breaks", "for the trap"),
    ]
    assert checked.course.uses["unused"].tagged == ()


def test_principles_stand_in_the_order_of_their_titles(tmp_path: Path) -> None:
    titles = {"a": "second", "b": "First", "c": "third", "d": "Second"}
    files = {
        f"principles/{slug}.md": PRINCIPLE.replace("Rule", title) for slug, title in titles.items()
    }
    checked = check_course(tmp_path, {"lessons/01-a.md": lesson("Text.\n"), **files})
    assert list(checked.course.principles) == ["b", "a", "d", "c"]


# ---------------------------------------------------------------------- links


@pytest.mark.parametrize(
    ("link", "code"),
    [
        ("[x](02-b.md)", None),
        ("[x](02-b.md#the-pin)", None),
        ("[x](02-b.md#h-the-pin)", None),
        ("[x](#here)", None),
        ("[x](../principles/centre.md)", None),
        ("[x](https://example.org/02-c.md)", None),
        ("![a board](../images/board.png)", None),
        ("[x](03-b.md)", "broken-link"),
        ("[x](02-b.md#the-fork)", "broken-link"),
        ("[x](#there)", "broken-link"),
        ("[x](principles/centre.md)", "broken-link"),
        ("![a board](../images/bord.png)", "missing-image"),
    ],
)
def test_a_link_leads_somewhere(tmp_path: Path, link: str, code: str | None) -> None:
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson(f"## Here\n\n{link}\n"),
            "lessons/02-b.md": lesson("## The pin\n"),
            "principles/centre.md": PRINCIPLE,
            "images/board.png": "",
        },
    )
    assert checked.codes == ([code] if code else [])
