"""Work shared among processes when there is enough of it. The results keep their order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeVar

from plybook.board.claims.model import Budget

__all__ = ["Tell", "settle_once", "share"]

#: Hears how much is done, and of how much.
Tell = Callable[[int, int], None]

#: Work from which processes of their own pay: below it they take longer to start than to settle.
_WORTH_SHARING: Final = 24

_Question = TypeVar("_Question")
_Answer = TypeVar("_Answer")


def settle_once(
    settle: Callable[[_Question, Budget], _Answer],
    questions: Sequence[tuple[str, _Question]],
    budget: Budget,
    *,
    known: Callable[[str, _Question], _Answer | None],
    keep: Callable[[str, _Answer], None],
    work: Callable[[_Question], float],
    jobs: int,
    tell: Tell | None = None,
) -> list[_Answer]:
    """Return the answer to each question with its key, in order: questions of one key are one.

    What `known` does not give is settled as by `share`, and handed to `keep`.
    """
    found: dict[str, _Answer] = {}
    waiting: dict[str, _Question] = {}
    for key, question in questions:
        answer = known(key, question)
        if answer is not None:
            found[key] = answer
        else:
            waiting[key] = question
    settled = share(
        settle,
        list(waiting.values()),
        budget,
        work=[work(question) for question in waiting.values()],
        jobs=jobs,
        tell=tell,
    )
    for key, answer in zip(waiting, settled, strict=True):
        found[key] = answer
        keep(key, answer)
    return [found[key] for key, _ in questions]


def share(
    settle: Callable[[_Question, Budget], _Answer],
    questions: Sequence[_Question],
    budget: Budget,
    *,
    work: Sequence[float],
    jobs: int,
    tell: Tell | None = None,
) -> list[_Answer]:
    """Return the answer to each question, in order.

    `work` says roughly how much each of them takes, in units of 50 ms: the longest are begun first.
    `tell` hears, here in this process, after each answer how many there are of all.
    """
    if jobs < 2 or len(questions) < 2 or sum(work) < _WORTH_SHARING:
        answers = []
        for question in questions:
            answers.append(settle(question, budget))
            if tell is not None:
                tell(len(answers), len(questions))
        return answers
    # imported here: most runs share nothing, and the import takes longer than they do
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor, as_completed

    order = sorted(range(len(questions)), key=lambda at: -work[at])
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=min(jobs, len(questions)), mp_context=context) as pool:
        tasks = {at: pool.submit(settle, questions[at], budget) for at in order}
        if tell is not None:
            for done, _ in enumerate(as_completed(tasks.values()), start=1):
                tell(done, len(questions))
        return [tasks[at].result() for at in range(len(questions))]
