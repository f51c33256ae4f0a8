"""Evidence: what the ledger finds of a principle, what the tags say, and which of them goes first.

Expected sentences are those of the ledger's table, whose facts are tested in tests/ledger.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import FILE, Checked, check_course, lesson, moves
from plybook.board import ledger
from plybook.course import Evidence

ONCE = """---
title: Each man once
short: Move each man once.
{head}
---
"""
HEAD = """kept_by: [develops]
broken_by: [same-man-again]
justified_by: [was-attacked, recaptures]
punished_by: [pawn-hits-man]"""

#: 4.Bd5 is Edward Lasker's example of a wasted move (Chess Strategy, 1915).
WASTED = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. Bd5"
#: The bishop is attacked before 4.Ba4; 4.Bxc6 trades.
SPANISH = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4"


def course(
    folder: Path, movetext: str, tags: str = "", *, head: str = HEAD, **more: str
) -> Checked:
    """Return a course of one principle, `once`, and one line, `open`, with its tags."""
    block = f"\n```tags open\n{tags}\n```\n" if tags else ""
    files = {
        "principles/once.md": ONCE.format(head=head),
        FILE: lesson(moves("open", movetext) + block),
        **more,
    }
    return check_course(folder, files)


def told(checked: Checked, slug: str = "once") -> list[tuple[str, str]]:
    """Return move and verb of the evidence, in order."""
    found = checked.course.evidence[slug]
    return [(label(checked, one), one.verb) for one in found]


def label(checked: Checked, one: Evidence) -> str:
    ply = checked.course.ply(one.place)
    assert ply is not None
    return ply.label


def the(checked: Checked, move: str) -> Evidence:
    (one,) = (one for one in checked.course.evidence["once"] if label(checked, one) == move)
    return one


# ---------------------------------------------------------------------- what the ledger finds


def test_a_move_without_a_reason_breaks_the_principle(tmp_path: Path) -> None:
    checked = course(tmp_path, WASTED)
    one = the(checked, "4.Bd5")
    assert (one.verb, one.is_tagged, one.because) == ("broken", False, "")
    told = (
        "the bishop moves again (its 2nd move) and takes nothing, threatens nothing and saves "
        "nothing"
    )
    assert one.told() == told


def test_a_reason_that_the_principle_takes_makes_a_breach_a_justified_one(tmp_path: Path) -> None:
    one = the(course(tmp_path, SPANISH), "4.Ba4")
    assert one.verb == "justified"
    assert "it was attacked by the pawn on a6" in one.told()


def test_a_reason_that_the_principle_does_not_take_is_none(tmp_path: Path) -> None:
    head = "broken_by: [same-man-again]\njustified_by: [recaptures]"
    assert the(course(tmp_path, SPANISH, head=head), "4.Ba4").verb == "broken"


def test_a_reason_beside_the_fact_is_told_with_it(tmp_path: Path) -> None:
    """A knight on the edge has no reason of its own; what it takes there is another fact."""
    head = "broken_by: [on-the-rim]\njustified_by: [wins-material]"
    line = "1. Nf3 h5 2. d4 e6 3. Ne5 a6 4. e3 Rh6 5. Nf3 Qh4 6. Nxh4"
    one = the(course(tmp_path, line, head=head), "6.Nxh4")
    assert one.verb == "justified"
    assert one.told() == (
        "the knight goes to the edge of the board; "
        "the knight takes the queen on h4 and wins 9 pawns' worth"
    )


def test_kept_gives_way_to_a_breach_by_the_same_side(tmp_path: Path) -> None:
    head = "kept_by: [recaptures]\nbroken_by: [same-man-again]"
    checked = course(tmp_path, "1. e4 e5 2. Nf3 Nc6 3. d4 exd4 4. Nxd4", head=head)
    assert told(checked) == [("4.Nxd4", "broken")]


def test_of_two_facts_the_one_named_first_is_told(tmp_path: Path) -> None:
    first = course(tmp_path, "1. e4", head="kept_by: [centre-pawn, pawn-job]")
    then = course(tmp_path / "b", "1. e4", head="kept_by: [pawn-job, centre-pawn]")
    assert the(first, "1.e4").told() == "the pawn stands in the centre, on e4"
    assert the(then, "1.e4").told().startswith("this pawn move has a job")


def test_a_punishment_follows_a_breach_of_the_other_side(tmp_path: Path) -> None:
    """After 4.Bd5 the pawn move 5...c6 hits the bishop; without a breach it punishes nothing."""
    after = course(tmp_path, f"{WASTED} a6 5. d3 Ne7 6. h3 c6", head=HEAD)
    assert ("6...c6", "punished") in told(after)
    head = HEAD.replace("broken_by: [same-man-again]\n", "")
    assert "punished" not in {verb for _, verb in told(course(tmp_path / "b", SPANISH, head=head))}


def test_a_breach_with_a_reason_is_not_punished(tmp_path: Path) -> None:
    checked = course(tmp_path, f"{SPANISH} b5")
    assert told(checked)[-1] == ("4.Ba4", "justified")


def test_a_punishment_comes_within_three_moves(tmp_path: Path) -> None:
    late = f"{WASTED} a6 5. a3 h6 6. h3 b6 7. c3 Rb8 8. d3 Ne7 9. Nbd2 c6"
    assert "punished" not in {verb for _, verb in told(course(tmp_path, late))}


def test_what_a_king_suffers_is_done_by_the_other_side(tmp_path: Path) -> None:
    """10.Ba3 holds Black's king in the middle (lines of the Italian game, own continuation)."""
    held = (
        "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d4 exd4 6. cxd4 Bb4+ 7. Nc3 Nxe4 8. O-O Nxc3 "
        "9. bxc3 Bxc3 10. Ba3"
    )
    checked = course(
        tmp_path,
        held,
        "9...Bxc3 breaks once",
        head="punished_by: [held-in-the-centre]",
    )
    assert told(checked) == [("9...Bxc3", "broken"), ("10.Ba3", "punished")]
    assert the(checked, "10.Ba3").told().startswith("Black cannot castle short now")


def test_the_men_of_an_endgame_say_nothing_of_the_opening(tmp_path: Path) -> None:
    head = "broken_by: [on-the-rim]"
    shuffle = " ".join(f"{n}. Ng1 Ng8 {n + 1}. Nf3 Nf6" for n in range(2, 14, 2))
    checked = course(tmp_path, f"1. Nf3 Nf6 {shuffle} 14. Nh4", head=head)
    assert told(checked) == []


def test_a_board_without_kings_has_no_evidence(tmp_path: Path) -> None:
    text = lesson("\n```moves bare\nfrom: fen 8/8/8/3P4/8/8/8/8 w - - 0 1\npartial: true\n```\n")
    files = {FILE: text, "principles/once.md": ONCE.format(head=HEAD)}
    checked = check_course(tmp_path, files)
    assert checked.course.evidence["once"] == ()
    assert checked.course.ledgers["a", "bare"].entries == ()


# ---------------------------------------------------------------------- tags


def test_a_tag_goes_before_what_is_computed_and_keeps_its_words(tmp_path: Path) -> None:
    one = the(course(tmp_path, WASTED, '4.Bd5 breaks once anyway "a trick"'), "4.Bd5")
    assert (one.verb, one.is_tagged, one.because) == ("justified", True, "a trick")
    assert one.told().startswith("the bishop moves again")


def test_a_reason_behind_a_move_marked_as_weak_excuses_nothing(tmp_path: Path) -> None:
    one = the(course(tmp_path, f"{WASTED}?!", '4.Bd5 breaks once anyway "for fun"'), "4.Bd5")
    assert (one.verb, one.because) == ("broken", "for fun")


def test_a_tag_of_which_nothing_is_computed_is_the_coachs_word(tmp_path: Path) -> None:
    checked = course(tmp_path, "1. e4", "1.e4 obeys once")
    assert the(checked, "1.e4").told() == ""


def test_a_reason_stands_for_words_where_nothing_is_computed(tmp_path: Path) -> None:
    checked = course(tmp_path, "1. e4", '1.e4 obeys once anyway "so it is"')
    assert the(checked, "1.e4").told() == "so it is"


def test_a_tag_speaks_for_its_move_in_another_lesson_too(tmp_path: Path) -> None:
    other = lesson(moves("same", "1. Nf3 Nc6 2. e4 e5 3. Bc4 Nf6 4. Bd5"), title="B")
    checked = course(
        tmp_path, WASTED, '4.Bd5 obeys once anyway "why not"', **{"lessons/02-b.md": other}
    )
    verbs = {one.verb for one in checked.course.evidence["once"]}
    assert "broken" not in verbs


@pytest.mark.parametrize(
    ("movetext", "tag"),
    [
        (WASTED, "4.Bd5 obeys once"),
        (WASTED, "3.Bc4 breaks once"),
        (SPANISH, "4.Ba4 breaks once"),
    ],
)
def test_a_tag_against_the_ledger_needs_a_reason(movetext: str, tag: str, tmp_path: Path) -> None:
    checked = course(tmp_path, movetext, tag)
    assert checked.codes == ["tag-contradicts"]
    assert checked.under("tag-contradicts") == tag.split()[0]
    assert course(tmp_path / "b", movetext, f'{tag} anyway "I say so"').codes == []


@pytest.mark.parametrize(
    ("movetext", "tag"),
    [(WASTED, "4.Bd5 breaks once"), (SPANISH, "4.Ba4 obeys once"), (WASTED, "1.e4 breaks once")],
)
def test_a_tag_that_the_ledger_bears_out_needs_none(
    movetext: str, tag: str, tmp_path: Path
) -> None:
    assert course(tmp_path, movetext, tag).codes == []


def test_tags_of_a_draft_are_checked_and_show_nowhere(tmp_path: Path) -> None:
    block = moves("open", WASTED) + "\n```tags open\n4.Bd5 obeys once\n1.e4 obeys once\n```\n"
    files = {
        "principles/once.md": ONCE.format(head=HEAD),
        FILE: lesson(block, draft="true"),
        "lessons/02-b.md": lesson(moves("same", WASTED), title="B"),
    }
    checked = check_course(tmp_path, files)
    assert checked.codes == ["tag-contradicts"]
    assert ("4.Bd5", "broken") in told(checked)
    assert {one.place.lesson for one in checked.course.evidence["once"]} == {"b"}


def test_punishing_what_nobody_broke_is_a_warning(tmp_path: Path) -> None:
    for number, tags in enumerate(
        ("2.d4 punishes once", "1.e4 breaks once\n2.d4 punishes once")  # the breach is White's own
    ):
        checked = course(tmp_path / str(number), "1. e4 e5 2. d4", tags)
        assert checked.codes == ["punishes-nothing"]


@pytest.mark.parametrize(
    "tags",
    [
        "1...e5 breaks once\n2.d4 punishes once",
        '1...e5 breaks once anyway "why not"\n2.d4 punishes once',
        '2.d4 punishes once anyway "of a breach in another game"',
    ],
)
def test_a_breach_on_the_way_or_a_reason_is_enough(tags: str, tmp_path: Path) -> None:
    assert course(tmp_path, "1. e4 e5 2. d4", tags).codes == []


def test_a_computed_breach_can_be_punished(tmp_path: Path) -> None:
    assert course(tmp_path, f"{WASTED} Nxd5", "4...Nxd5 punishes once").codes == []


def test_a_breach_in_a_sideline_is_not_on_the_way(tmp_path: Path) -> None:
    tags = "1...d5 breaks once\n2.d4 punishes once"
    assert course(tmp_path, "1. e4 e5 (1... d5) 2. d4", tags).codes == ["punishes-nothing"]


def test_a_breach_before_the_line_began_is_on_the_way(tmp_path: Path) -> None:
    body = (
        moves("first", "1. e4 h5")
        + moves("second", "2. d4", from_="first@1...h5")
        + "\n```tags first\n1...h5 breaks once\n```\n\n```tags second\n2.d4 punishes once\n```\n"
    )
    files = {FILE: lesson(body), "principles/once.md": ONCE.format(head=HEAD)}
    assert check_course(tmp_path, files).codes == []


# ---------------------------------------------------------------------- order, ledgers


def test_evidence_is_in_lesson_order_and_equal_positions_are_told_once(tmp_path: Path) -> None:
    other = lesson(moves("again", "1. Nf3 Nc6 2. e4 e5 3. Bc4 Bc5"), title="B")
    checked = course(tmp_path, "1. e4 e5 2. Nf3 Nc6 3. Bc4", **{"lessons/02-b.md": other})
    assert [(one.place.lesson, label(checked, one)) for one in checked.course.evidence["once"]] == [
        ("a", "2.Nf3"),
        ("a", "2...Nc6"),
        ("a", "3.Bc4"),
        ("b", "1.Nf3"),
        ("b", "1...Nc6"),
        ("b", "3...Bc5"),
    ]


def test_a_line_that_starts_inside_another_is_led_in_by_it(tmp_path: Path) -> None:
    """3.Bc4 is the bishop's first move; in the second line it moves again, through two starts."""
    body = (
        moves("first", "1. e4 e5 2. Nf3 Nc6 3. Bc4")
        + moves("second", "3... Nf6", from_="first@3.Bc4")
        + moves("third", "4. Bd5", from_="second@3...Nf6")
    )
    files = {FILE: lesson(body), "principles/once.md": ONCE.format(head=HEAD)}
    checked = check_course(tmp_path, files)
    assert ("4.Bd5", "broken") in told(checked)
    kept = checked.course.ledgers["a", "third"]
    assert kept.entries[1].white.tempo.moves == 4


def test_the_ledgers_of_a_course_are_those_of_its_published_lines(tmp_path: Path) -> None:
    draft = lesson(moves("hidden", "1. c4"), title="B", draft="true")
    checked = course(tmp_path, SPANISH, **{"lessons/02-b.md": draft})
    assert list(checked.course.ledgers) == [("a", "open")]
    with pytest.raises(KeyError):
        checked.course.ledgers["b", "hidden"]
    line = checked.course.lessons["a"].lines["open"]
    assert checked.course.ledgers["a", "open"] == ledger.ledger_of(line)


def test_a_principle_that_names_no_fact_lives_from_its_tags(tmp_path: Path) -> None:
    checked = course(tmp_path, WASTED, "1.e4 obeys once", head="since: 1915")
    assert told(checked) == [("1.e4", "kept")]


# ---------------------------------------------------------------------- heads


@pytest.mark.parametrize("key", ["kept_by", "broken_by", "justified_by", "punished_by"])
def test_a_fact_that_is_none_is_named_with_its_neighbour(key: str, tmp_path: Path) -> None:
    checked = course(tmp_path, WASTED, head=f"{key}: [develop]")
    assert checked.codes == ["unknown-fact"]
    assert checked.under("unknown-fact") == "develop"
    assert "did you mean `develops`?" in checked.the("unknown-fact").help


@pytest.mark.parametrize(
    ("role", "key"),
    [
        (ledger.Role.KEEP, "kept_by"),
        (ledger.Role.BREAK, "broken_by"),
        (ledger.Role.JUSTIFY, "justified_by"),
        (ledger.Role.PUNISH, "punished_by"),
    ],
)
def test_a_fact_serves_in_the_roles_of_its_vocabulary_alone(
    role: ledger.Role, key: str, tmp_path: Path
) -> None:
    names = [kind.value for kind in ledger.FactKind]
    checked = course(tmp_path, "1. e4", head=f"{key}: [{', '.join(names)}]")
    refused = [one for one in checked.found if one.code == "misused-fact"]
    fitting = [kind for kind, meaning in ledger.VOCABULARY.items() if role in meaning.roles]
    assert len(refused) == len(names) - len(fitting)
    assert all(kind.value in refused[0].help[0] for kind in fitting)


# ---------------------------------------------------------------------- taught and practised


def taught(folder: Path, *heads: dict[str, str]) -> list[str]:
    files = {
        f"lessons/0{number}-l{number}.md": lesson("", **head)
        for number, head in enumerate(heads, start=1)
    }
    page = {"principles/once.md": ONCE.format(head=HEAD)}
    return check_course(folder, {**files, **page}).codes


TEACHES = {"teaches": "[once]"}
PRACTISES = {"practises": "[once]"}


@pytest.mark.parametrize(
    "heads",
    [
        (PRACTISES, TEACHES),
        (PRACTISES,),
        ({**TEACHES, "draft": "true"}, PRACTISES),
    ],
)
def test_a_principle_is_taught_before_it_is_practised(
    heads: tuple[dict[str, str], ...], tmp_path: Path
) -> None:
    assert taught(tmp_path, *heads) == ["practised-before-taught"]


@pytest.mark.parametrize(
    "heads",
    [
        (TEACHES, PRACTISES),
        ({**TEACHES, **PRACTISES},),
        ({**TEACHES, "draft": "true"}, {**PRACTISES, "draft": "true"}),
    ],
)
def test_what_is_taught_may_be_practised(heads: tuple[dict[str, str], ...], tmp_path: Path) -> None:
    assert taught(tmp_path, *heads) == []
