"""Facts in words that a twelve-year-old follows. All words are in one table; another language is
another table.

A template may use: `{man}` the bishop · `{man_on}` the bishop on b5 · `{square}` its square ·
`{others}` the pawn on a6 and the knight on c6 · `{objects}` the same men as objects of a verb ·
`{other}` the first of them without its square, as an object ·
`{squares}` d4 and e5 · `{files}` the d-file · `{moves}` 3...g6 and 4.Qf3 · `{first}` the first of
these moves · `{n}` the amount · `{pawns}` the amount as so many pawns · `{nth}` 3rd · `{side}`
White · `{enemy}` Black · `{wing}` · `{cause}`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from plybook.board.ledger.kinds import FactKind
from plybook.board.ledger.model import Cause, Fact, KingState, Stone, Wing

__all__ = ["ENGLISH", "Words", "say"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """The words of one language. `told` has a sentence for every kind; `because` a clause for each
    kind that can be a reason, said of the man as of a thing: "it takes back"."""

    men: Mapping[str, str]
    men_as_objects: Mapping[str, str]  # what a verb such as "takes" is done to
    sides: Mapping[str, str]
    wings: Mapping[Wing, str]
    both_wings: str
    causes: Mapping[Cause, str]
    states: Mapping[KingState, str]
    on_square: str
    on_file: str
    and_word: str
    one_pawn: str
    few_pawns: str  # 2 to 4, for which some languages have a form of their own
    some_pawns: str
    ordinals: Mapping[int, str]
    other_ordinal: str
    told: Mapping[FactKind, str]
    because: Mapping[FactKind, str]
    joined: Mapping[FactKind, str]  # how a fact and its reasons make one sentence
    bare: Mapping[FactKind, str]  # the sentence of a fact that may have reasons and has none


#: The most that `few_pawns` counts.
_FEW: Final = 4

_TOLD: Final = {
    FactKind.CENTRE_PAWN: "{man} stands in the centre, on {squares}",
    FactKind.CENTRE_CONTROL: "{side} now guards more of the centre: {squares}",
    FactKind.CENTRE_PAWN_REMOVED: "an enemy pawn is gone from the centre: {others}",
    FactKind.CENTRE_PAWN_GIVEN_UP: "a pawn leaves the centre square {squares}",
    FactKind.DEVELOPS: "{man} comes out",
    FactKind.TOWARD_CENTRE: "{man_on} looks at the centre: {squares}",
    FactKind.AGAINST_CENTRE: "{man} attacks a man that holds the centre: {objects}",
    FactKind.AWAY_FROM_CENTRE: "{man_on} does not look at the centre",
    FactKind.ON_THE_RIM: "{man} goes to the edge of the board",
    FactKind.GOES_HOME: "{man} goes back home to {square}",
    FactKind.BACK_RANK: "{man} goes back to its own first rank",
    FactKind.KNIGHT_FIRST: "a knight comes out before the bishops",
    FactKind.BISHOP_FIRST: "a bishop comes out while both knights are still at home",
    FactKind.CASTLES: "{side} castles {wing}",
    FactKind.RIGHT_LOST: "{side} may not castle {wing} any more: {cause}",
    FactKind.HELD: "{side} cannot castle {wing} now: {squares} is attacked by {others}",
    FactKind.STUCK: "{side} has not castled and never can; the king is in the middle, on {square}",
    FactKind.WALKS_TO_SAFETY: "the king of {side} has walked to the side of the board",
    FactKind.SHELTER_PAWN: "a pawn in front of the castled king leaves {squares}",
    FactKind.SAME_MAN_AGAIN: "{man} moves again (its {nth} move)",
    FactKind.WAS_ATTACKED: "{man} was attacked by {others}",
    FactKind.LEFT_A_TRADE: "{man} could have been traded off by {others}",
    FactKind.RECAPTURES: "{man} takes back {other} on {square}",
    FactKind.WINS_MATERIAL: "{man} takes {other} on {square} and wins {pawns}",
    FactKind.TRADES: "{man} takes {other} on {square}, an even trade",
    FactKind.SACRIFICES: "{man} takes {other} on {square}, and that costs {pawns}",
    FactKind.ANSWERS_CHECK: "the king was in check, and this move answers it",
    FactKind.GIVES_CHECK: "this move gives check",
    FactKind.GIVES_MATE: "this move gives mate",
    FactKind.THREATENS_MATE: "{side} threatens mate: {moves}",
    FactKind.THREATENS: "{side} threatens to take {objects}",
    FactKind.QUEEN_EARLY: "the queen comes out early, with {n} of the minor pieces out",
    FactKind.HITS_QUEEN: "{man} hits the queen",
    FactKind.QUEEN_DRIVEN: "the queen must run: {first} has won a tempo",
    FactKind.PAWN_JOB: "this pawn move has a job",
    FactKind.PAWN_WITHOUT_JOB: "this pawn move holds nothing, hits nothing and opens nothing",
    FactKind.OPENS_A_WAY: "the pawn opens a way for {others}",
    FactKind.PAWN_HITS_MAN: "the pawn hits {objects}",
    FactKind.PAWN_HITS_PAWN: "the pawn attacks {objects}",
    FactKind.STOPS_MATE: "this move stops a mate",
    FactKind.STOPS_THREAT: "this move saves {objects}",
    FactKind.PROMOTES: "a pawn becomes {man}",
    FactKind.OPENING_DONE: "{side} has finished the opening: the minor pieces are out, and "
    "castling is settled",
    FactKind.OPENING_CUT: "here the opening is no longer counted; {side} has not finished it",
    FactKind.OPENS_CENTRE: "the centre opens: no pawn is left on {files}",
    FactKind.HALF_OPENS_CENTRE: "the centre opens a little: only one side has pawns left on "
    "{files}",
    FactKind.OPENED_ON_KING: "the centre has opened ({files}) with the king of {side} still in "
    "the middle",
    FactKind.FILE_TAKEN: "{man} comes to {files}, which was opened by {first}",
    FactKind.FILE_CHECK: "{man} gives check along {files}, which was opened by {first}",
    FactKind.FILE_PIN: "{man} pins a man along {files}, which was opened by {first}: {others}",
    FactKind.FILE_WINS: "{man} wins {pawns} along {files}, which was opened by {first}",
    FactKind.KING_CAUGHT: "the king never left the middle and is mated there; {first} had opened "
    "{files}",
}

_BECAUSE: Final = {
    FactKind.CENTRE_PAWN: "it stands in the centre",
    FactKind.CENTRE_CONTROL: "more of the centre is guarded ({squares})",
    FactKind.CENTRE_PAWN_REMOVED: "it removes an enemy centre pawn",
    FactKind.DEVELOPS: "a man comes out",
    FactKind.WAS_ATTACKED: "it was attacked by {others}",
    FactKind.LEFT_A_TRADE: "it could have been traded off by {others}",
    FactKind.RECAPTURES: "it takes back",
    FactKind.WINS_MATERIAL: "it takes {other} and wins {pawns}",
    FactKind.TRADES: "it takes {other}, an even trade",
    FactKind.SACRIFICES: "it takes {other}, though that costs {pawns}",
    FactKind.ANSWERS_CHECK: "it answers a check",
    FactKind.GIVES_CHECK: "it gives check",
    FactKind.GIVES_MATE: "it gives mate",
    FactKind.THREATENS_MATE: "it threatens mate by {moves}",
    FactKind.THREATENS: "there is a new threat to take {objects}",
    FactKind.OPENS_A_WAY: "it opens a way for {others}",
    FactKind.PAWN_HITS_MAN: "it hits {objects}",
    FactKind.PAWN_HITS_PAWN: "it attacks {objects}",
    FactKind.STOPS_MATE: "it stops a mate",
    FactKind.STOPS_THREAT: "it saves {objects}",
    FactKind.PROMOTES: "it becomes {man}",
}

_JOINED: Final = {
    FactKind.SAME_MAN_AGAIN: "{man} moves again, but {reasons}",
    FactKind.QUEEN_EARLY: "the queen comes out early, but {reasons}",
    FactKind.HITS_QUEEN: "{man} hits the queen, and {reasons}",
    FactKind.QUEEN_DRIVEN: "the queen must run: {first} has won a tempo, and {reasons}",
    FactKind.PAWN_JOB: "this pawn move has a job: {reasons}",
}

_BARE: Final = {
    FactKind.SAME_MAN_AGAIN: "{man} moves again (its {nth} move) and takes nothing, threatens "
    "nothing and saves nothing",
}

ENGLISH: Final = Words(
    men=MappingProxyType(
        {
            "p": "the pawn",
            "n": "the knight",
            "b": "the bishop",
            "r": "the rook",
            "q": "the queen",
            "k": "the king",
        }
    ),
    men_as_objects=MappingProxyType(
        {
            "p": "the pawn",
            "n": "the knight",
            "b": "the bishop",
            "r": "the rook",
            "q": "the queen",
            "k": "the king",
        }
    ),
    sides=MappingProxyType({"white": "White", "black": "Black"}),
    wings=MappingProxyType({Wing.SHORT: "short", Wing.LONG: "long"}),
    both_wings="on either side",
    causes=MappingProxyType(
        {
            Cause.KING_MOVED: "the king has moved",
            Cause.ROOK_MOVED: "the rook has moved",
            Cause.ROOK_TAKEN: "the rook was taken",
            Cause.BEFORE: "it was lost before this line",
            Cause.BETWEEN: "a man stands between king and rook",
            Cause.IN_CHECK: "the king is in check",
            Cause.CROSSES: "the king would cross an attacked square",
            Cause.LANDS: "the king would land on an attacked square",
        }
    ),
    states=MappingProxyType(
        {
            KingState.CASTLED: "castled",
            KingState.MAY_CASTLE: "may castle",
            KingState.HELD: "held",
            KingState.STUCK: "stuck",
            KingState.WALKED: "walked",
            KingState.AWAY: "away",
        }
    ),
    on_square="{man} on {square}",
    on_file="the {files}-file",
    and_word="and",
    one_pawn="1 pawn",
    few_pawns="{n} pawns' worth",
    some_pawns="{n} pawns' worth",
    ordinals=MappingProxyType({1: "1st", 2: "2nd", 3: "3rd", 21: "21st", 22: "22nd", 23: "23rd"}),
    other_ordinal="{n}th",
    told=MappingProxyType(_TOLD),
    because=MappingProxyType(_BECAUSE),
    joined=MappingProxyType(_JOINED),
    bare=MappingProxyType(_BARE),
)


def say(fact: Fact, *, words: Words = ENGLISH) -> str:
    """Return a fact as a sentence without capital and full stop, its reasons included."""
    if fact.reasons and fact.kind in words.joined:
        clauses = [_filled(words.because[each.kind], each, words) for each in fact.reasons]
        sentence = words.joined[fact.kind].replace("{reasons}", _listed(clauses, words))
        return _filled(sentence, fact, words)
    template = words.bare.get(fact.kind) or words.told[fact.kind]
    return _filled(template, fact, words)


def _filled(template: str, fact: Fact, words: Words) -> str:
    if "{" not in template:
        return template
    amount = abs(fact.amount or 0)
    man, objects = fact.man, words.men_as_objects
    ordinal = words.ordinals.get(amount) or words.other_ordinal.format(n=amount)
    return template.format(
        man=words.men[man.man] if man else "",
        man_on=_named(man, words) if man else "",
        square=man.square if man else "",
        others=_listed([_named(stone, words) for stone in fact.others], words),
        objects=_listed([_named(stone, words, men=objects) for stone in fact.others], words),
        other=objects[fact.others[0].man] if fact.others else "",
        squares=_listed(list(fact.squares), words),
        files=_listed([words.on_file.format(files=file) for file in fact.files], words),
        moves=_listed(list(fact.moves), words),
        first=fact.moves[0] if fact.moves else "",
        n=amount,
        pawns=_pawns(amount, words),
        nth=ordinal,
        side=words.sides[fact.side],
        enemy=words.sides["black" if fact.side == "white" else "white"],
        wing=words.wings[fact.wing] if fact.wing else words.both_wings,
        cause=words.causes[fact.cause] if fact.cause else "",
    )


def _pawns(amount: int, words: Words) -> str:
    if amount == 1:
        return words.one_pawn
    return (words.few_pawns if amount <= _FEW else words.some_pawns).format(n=amount)


def _named(stone: Stone, words: Words, *, men: Mapping[str, str] | None = None) -> str:
    name = (men or words.men)[stone.man]
    return words.on_square.format(man=name, square=stone.square)


def _listed(parts: list[str], words: Words) -> str:
    """Return parts as a list in words: one, two and three."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {words.and_word} {parts[-1]}"
