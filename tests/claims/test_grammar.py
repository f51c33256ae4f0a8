"""Sentences about positions: each is understood as one pattern, or the nearest one is offered."""

from __future__ import annotations

from pathlib import Path

import pytest

from plybook.diagnostics import Report, Span
from plybook.text import claim_model as say
from plybook.text import read_course_folder
from plybook.text.claim_patterns import ENGLISH, ClaimLanguage, Pattern
from plybook.text.claims import canonical, nearest_example, read_claim
from plybook.text.model import ClaimDraft, ClaimsDraft

COURSE = Path(__file__).resolve().parents[2] / "curriculum"
PLACE = Span("lessons/01-a.md", 7, 3, 7, 90)


def read(text: str) -> say.Claim | None:
    return read_claim(ClaimDraft(text=text, span=PLACE), report=Report())


def move(san: str, number: int | None = None, mover: say.SideWord | None = None) -> say.MoveWord:
    return say.MoveWord(san=san, number=number, mover=mover, span=PLACE)


@pytest.mark.parametrize("pattern", ENGLISH.patterns, ids=lambda pattern: pattern.example)
def test_every_pattern_understands_its_own_example(pattern: Pattern) -> None:
    assert type(read(pattern.example)) is pattern.claim


def test_no_sentence_has_two_meanings() -> None:
    """The order of the table does not matter: no other pattern takes an example."""
    for pattern in ENGLISH.patterns:
        others = tuple(row for row in ENGLISH.patterns if row is not pattern)
        language = ClaimLanguage(
            **{name: getattr(ENGLISH, name) for name in ClaimLanguage.__slots__}
            | {"patterns": others}
        )
        draft = ClaimDraft(text=pattern.example, span=PLACE)
        assert read_claim(draft, report=Report(), language=language) is None


def test_every_claim_of_the_demo_course_is_understood() -> None:
    report = Report()
    course = read_course_folder(COURSE, report=report)
    drafts = [
        draft
        for lesson in course.lessons
        for block in lesson.blocks
        if isinstance(block, ClaimsDraft)
        for draft in block.claims
    ]
    claims = [read_claim(draft, report=report) for draft in drafts]
    assert len(drafts) > 50
    assert [draft.text for draft, claim in zip(drafts, claims, strict=True) if claim is None] == []


@pytest.mark.parametrize(
    ("text", "claim"),
    [
        (
            "f7 is attacked 1 time by Black and guarded 0 times",
            say.Attacked(square="f7", attacks=1, side="black", guards=0, span=PLACE),
        ),
        ("White has 3 minor pieces out", say.MinorsOut(side="white", count=3, span=PLACE)),
        ("White has 1 minor piece out", say.MinorsOut(side="white", count=1, span=PLACE)),
        ("the queen has cost 1 tempo", say.QueenCost(side=None, tempi=1, span=PLACE)),
        (
            "the queen of White has cost 0 tempi",
            say.QueenCost(side="white", tempi=0, span=PLACE),
        ),
        ("Qe7 mates in 3", say.Mates(move=move("Qe7"), moves=3, span=PLACE)),
        (
            "5...Nxe5 mates in 3",
            say.Mates(move=move("Nxe5", 5, "black"), moves=3, span=PLACE),
        ),
        (
            "12. O-O-O attacks d7, e6 and c2",
            say.Attacks(move=move("O-O-O", 12, "white"), targets=("d7", "e6", "c2"), span=PLACE),
        ),
        (
            "the replies are Nh6, 4...Ke7 and Qe7",
            say.Replies(replies=(move("Nh6"), move("Ke7", 4, "black"), move("Qe7")), span=PLACE),
        ),
        (
            "6.Bxf7+ Kxf7 is illegal, guarded by e5",
            say.IllegalGuarded(
                before=(move("Bxf7+", 6, "white"),), move=move("Kxf7"), guard="e5", span=PLACE
            ),
        ),
        (
            "a7-a8=Q is legal but loses 9",
            say.LegalButLoses(
                before=(),
                move=say.LongMove(
                    origin="a7", target="a8", is_capture=False, promotion="Q", span=PLACE
                ),
                worth=9,
                span=PLACE,
            ),
        ),
        ("believe:  it is level ", None),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_slots_hold_what_the_sentence_says(text: str, claim: say.Claim | None) -> None:
    assert read(text) == (claim or say.Believed(words="it is level ", span=PLACE))


def test_the_place_of_a_move_is_its_place_in_the_file() -> None:
    claim = read("5.Nxe5 does not win 1, depth 5, because 5...Nxe5")
    assert isinstance(claim, say.WinsNot)
    assert claim.move.span == Span("lessons/01-a.md", 7, 3, 7, 9)
    assert claim.reply.span == Span("lessons/01-a.md", 7, 43, 7, 51)


def test_the_canonical_form_forgets_spaces_and_places() -> None:
    text = "f7 is attacked 1 times by White and guarded 2 time"
    one = read(text)
    other = read_claim(
        ClaimDraft(
            text=text.replace(" ", "  ")
            .replace("1  times", "1 time")
            .replace("2  time", "2 times"),
            span=Span("b.md", 1, 1, 1, 9),
        ),
        report=Report(),
    )
    assert one is not None
    assert other is not None
    assert canonical(one) == canonical(other)
    assert "b.md" not in canonical(other)


@pytest.mark.parametrize(
    ("text", "example"),
    [
        ("the knight on f3 is pinned by g4 to d1", "the knight f3 is pinned by g4 to d1, relative"),
        ("f7 is attacked twice", "f7 is attacked 2 times by White and guarded 1 time"),
        ("white threatens mate in 1 with Qxf7#", "White threatens mate in 1 by Qxf7#"),
        ("5.Nxe5 wins 1 depth 5", "5.Nxe5 wins 1 or more, depth 5"),
        (
            "Black can't castle king-side: f8 is attacked by c5",
            "Black cannot castle king-side: f8 is attacked from c5",
        ),
        ("g4 is lose", "g4 is loose"),
        (
            "f7 is guarded 2 times by Black",
            "f7 is attacked 2 times by White and guarded 1 time",
        ),
        ("the knight on c6 is pinned", "the knight f3 is pinned by g4 to d1, relative"),
        ("Black is ahead in development", "White leads in development 5 to 3"),
    ],
)
def test_an_unknown_sentence_offers_the_nearest_pattern(text: str, example: str) -> None:
    report = Report()
    assert read_claim(ClaimDraft(text=text, span=PLACE), report=report) is None
    (found,) = report
    assert found.code == "unknown-claim"
    assert found.span == PLACE
    assert nearest_example(text) == example
    assert example in found.help[0]


@pytest.mark.parametrize(
    "text",
    [
        "6.Bxf7+ mates in 0",  # no mate takes no moves
        "5.Nxe5 wins 1 or more, depth 12",  # deeper than anything that can be searched here
        "5.Qxe5+ forks e8",  # a fork has two targets
        "i9 is loose",
        "G4 is loose",
        "5.Nxe5! mates in 2",  # glyphs belong in movetext
        "believe:",
    ],
)
def test_what_cannot_be_meant_is_not_understood(text: str) -> None:
    assert read(text) is None


def test_another_language_is_another_table() -> None:
    """Words from memory; the chess is the same, so the claim is equal to the English one."""
    german = ClaimLanguage(
        code="de",
        sides={"Weiß": "white", "Schwarz": "black"},
        men={"Springer": "knight"},
        wings={"kurz": "king-side", "lang": "queen-side"},
        pins={"absolut": "absolute", "relativ": "relative"},
        times=("Mal", "Mal"),
        minors=("Leichtfigur", "Leichtfiguren"),
        tempi=("Tempo", "Tempi"),
        joiner="und",
        patterns=(
            Pattern(
                "{square:square} ist {attacks:times} von {side:side} angegriffen"
                " und {guards:times} gedeckt",
                say.Attacked,
                "f7 ist 2 Mal von Weiß angegriffen und 1 Mal gedeckt",
            ),
        ),
    )
    draft = ClaimDraft(text=german.patterns[0].example, span=PLACE)
    english = read("f7 is attacked 2 times by White and guarded 1 time")
    assert read_claim(draft, report=Report(), language=german) == english
