"""Contradictions: one move in one position, praised here and condemned there."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import FILE, Checked, check_course, lesson, moves

PRINCIPLE = "---\ntitle: A rule\nshort: Be good.\n---\n"


def two(folder: Path, first: str, second: str) -> Checked:
    """Return a course of two lessons with these bodies and the principle `rule`."""
    return check_course(
        folder,
        {
            FILE: lesson(first),
            "lessons/02-b.md": lesson(second, title="B"),
            "principles/rule.md": PRINCIPLE,
        },
    )


@pytest.mark.parametrize(
    ("first", "second"),
    [("!", "?"), ("!!", "??"), ("??", "!"), ("?", "!!"), (" $1", " $4")],
)
def test_praise_and_blame_of_one_move_are_told_at_the_later_place(
    first: str, second: str, tmp_path: Path
) -> None:
    checked = two(
        tmp_path,
        moves("one", f"1. e4 e5 2. Nf3{first}"),
        moves("two", f"1. e4 e5 2. Nf3{second} Nc6"),
    )
    fault = checked.the("contradiction")
    assert checked.codes == ["contradiction"]
    assert fault.severity.value == "warning"
    assert (fault.span.file, fault.span.line) == ("lessons/02-b.md", 6)
    assert fault.notes[0] == f"elsewhere: {FILE}:6"


@pytest.mark.parametrize(
    ("first", "second"),
    [("!", "!!"), ("?", "??"), ("!", "!?"), ("?", "?!"), ("", "?"), ("!", "")],
)
def test_shades_and_silence_contradict_nothing(first: str, second: str, tmp_path: Path) -> None:
    lines = (moves("one", f"1. e4{first} e5"), moves("two", f"1. e4{second} c5"))
    assert two(tmp_path, *lines).codes == []


def test_the_order_of_moves_does_not_matter_but_the_position_does(tmp_path: Path) -> None:
    same = two(
        tmp_path / "a", moves("one", "1. Nf3 d5 2. d4 Nf6!"), moves("two", "1. d4 d5 2. Nf3 Nf6?")
    )
    other = two(
        tmp_path / "b", moves("one", "1. Nf3 d5 2. d4 Nf6!"), moves("two", "1. d4 e6 2. Nf3 Nf6?")
    )
    assert (same.codes, other.codes) == (["contradiction"], [])


def test_another_move_in_the_position_may_be_judged_otherwise(tmp_path: Path) -> None:
    assert two(tmp_path, moves("one", "1. e4!"), moves("two", "1. h4?")).codes == []


def test_one_lesson_can_contradict_itself(tmp_path: Path) -> None:
    checked = two(tmp_path, moves("one", "1. e4! e5") + moves("two", "1. e4? c5"), "")
    assert checked.codes == ["contradiction"]


def tagged(name: str, tag: str) -> str:
    return moves(name, "1. e4 e5") + f"\n```tags {name}\n{tag}\n```\n"


def test_obeys_here_and_breaks_there(tmp_path: Path) -> None:
    checked = two(tmp_path, tagged("one", "1.e4 obeys rule"), tagged("two", "1.e4 breaks rule"))
    assert checked.codes == ["contradiction"]
    assert checked.under("contradiction") == "1.e4"
    assert "obeys" in checked.the("contradiction").message


@pytest.mark.parametrize(
    "tag", ['1.e4 breaks rule anyway "another day"', "1.e4 obeys rule", "1...e5 breaks rule"]
)
def test_a_reason_or_another_move_contradicts_nothing(tag: str, tmp_path: Path) -> None:
    assert two(tmp_path, tagged("one", "1.e4 obeys rule"), tagged("two", tag)).codes == []


#: 4...Nxe4 wins a pawn at once; three plies further it still does.
CLAIM = "\n```claims {name}@4.e4\n{claim}\n```\n"
PINNED = "1. d4 Nf6 2. c4 e6 3. Nc3 Bb4 4. e4"


def claimed(name: str, claim: str) -> str:
    return moves(name, PINNED) + CLAIM.format(name=name, claim=claim)


def test_claims_that_agree_are_left_alone(tmp_path: Path) -> None:
    checked = two(
        tmp_path,
        claimed("one", "4...Nxe4 wins 1 or more, depth 1"),
        claimed("two", "4...Nxe4 does not win 9, depth 1, because 5.Qc2"),
    )
    assert "contradiction" not in checked.codes


def test_a_false_claim_is_reported_once(tmp_path: Path) -> None:
    checked = two(
        tmp_path,
        claimed("one", "4...Nxe4 wins 1 or more, depth 3"),
        claimed("two", "4...Nxe4 does not win 1, depth 3, because 5.Qc2"),
    )
    assert checked.codes == ["false-claim"]


#: The check costs two pawns at once and brings them back, with one more, two moves later.
LOOSE_PIN = "1. d4 d5 2. c4 dxc4 3. Nf3 Nf6 4. e3 Bg4 5. Bxc4 a6"
DEEP = "6.Bxf7+ wins 1 or more, depth 3"
SHALLOW = "6.Bxf7+ does not win 1, depth 1, because 6...Kxf7"


@pytest.mark.parametrize("claims", [(DEEP, SHALLOW), (SHALLOW, DEEP)])
def test_wins_here_and_does_not_win_there(claims: tuple[str, str], tmp_path: Path) -> None:
    bodies = [
        moves(name, LOOSE_PIN) + f"\n```claims {name}@end\n{claim}\n```\n"
        for name, claim in zip(("one", "two"), claims, strict=True)
    ]
    checked = two(tmp_path, *bodies)
    assert checked.codes == ["contradiction"]
    assert checked.under("contradiction") == claims[1]
