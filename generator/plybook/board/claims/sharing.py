"""Work shared among processes when there is enough of it. The results keep their order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeVar

from plybook.board.claims.model import Budget

__all__ = ["share"]

#: Work from which processes of their own pay: below it they take longer to start than to settle.
_WORTH_SHARING: Final = 24

_Question = TypeVar("_Question")
_Answer = TypeVar("_Answer")


def share(
    settle: Callable[[_Question, Budget], _Answer],
    questions: Sequence[_Question],
    budget: Budget,
    *,
    work: Sequence[float],
    jobs: int,
) -> list[_Answer]:
    """Return the answer to each question, in order.

    `work` says roughly how much each of them takes, in units of 50 ms: the longest are begun first.
    """
    if jobs < 2 or len(questions) < 2 or sum(work) < _WORTH_SHARING:
        return [settle(question, budget) for question in questions]
    # imported here: most runs share nothing, and the import takes longer than they do
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    order = sorted(range(len(questions)), key=lambda at: -work[at])
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=min(jobs, len(questions)), mp_context=context) as pool:
        tasks = {at: pool.submit(settle, questions[at], budget) for at in order}
        return [tasks[at].result() for at in range(len(questions))]
