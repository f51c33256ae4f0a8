"""How an exercise of a lesson is tried on its page: by moves, by true or false, or by a word."""

from __future__ import annotations

from typing import Final

from markupsafe import Markup

from plybook.course.model import Lesson, Place
from plybook.site.pages.edition import Edition
from plybook.site.pages.exercise_data import Printed, exercise_json, words_json
from plybook.site.pages.exercise_words import answers_like
from plybook.site.pages.hypertext import Hypertext
from plybook.site.pages.views import TrialView
from plybook.text.exercise_checks import CheckJudged, CheckTruth, read_check
from plybook.text.model import ExerciseDraft

__all__ = ["trial_view"]

#: An answer of more words than this is a sentence, which nobody writes twice the same way.
_SHORT: Final = 2  # words


def trial_view(
    edition: Edition, lesson: Lesson, block: ExerciseDraft, place: Place, text: Hypertext
) -> TrialView:
    """Return the way of answering and its data; the kind is empty where none can be judged."""
    ident = f"{lesson.slug}/{block.name}"
    check = read_check(block.check)
    solved = edition.course.exercises.get((lesson.slug, block.name))
    if solved is not None and solved.turns:
        sheet = edition.sheet_of(place)
        before = sheet.ply(place.index)
        key = lesson.answers.get(block.answers[0].main.span) if block.answers else None
        printed = Printed(
            ident=ident,
            fen=edition.position(place).fen,
            last=(before.origin, before.target) if before else None,
            key=[ply.san for ply in key.main()] if key else [],
            tries=[attempt.feedback for attempt in block.wrong],
            is_judged=isinstance(check, CheckJudged),
            plain=lambda feedback: text.text(feedback).striptags(),
        )
        return TrialView(kind="moves", data=exercise_json(solved, printed, text.words))
    answer = (block.answer_text or "").rstrip(".")
    truths = {word.rstrip(".").lower() for pair in text.words.truths.items() for word in pair}
    if answer and len(answer.split()) <= _SHORT and answer.lower() not in truths:
        return TrialView(kind="words", data=words_json(ident, answers_like(answer, text.words)))
    if isinstance(check, CheckTruth):
        told = "true" if check.is_true else "false"
        return TrialView(kind="truth", data=words_json(ident, [told]))
    return TrialView(kind="", data=Markup())
