"""Cards: eight on a leaf, and each answer behind its question."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count

import pytest
from markupsafe import Markup

from paper.trial import demo_course, mixed_papers, papers_of
from plybook.site.paper.layout import card_pages
from plybook.site.paper.views import CardSideView


def sides(amount: int, word: str) -> Sequence[CardSideView]:
    return [
        CardSideView(
            number=number,
            text=Markup(f"{word} {number}"),
            board=Markup(),
            turn="",
            side="white",
            is_long=False,
        )
        for number in range(1, amount + 1)
    ]


@pytest.mark.parametrize("amount", [1, 2, 7, 8, 9, 17])
def test_turned_over_its_long_edge_a_leaf_has_each_answer_behind_its_question(amount: int) -> None:
    pages = card_pages(sides(amount, "question"), sides(amount, "answer"))
    assert [page.is_back for page in pages] == [False, True] * -(-amount // 8)
    seen = count(1)
    for front, back in zip(pages[::2], pages[1::2], strict=True):
        assert len(front.rows) == len(back.rows) == 4
        for questions, answers in zip(front.rows, back.rows, strict=True):
            for question, answer in zip(questions, reversed(answers), strict=True):
                assert (question is None) == (answer is None)
                if question and answer:
                    assert question.number == answer.number == next(seen)
                    assert (question.text, answer.text) == (
                        f"question {question.number}",
                        f"answer {question.number}",
                    )
    assert next(seen) == amount + 1


def test_every_card_of_a_lesson_is_printed_once_on_either_side() -> None:
    cards = papers_of(demo_course(), "centre-first")["cards"]
    for face in (".front", ".back"):
        numbers = [int(tag.get_text()) for tag in cards.select(f"{face} .tag b")]
        assert sorted(numbers) == [1, 2, 3, 4, 5]


def test_a_board_on_a_card_says_who_is_to_move() -> None:
    cards = mixed_papers(demo_course())["cards"]
    boards = cards.select(".cd.with")
    assert boards
    assert all(card.select(".turn circle") for card in boards)


def test_a_leaf_has_cut_marks_at_every_edge_of_its_cards() -> None:
    cards = papers_of(demo_course(), "centre-first")["cards"]
    for marks in cards.select(".cuts path"):
        assert str(marks["d"]).count("v") == 2 * 3  # three cuts down, marked above and below
        assert str(marks["d"]).count("h") == 2 * 5  # five across, marked on either side
