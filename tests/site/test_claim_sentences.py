"""A claim reads as a plain sentence of the men on the board: one worked example for each kind."""

from __future__ import annotations

import pytest

from plybook.diagnostics import Report, Span
from plybook.site.wording.claims import claim_sentence
from plybook.site.wording.languages import words_for
from plybook.text.claim_model import Claim
from plybook.text.claim_patterns import ENGLISH
from plybook.text.claims import read_claim
from plybook.text.model import ClaimDraft


def claim_of(line: str) -> Claim:
    draft = ClaimDraft(text=line, span=Span("lesson.md", 1, 1, 1, 1 + len(line)))
    claim = read_claim(draft, report=Report())
    assert claim is not None
    return claim


def placed(men: str) -> str:
    """Return the placement of some men, each written as its FEN letter and its square: `Bb5`."""
    board = ["."] * 64
    for man in men.split():
        board[ord(man[1]) - ord("a") + 8 * (int(man[2]) - 1)] = man[0]
    return "".join(board)


#: The coach's line, the men that stand where it speaks of, and the sentence of a page.
EXAMPLES = [
    (
        "the knight c6 is pinned by b5 to e8, absolute",
        "Bb5 nc6 ke8",
        "The knight on c6 is pinned to its king by the bishop on b5.",
    ),
    (
        "the knight f6 is pinned by g5 to d8, relative",
        "Bg5 nf6 qd8",
        "The knight on f6 is pinned to the queen on d8 by the bishop on g5.",
    ),
    (
        "the queen d7 is skewered by g4 to c8",
        "Bg4 qd7 rc8",
        "The bishop on g4 skewers the queen on d7: behind it stands the rook on c8.",
    ),
    (
        "f7 is attacked 2 times by White and guarded 1 time",
        "pf7",
        "The pawn on f7 is attacked by 2 white men and guarded by 1.",
    ),
    (
        "f7 is attacked 1 time by Black and guarded 0 times",
        "",
        "f7 is attacked by 1 black man and not guarded.",
    ),
    (
        "f4 is attacked 0 times by Black and guarded 1 time",
        "Bf4",
        "Black does not attack the bishop on f4, which is guarded by 1.",
    ),
    (
        "f4 is attacked 0 times by Black and guarded 0 times",
        "Bf4",
        "Black does not attack the bishop on f4, and nothing guards it.",
    ),
    ("g4 is loose", "bg4", "The bishop on g4 is loose: nothing guards it."),
    (
        "e4 is hanging",
        "Pe4",
        "The pawn on e4 is hanging: Black can take it and win something.",
    ),
    ("d5 is safe", "nd5", "The knight on d5 is safe: taking it wins nothing."),
    (
        "b3 is trapped and costs 1 or more",
        "bb3",
        "The bishop on b3 is trapped: Black loses at least 1 point.",
    ),
    (
        "f6 is overloaded: it guards d7 and e7",
        "qf6 rd7 ne7",
        "The queen on f6 is overloaded: it must guard the rook on d7 and the knight on e7 at once.",
    ),
    (
        "5.Qxe5+ forks e8 and h8",
        "ke8 rh8",
        "5.Qxe5+ forks the king on e8 and the rook on h8: every reply loses something.",
    ),
    ("5.Qxe5+ attacks e8", "ke8", "5.Qxe5+ attacks the king on e8."),
    (
        "10.Bg5+ gives double check",
        "",
        "10.Bg5+ is double check: two men give check at once.",
    ),
    (
        "13.Rxd7+ uncovers a3 on f8",
        "Ba3 kf8",
        "13.Rxd7+ opens a line: now the bishop on a3 attacks the king on f8.",
    ),
    (
        "after 16.Qb8+ the only legal reply is Nxb8",
        "",
        "After 16.Qb8+ only one move is legal: Nxb8.",
    ),
    ("White threatens mate in 1 by Qxf7#", "", "White threatens Qxf7#, mate in 1 move."),
    (
        "Black threatens to win 3 on e4",
        "Ne4",
        "Black threatens to take the knight on e4 and win at least 3 points.",
    ),
    ("the only reply to the threat is 4...Qe7", "", "Only one reply meets the threat: 4...Qe7."),
    (
        "the only reply that loses nothing is 4...Qe7",
        "",
        "Only one reply loses nothing: 4...Qe7.",
    ),
    ("no reply stops mate in 2", "", "No reply stops mate in 2 moves."),
    (
        "the replies are Qe7, Qf6, Nh6",
        "",
        "Only these replies meet the threat: Qe7, Qf6 and Nh6.",
    ),
    (
        "the replies that lose nothing are Qe7, Qf6",
        "",
        "Only these replies lose nothing: Qe7 and Qf6.",
    ),
    ("6.Bxf7+ mates in 2", "", "6.Bxf7+ mates in 2 moves."),
    ("6.Bxf7+ is the only mate in 1", "", "6.Bxf7+ is the only way to mate in 1 move."),
    (
        "Kxf7 is illegal, guarded by e5",
        "Ne5 bf7",
        "Kxf7 is illegal: the knight on e5 guards f7.",
    ),
    (
        "6.Bxf7+ Kxf7 is illegal, guarded by e5",
        "Ne5 pf7",
        "After 6.Bxf7+, Kxf7 is illegal: the knight on e5 guards f7.",
    ),
    (
        "e7xd6 is illegal, pinned by e2",
        "Qe2",
        "e7xd6 is illegal because of a pin: the queen on e2 would give check.",
    ),
    ("d4xc3 is legal but loses 9", "", "d4xc3 is legal but loses 9 points."),
    (
        "Black cannot castle king-side: f8 is attacked from c5",
        "Bc5",
        "Black cannot castle short: the bishop on c5 attacks f8.",
    ),
    (
        "Black cannot castle queen-side: a man on c8",
        "bc8",
        "Black cannot castle long: the bishop on c8 is in the way.",
    ),
    (
        "Black cannot castle king-side: the right is lost",
        "",
        "Black can no longer castle short: the right is lost.",
    ),
    ("11.Re1+ wins 7 or more, depth 3", "", "11.Re1+ wins at least 7 points."),
    (
        "5.Nxe5 wins 1 or more by the lines given",
        "",
        "5.Nxe5 wins at least 1 point, as the lines show.",
    ),
    (
        "5.Nxe5 does not win 1, depth 5, because 5...Nxe5",
        "",
        "5.Nxe5 does not win 1 point: the answer is 5...Nxe5.",
    ),
    ("White leads in development 5 to 3", "", "White is ahead in development, 5 to 3."),
    (
        "Black has 1 minor piece out",
        "",
        "Black has brought out 1 of its knights and bishops.",
    ),
    (
        "Black has 0 minor pieces out",
        "",
        "Black has brought out none of its knights and bishops.",
    ),
    ("the queen has cost 2 tempi", "", "The queen has cost 2 tempi."),
    ("the queen of Black has cost 1 tempo", "", "The black queen has cost 1 tempo."),
    ("the queen of White has cost 2 tempi", "", "The white queen has cost 2 tempi."),
    ("believe: White has a strong attack", "", "White has a strong attack"),
]


@pytest.mark.parametrize(("line", "men", "sentence"), EXAMPLES, ids=[row[0] for row in EXAMPLES])
def test_a_claim_reads_as_a_plain_sentence(line: str, men: str, sentence: str) -> None:
    told = claim_sentence(claim_of(line), placement=placed(men), words=words_for("en"))
    assert told == sentence


def test_every_kind_of_claim_has_a_worked_example() -> None:
    shown = {type(claim_of(line)) for line, _, _ in EXAMPLES}
    assert shown == {pattern.claim for pattern in ENGLISH.patterns}


def test_a_guard_that_came_by_a_move_of_the_sentence_is_named_by_it() -> None:
    """On e5 stands nobody yet: the queen goes there, takes, or a pawn becomes it."""
    for before, guard in (
        ("6.Qe5+", "the queen on e5"),
        ("6.dxe5+", "the pawn on e5"),
        ("6.Nd4 Kd8 7.Nxe5", "the knight on e5"),
    ):
        claim = claim_of(f"{before} Ke6 is illegal, guarded by e5")
        told = claim_sentence(claim, placement=placed("pe5"), words=words_for("en"))
        assert told == f"After {before}, Ke6 is illegal: {guard} guards e6."
