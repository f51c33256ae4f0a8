"""References: every place has a chain that leads back to it, across lessons and in order."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given

from helpers import FILE, Checked, check_course, check_lesson, lesson, moves, play, steady
from plybook.course import Place
from plybook.course.places import chain_of, resolve_in_line
from plybook.diagnostics import Report, Span
from plybook.text.references import read_reference
from text.trees import Move, trees, write

TRAP = (
    "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1 (5... dxe5 6. Qxg4) 6. Bxf7+ Ke7 7. Nd5#"
)


def places(checked: Checked, slug: str = "a") -> dict[str, Place]:
    """Return the places of the references of a lesson, by their text."""
    return {str(one): place for one, place in checked.course.lessons[slug].targets.items()}


@steady(60)
@given(trees())
def test_a_chain_leads_back_to_exactly_its_place(tree: tuple[str, list[Move]]) -> None:
    line, _ = play(write(*tree), fen=tree[0])
    span = Span.of_file(FILE)
    for place in range(1, len(line.plies) + 1):
        report = Report()
        chain = chain_of(line, place)
        reference = read_reference(f"line@{chain}", span=span, report=report)
        assert reference is not None
        assert resolve_in_line(line, reference, report=report) == place
        assert not report.sorted()
        if ">" in chain:
            shorter = read_reference(f"line@{chain.partition('>')[2]}", span=span, report=report)
            assert shorter is not None
            assert resolve_in_line(line, shorter, report=report) is None, "as short as can be"


@pytest.mark.parametrize(
    ("reference", "index"),
    [
        ("trap@start", 0),
        ("trap@1.e4", 1),
        ("trap@4...g6", 8),
        ("trap@5...dxe5", 11),
        ("trap@6.Qxg4", 12),
        ("trap@5...dxe5>6.Qxg4", 12),
        ("trap@1.e4>6.Qxg4", 12),
        ("trap@6.Bxf7", 13),
        ("trap@7.Nd5", 15),
        ("trap@end", 15),
    ],
)
def test_a_reference_means_the_position_after_its_move(
    tmp_path: Path, reference: str, index: int
) -> None:
    checked = check_lesson(tmp_path, moves("trap", TRAP) + f"\n[x]({reference})\n")
    assert not checked.found
    assert places(checked) == {reference: Place("a", "trap", index)}


@pytest.mark.parametrize(
    ("reference", "code", "offered"),
    [
        ("trap@5.Nxe4", "unresolved-reference", "`5.Nxe5`"),
        ("trap@6.Nxe5", "unresolved-reference", "`5.Nxe5`"),
        ("trap@5...Bxd1>6.Qxg4", "unresolved-reference", "`6.Qxg4`"),
        ("trapp@start", "unknown-line", "did you mean `trap`?"),
        ("later@1.d5", "unresolved-reference", "`1.d4`"),
        ("b/trap@start", "unknown-lesson", ""),
    ],
)
def test_a_reference_that_leads_nowhere_offers_what_is_near(
    tmp_path: Path, reference: str, code: str, offered: str
) -> None:
    body = f"[x]({reference})\n" + moves("trap", TRAP) + moves("later", "1. d4 d5")
    checked = check_lesson(tmp_path, body)
    assert checked.codes == [code]
    assert checked.under(code) == reference
    assert offered in " ".join(checked.the(code).help)


def test_an_ambiguous_reference_lists_chains_that_resolve(tmp_path: Path) -> None:
    line = moves("m", "1. e4 e5 (1... c5 2. Nf3 d6) 2. Nf3 Nc6")
    (found,) = check_lesson(tmp_path / "one", line + "\n[x](m@2.Nf3)\n").found
    assert found.code == "ambiguous-reference"
    offered = [word for word in found.help[0].split("`") if "@" in word]
    assert offered == ["m@1...c5>2.Nf3", "m@1...e5>2.Nf3"]
    links = " ".join(f"[x]({chain})" for chain in offered)
    again = check_lesson(tmp_path / "two", line + f"\n{links}\n")
    assert not again.found
    assert {place.index for place in places(again).values()} == {4, 6}


def test_a_line_that_broke_off_is_asked_for_no_place_behind_the_break(tmp_path: Path) -> None:
    body = moves("m", "1. e4 e5 2. Nf6 Nc6 3. Bb5") + "\n[x](m@3.Bb5) [y](m@end) [z](m@1...e5)\n"
    checked = check_lesson(tmp_path, body)
    assert checked.codes == ["illegal-move"]
    assert places(checked) == {"m@1...e5": Place("a", "m", 2)}


# ---------------------------------------------------------------------- across lessons


@pytest.mark.parametrize("name", ["count-first", "04-count-first"])
def test_a_lesson_is_named_by_its_slug_or_its_file(tmp_path: Path, name: str) -> None:
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson(f"[x]({name}/trap@5.Nxe5)\n"),
            "lessons/04-count-first.md": lesson(moves("trap", TRAP)),
        },
    )
    assert not checked.found
    assert places(checked) == {f"{name}/trap@5.Nxe5": Place("count-first", "trap", 9)}


def test_a_line_of_another_lesson_is_found_by_the_help(tmp_path: Path) -> None:
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson("[x](trap@start)\n"),
            "lessons/02-b.md": lesson(moves("trap", TRAP)),
        },
    )
    assert checked.the("unknown-line").help == ("did you mean `b/trap`?",)


# ---------------------------------------------------------------------- lines from places


def test_a_line_from_a_reference_goes_on_with_the_numbers(tmp_path: Path) -> None:
    checked = check_course(
        tmp_path,
        {
            "lessons/01-a.md": lesson(
                moves("more", "8. a3 Nc6", from_="next@7...a6")
                + moves("next", "6. Qxg4 Nf6 7. Qh4 a6", from_="02-b/trap@5...dxe5")
            ),
            "lessons/02-b.md": lesson(moves("trap", TRAP)),
        },
    )
    assert not checked.found
    line = checked.course.lessons["a"].lines["more"]
    assert [ply.label for ply in line.plies] == ["8.a3", "8...Nc6"]
    assert line.first_number == 8
    assert places(checked) == {
        "next@7...a6": Place("a", "next", 4),
        "02-b/trap@5...dxe5": Place("b", "trap", 11),
    }


@pytest.mark.parametrize(
    ("one", "two", "cycle"),
    [
        ("one@start", "trap@start", "a/one → a/one"),
        ("two@start", "one@start", "a/one → a/two → a/one"),
        ("01-a/two@1.e4", "a/one@end", "a/one → a/two → a/one"),
    ],
    ids=["itself", "two", "by-other-names"],
)
def test_lines_that_start_from_one_another_are_one_fault(
    tmp_path: Path, one: str, two: str, cycle: str
) -> None:
    body = moves("trap", TRAP) + moves("one", "1. e4", from_=one) + moves("two", "1. e4", from_=two)
    checked = check_lesson(tmp_path, body + "\n[x](one@1.e4)\n")
    assert checked.codes == ["reference-cycle"]
    assert checked.the("reference-cycle").notes == (cycle,)


def test_what_hangs_on_a_line_that_cannot_be_played_stays_silent(tmp_path: Path) -> None:
    body = (
        moves("bad", "1. e4", from_="fen 8/8/8/8/8/8/8/8 w - - 0 1")
        + moves("next", "2. d4", from_="bad@1.e4")
        + "\n[x](bad@1.e4) [y](next@2.d4)\n\n```diagram next@start\n```\n"
    )
    assert check_lesson(tmp_path, body).codes == ["impossible-position"]


def test_a_near_miss_is_offered_from_blocks_further_down(tmp_path: Path) -> None:
    body = moves("one", "1. e4", from_="trp@start") + moves("trap", TRAP)
    checked = check_lesson(tmp_path, body)
    assert checked.codes == ["unknown-line"]
    assert checked.the("unknown-line").help == ("did you mean `trap`?",)


# ---------------------------------------------------------------------- drawings of a lesson


def test_marks_stand_on_the_stepping_board_at_their_place(tmp_path: Path) -> None:
    body = (
        "\n```moves trap\nat 4...g6: arrow pin g4 f3 d1\nat 4...g6: mark loose g4\n"
        f"at start: mark target f7\n\n{TRAP}\n```\n"
        "\n```diagram trap@4...g6\narrow pin g4 f3 d1\narrow plan c4 f7\n```\n"
    )
    checked = check_lesson(tmp_path, body)
    assert not checked.found
    one = checked.course.lessons["a"]
    sets = {place.index: [mark.role for mark in marks] for place, marks in one.sets.items()}
    assert sets == {0: ["target"], 8: ["pin", "loose", "plan"]}, "said twice, drawn once"
    assert [mark.role for mark in one.marks[1]] == ["pin", "plan"]


def test_an_exercise_is_played_from_its_board_and_the_reply_after_its_answer(
    tmp_path: Path,
) -> None:
    body = (
        moves("trap", TRAP) + "\n```exercise find\nboard: trap@5...Bxd1\ntask: Mate.\n"
        "check: mate in 2\nanswer: 6. Bxf7+ Ke7 7. Nd5#\nwrong: 6. Kxd1 | A piece is not mate.\n"
        "reply: 6... Ke7\n```\n"
    )
    checked = check_lesson(tmp_path, body)
    assert not checked.found
    played = [
        [ply.label for ply in line.plies] for line in checked.course.lessons["a"].answers.values()
    ]
    assert played == [["6.Bxf7+", "6...Ke7", "7.Nd5#"], ["6.Kxd1"], ["6...Ke7"]]
