"""True or false, and counting: the claim prover says whether the coach's answer is right."""

from __future__ import annotations

import re
from typing import Final

from plybook.board.claims.model import Budget, Reach, Verdict
from plybook.board.claims.question import Question
from plybook.board.claims.settle import settle_question
from plybook.board.exercises.model import Finding
from plybook.board.exercises.tasks import Found, Task
from plybook.text.claim_model import WinsByLines
from plybook.text.exercise_checks import CheckTruth

__all__ = ["is_open", "test_truth"]

_SAID = re.compile(r"(true|false)\b", re.IGNORECASE)
_COUNTED = re.compile(r"\w+")  # an answer of one word or number: a count, or a kind of pin

#: What each verdict says of the claim: whether it is true, None where it says nothing.
_MEANS: Final = {Reach.PROVED: True, Reach.HOLDS: True, Reach.FALSE: False}


def is_open(question: Question, verdict: Verdict) -> bool:
    """Return whether a verdict leaves open if the claim is true.

    That the lines given do not answer every reply refutes nothing.
    """
    if isinstance(question.claim, WinsByLines) and verdict.reach is Reach.FALSE:
        return True
    return verdict.reach is Reach.NOT_SETTLED


def test_truth(task: Task, check: CheckTruth, budget: Budget) -> Found:
    """Return what is found of a task that is answered by true or false, or by a count."""
    question = task.question.claim
    if question is None:
        return Found(Verdict(reach=Reach.CANNOT_BE_ASKED), [_no_claim(task.question.claim_text)])
    verdict = settle_question(question, budget)
    found = Found(_of_the_answer(check, verdict))
    list(task.tries(found))
    wanted = str(check.is_true).lower()
    if is_open(question, verdict):
        found.findings.append(
            Finding(
                code="exercise-not-settled",
                message=f"not settled whether it is {wanted}",
                notes=(verdict.text,),
                help=("ask a smaller question, or write `none because …`",),
            )
        )
        found.verdict = Verdict(reach=Reach.NOT_SETTLED, evidence=verdict.evidence)
    elif verdict.reach not in _MEANS:
        found.findings.append(_not_askable(verdict))
    elif _MEANS[verdict.reach] != check.is_true:
        other = str(not check.is_true).lower()
        found.findings.append(
            Finding(
                code="false-exercise",
                message=f"the board says {other}, the exercise says {wanted}",
                notes=(verdict.text,) if verdict.text else (),
                help=("correct the position, the claim or the check",),
            )
        )
    else:
        _test_words(task, check, found)
    return found


def _of_the_answer(check: CheckTruth, verdict: Verdict) -> Verdict:
    """Return the verdict on the coach's answer: that a claim is false is proved by refuting it."""
    if check.is_true or verdict.reach not in _MEANS:
        return verdict
    if verdict.reach is Reach.FALSE:
        reach = Reach.PROVED if verdict.depth is None else Reach.HOLDS
    else:
        reach = Reach.FALSE
    return Verdict(
        reach=reach,
        evidence=verdict.evidence,
        counter=verdict.counter,
        depth=verdict.depth,
        nodes=verdict.nodes,
    )


def _no_claim(text: str) -> Finding:
    return Finding(
        code="no-claim",
        message="nothing here can be tested for true or false",
        notes=(text,) if text else (),
        help=(
            "add `claim: SENTENCE`; `plybook explain claims` prints the sentences",
            "or write `check: none because …`",
        ),
    )


def _not_askable(verdict: Verdict) -> Finding:
    if verdict.reach is Reach.COACHS_WORD:
        note = "a claim that is believed has no answer that can be proved"
    else:
        note = verdict.text
    return Finding(
        code="no-claim",
        message="this claim cannot be true or false here",
        notes=(note,),
        help=("use another sentence, or write `check: none because …`",),
    )


def _test_words(task: Task, check: CheckTruth, found: Found) -> None:
    """Report an answer in words that says otherwise than the check, or another count."""
    text = task.question.answer_text or ""
    said = _SAID.match(text)
    if said:
        if (said[0].lower() == "true") != check.is_true:
            found.findings.append(
                Finding(
                    code="false-exercise",
                    message=f"the answer says {said[0].lower()}, the check does not",
                    notes=(f"the board agrees with the check: {found.verdict.text}",),
                    help=("correct the answer",),
                )
            )
    elif _COUNTED.fullmatch(text.rstrip(".")) and check.is_true:
        words = _COUNTED.findall(task.question.claim_text.lower())
        if text.rstrip(".").lower() not in words:
            found.findings.append(
                Finding(
                    code="false-exercise",
                    message=f"the answer `{text}` does not stand in the claim",
                    notes=(f"the claim that holds: {task.question.claim_text}",),
                    help=("write the number or the word of the claim",),
                )
            )
