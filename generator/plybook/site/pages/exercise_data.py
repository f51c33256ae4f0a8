"""What a page carries so that an exercise can be tried without knowing chess.

The table of an exercise: `id`, `fen` of its position, `last` (the squares of the move before it),
`turns`, `say` and `cost`. A turn is its move number, its rows and its refusals. Rows are parted by
spaces, one a legal move; its fields by commas, empty ones at the end left out:

    move, SAN, kind, reply, SAN of the reply, cost, next turn, place in `say`

Moves are written as in stepper.py. The kind is `k` for a right move of the coach's first answer,
`r` for another right one, `w` for a wrong try with the place of its feedback in the page's list,
nothing for any other. The cost is in pawns, or `#` where the reply mates; `cost` has its words.
Refusals are sentences with the moves they speak of: two squares, or one for all moves of a man.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from markupsafe import Markup

from plybook.board.exercises import Choice, Judgement, Solved, Tried, Turn
from plybook.site.pages.exercise_words import cost_words, refusal_words
from plybook.site.wording.stepper import SQUARE_SIGNS, json_for_script
from plybook.site.wording.words import Words

__all__ = ["Printed", "exercise_json", "words_json"]

_RIGHT: Final = "r"
_KEY: Final = "k"  # right, and the way that is shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """What the page says of an exercise beside its table.

    `last` are the squares of the move before, `key` the moves of the coach's first answer,
    `tries` the wrong tries' feedback in the order of the page's list; `plain` returns a text of
    the coach without its marks.
    """

    ident: str  # lesson/exercise
    fen: str
    last: tuple[str, str] | None
    key: Sequence[str]
    tries: Sequence[str]
    is_judged: bool
    plain: Callable[[str], str]


def exercise_json(solved: Solved, printed: Printed, words: Words) -> Markup:
    """Return the table of an exercise that is solved by moves, for its script element."""
    said: dict[str, int] = {}
    keys = _way(solved, printed.key)
    turns = [
        [
            turn.number,
            " ".join(
                _row(choice, turn, keys.get(at) == choice.move.san, printed, said)
                for choice in turn.choices
            ),
            _refusals(turn, words),
        ]
        for at, turn in enumerate(solved.turns)
    ]
    costs = {choice.loses for turn in solved.turns for choice in turn.choices if choice.loses > 0}
    data: dict[str, Any] = {
        "id": printed.ident,
        "fen": printed.fen,
        "last": _squares(printed.last) if printed.last else "",
        "turns": turns,
        "say": list(said),
        "cost": {str(cost): cost_words(cost, words) for cost in sorted(costs)},
        "judged": int(printed.is_judged),
    }
    return Markup(json_for_script({key: value for key, value in data.items() if value}))


def words_json(ident: str, answers: Sequence[str]) -> Markup:
    """Return the data of an exercise that is answered in words: any of `answers` is right."""
    return Markup(json_for_script({"id": ident, "answers": list(answers)}))


def _way(solved: Solved, key: Sequence[str]) -> Mapping[int, str]:
    """Return, by turn, the move that is shown there: the coach's, else the first right one."""
    way: dict[int, str] = {}
    at: int | None = 0 if solved.turns else None
    wished = list(key[::2])
    while at is not None and at not in way:
        right = [c for c in solved.turns[at].choices if c.judgement is Judgement.RIGHT]
        if not right:
            break
        wish = wished.pop(0) if wished else ""
        choice = next((c for c in right if c.move.san == wish), right[0])
        way[at] = choice.move.san
        at = choice.next
    return way


def _row(choice: Choice, turn: Turn, is_key: bool, printed: Printed, said: dict[str, int]) -> str:
    """Return a choice as a row; a text that is not on the page goes into `said`."""
    kind = say = ""
    if choice.judgement is Judgement.RIGHT:
        kind = _KEY if is_key else _RIGHT
    elif choice.judgement is Judgement.WRONG and choice.feedback in printed.tries:
        kind = f"w{printed.tries.index(choice.feedback)}"
    if choice.feedback and not kind.startswith("w"):
        say = str(said.setdefault(printed.plain(choice.feedback), len(said)))
    reply = choice.reply
    fields = (
        _move(choice.move, is_white=turn.mover == "white"),
        choice.move.san,
        kind,
        _move(reply, is_white=turn.mover == "black") if reply else "",
        reply.san if reply else "",
        "#" if choice.is_mated else str(choice.loses or ""),
        "" if choice.next is None else str(choice.next),
        say,
    )
    return ",".join(fields).rstrip(",")


def _move(move: Tried, *, is_white: bool) -> str:
    signs = _squares((move.origin, move.target))
    if move.rook:
        return f"{signs}+{_squares(move.rook)}"
    if move.promotion:
        return f"{signs}={move.promotion.upper() if is_white else move.promotion}"
    if move.captured_on and move.captured_on != move.target:
        return f"{signs}!{_squares((move.captured_on,))}"
    return signs


def _squares(names: Sequence[str]) -> str:
    return "".join(SQUARE_SIGNS[ord(name[0]) - 97 + 8 * (int(name[1]) - 1)] for name in names)


def _refusals(turn: Turn, words: Words) -> Mapping[str, str]:
    """Return the moves that a sentence refuses, by sentence."""
    found: dict[str, list[str]] = {}
    for (origin, target), refusal in turn.refusals.items():
        squares = (origin, target) if target else (origin,)
        found.setdefault(refusal_words(refusal, words), []).append(_squares(squares))
    return {sentence: " ".join(moves) for sentence, moves in found.items()}
