"""What the script of the exercises says, in the language of the page.

Where the script fills a name in, the sentence is asked for with that name for its value.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from plybook.board.exercises import Refusal, RefusalKind
from plybook.site.wording.letters import FIGURINE, move_text
from plybook.site.wording.words import Words

__all__ = ["answers_like", "cost_words", "refusal_words", "script_words"]

_PIECES: Final = "NBRQK"


def cost_words(cost: int, words: Words) -> str:
    """Return what a reply wins, in pawns."""
    return words.count("That loses {number} point.", "That loses {number} points.", cost)


def answers_like(answer: str, words: Words) -> tuple[str, ...]:
    """Return an answer, and where it is a small number the other way to write it."""
    numbers = (
        words.say("zero"),
        words.say("one"),
        words.say("two"),
        words.say("three"),
        words.say("four"),
        words.say("five"),
        words.say("six"),
        words.say("seven"),
        words.say("eight"),
        words.say("nine"),
    )
    for figure, name in enumerate(numbers):
        if answer.lower() in (str(figure), name):
            return answer, name if answer == str(figure) else str(figure)
    return (answer,)


def refusal_words(refusal: Refusal, words: Words) -> str:
    """Return why a man may not go somewhere, as a sentence."""
    by = _man_on(refusal.by, refusal.on, words)
    match refusal.kind:
        case RefusalKind.PINNED:
            man = _the_man(refusal.man, words)
            said = words.say("{man} is pinned to the king: {by} would give check.", man=man, by=by)
        case RefusalKind.IN_CHECK:
            said = words.say("{by} gives check, and this does not stop it.", by=by)
        case RefusalKind.INTO_CHECK:
            said = words.say("{by} attacks that square: the king may not step there.", by=by)
        case RefusalKind.CASTLING_OUT:
            said = words.say("{by} gives check: the king may not castle now.", by=by)
        case RefusalKind.CASTLING_THROUGH:
            said = words.say(
                "{by} attacks {square}: the king may not castle through it.",
                by=by,
                square=refusal.through,
            )
    return said[:1].upper() + said[1:]


def _the_man(man: str, words: Words) -> str:
    return {
        "p": words.say("the pawn"),
        "n": words.say("the knight"),
        "b": words.say("the bishop"),
        "r": words.say("the rook"),
        "q": words.say("the queen"),
        "k": words.say("the king"),
    }[man]


def _man_on(man: str, square: str, words: Words) -> str:
    return {
        "p": words.say("the pawn on {square}", square=square),
        "n": words.say("the knight on {square}", square=square),
        "b": words.say("the bishop on {square}", square=square),
        "r": words.say("the rook on {square}", square=square),
        "q": words.say("the queen on {square}", square=square),
        "k": words.say("the king on {square}", square=square),
    }[man]


def script_words(words: Words, *, letters: str) -> Mapping[str, Any]:
    """Return the words of the script; `letters` are those that the page's moves are shown in."""
    return {
        "letters": [move_text(letter, letters) for letter in _PIECES],
        "figurines": letters == FIGURINE,
        "men": _men(words),
        "becomes": {man: words.men[man] for man in "qrbn"},
        "reach": _reach(words),
        "taken": words.say("{square}, taken up", square="{square}"),
        "open": words.say("{square}, can go here", square="{square}"),
        "turn": [words.say("It is White’s move."), words.say("It is Black’s move.")],
        "answers": [
            words.say("White answers {move}.", move="{move}"),
            words.say("Black answers {move}.", move="{move}"),
        ],
        "right": words.say("Right."),
        "go_on": words.say("Your move again."),
        "done": words.say("Solved."),
        "helped": words.say("Solved, with help."),
        "was": words.say("That was the solution."),
        "not_this": words.say("Not this one."),
        "other": words.say("A legal move, but not what is asked."),
        "judged": words.say("Not among the coach’s answers. The solution shows them."),
        "mated": words.say("That is mate."),
        "stuck": words.say("This man has no legal move."),
        "nobody": words.say("No man of yours stands on {square}.", square="{square}"),
        "unread": words.say("No legal move is written like that."),
        "which": words.say("More than one man can go there: write which."),
        "no": words.say("Not so. Look again."),
        "next": words.say("Next move"),
        "show": words.say("Show the solution"),
        "mark": [words.say("solved"), words.say("solved with help")],
    }


def _men(words: Words) -> Mapping[str, str]:
    """Return the men of both sides by letter of a placement."""
    return {
        "K": words.say("white king"),
        "Q": words.say("white queen"),
        "R": words.say("white rook"),
        "B": words.say("white bishop"),
        "N": words.say("white knight"),
        "P": words.say("white pawn"),
        "k": words.say("black king"),
        "q": words.say("black queen"),
        "r": words.say("black rook"),
        "b": words.say("black bishop"),
        "n": words.say("black knight"),
        "p": words.say("black pawn"),
    }


def _reach(words: Words) -> Mapping[str, str]:
    """Return what is said of a man that does not go to a square, by its letter."""
    return {
        "k": words.say("The king does not reach {square}.", square="{square}"),
        "q": words.say("The queen does not reach {square}.", square="{square}"),
        "r": words.say("The rook does not reach {square}.", square="{square}"),
        "b": words.say("The bishop does not reach {square}.", square="{square}"),
        "n": words.say("The knight does not reach {square}.", square="{square}"),
        "p": words.say("The pawn does not reach {square}.", square="{square}"),
    }
