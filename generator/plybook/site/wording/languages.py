"""The table of words in English, and in the languages that have a catalogue."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Final

from plybook.site.wording.catalogue import SOURCE, language_of, translated
from plybook.site.wording.words import Words

__all__ = ["ENGLISH", "is_right_to_left", "words_for"]

#: Languages whose usual script runs from right to left, by the codes of ISO 639.
_RIGHT_TO_LEFT: Final = frozenset({"ar", "ckb", "dv", "fa", "he", "ps", "sd", "ug", "ur", "yi"})

#: Numeric annotation glyphs that stand for one side each (PGN standard, section 10): the number of
#: White's glyph and its words; Black's is the next number.
_OF_A_SIDE: Final = {
    14: "{side} has a slight advantage",
    16: "{side} has a moderate advantage",
    18: "{side} has a decisive advantage",
    20: "{side} has a crushing advantage",
    22: "{side} is in zugzwang",
    24: "{side} has a slight space advantage",
    26: "{side} has a moderate space advantage",
    28: "{side} has a decisive space advantage",
    30: "{side} has a slight lead in development",
    32: "{side} has a moderate lead in development",
    34: "{side} has a decisive lead in development",
    36: "{side} has the initiative",
    38: "{side} has a lasting initiative",
    40: "{side} has the attack",
    42: "{side} has too little for the material given up",
    44: "{side} has enough for the material given up",
    46: "{side} has more than enough for the material given up",
    48: "{side} has slightly more control of the centre",
    50: "{side} has more control of the centre",
    52: "{side} has decisive control of the centre",
    54: "{side} has slightly more control of the king's side",
    56: "{side} has more control of the king's side",
    58: "{side} has decisive control of the king's side",
    60: "{side} has slightly more control of the queen's side",
    62: "{side} has more control of the queen's side",
    64: "{side} has decisive control of the queen's side",
    66: "{side} has a vulnerable first rank",
    68: "{side} has a well protected first rank",
    70: "{side} has a poorly protected king",
    72: "{side} has a well protected king",
    74: "{side} has a poorly placed king",
    76: "{side} has a well placed king",
    78: "{side} has a very weak pawn structure",
    80: "{side} has a moderately weak pawn structure",
    82: "{side} has a moderately strong pawn structure",
    84: "{side} has a very strong pawn structure",
    86: "{side} has poorly placed knights",
    88: "{side} has well placed knights",
    90: "{side} has poorly placed bishops",
    92: "{side} has well placed bishops",
    94: "{side} has poorly placed rooks",
    96: "{side} has well placed rooks",
    98: "{side} has a poorly placed queen",
    100: "{side} has a well placed queen",
    102: "{side}'s pieces work together poorly",
    104: "{side}'s pieces work together well",
    106: "{side} has played the opening very poorly",
    108: "{side} has played the opening poorly",
    110: "{side} has played the opening well",
    112: "{side} has played the opening very well",
    114: "{side} has played the middlegame very poorly",
    116: "{side} has played the middlegame poorly",
    118: "{side} has played the middlegame well",
    120: "{side} has played the middlegame very well",
    122: "{side} has played the ending very poorly",
    124: "{side} has played the ending poorly",
    126: "{side} has played the ending well",
    128: "{side} has played the ending very well",
    130: "{side} has slight counterplay",
    132: "{side} has moderate counterplay",
    134: "{side} has decisive counterplay",
    136: "{side} is short of time",
    138: "{side} is very short of time",
}


#: The glyphs that are printed in words, with their meaning in the PGN standard (section 10).
_NAGS: Final = {
    7: "forced move",
    8: "the only sensible move",
    9: "the worst move",
    10: "drawish position",
    11: "equal chances, quiet position",
    12: "equal chances, active position",
    13: "unclear position",
    **_OF_A_SIDE,
}

ENGLISH: Final = Words(
    language="en",
    sides={"white": "White", "black": "Black"},
    men={"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen", "k": "king"},
    many_men={
        "p": "pawns",
        "n": "knights",
        "b": "bishops",
        "r": "rooks",
        "q": "queens",
        "k": "kings",
    },
    men_of_sides={
        "P": "White pawn",
        "N": "White knight",
        "B": "White bishop",
        "R": "White rook",
        "Q": "White queen",
        "K": "White king",
        "p": "Black pawn",
        "n": "Black knight",
        "b": "Black bishop",
        "r": "Black rook",
        "q": "Black queen",
        "k": "Black king",
    },
    step="{man}, {origin} to {target}",
    castles_short="{side} castles short",
    castles_long="{side} castles long",
    takes={
        "p": "takes a pawn",
        "n": "takes a knight",
        "b": "takes a bishop",
        "r": "takes a rook",
        "q": "takes a queen",
    },
    takes_in_passing="takes the pawn on {square} in passing",
    becomes={
        "n": "becomes a knight",
        "b": "becomes a bishop",
        "r": "becomes a rook",
        "q": "becomes a queen",
    },
    attacks="attacks {targets}",
    targets={
        "p": "the {square} pawn",
        "n": "the {square} knight",
        "b": "the {square} bishop",
        "r": "the {square} rook",
        "q": "the {square} queen",
        "k": "the {square} king",
    },
    check="check",
    mate="mate",
    stalemate="stalemate",
    both="and",
    start="The start",
    after="After {move}",
    at_start="at the start",
    then="after {move}",
    to_move={"white": "White to move", "black": "Black to move"},
    is_mate="Checkmate",
    is_stalemate="Stalemate",
    men_of="{side}: {men}.",
    man_on="{man} on {squares}",
    no_men="no men",
    board="Board. {place}. {turn}. {words} {marks}",
    arrows={
        "attack": "{0} attacks {1}.",
        "guard": "{0} guards {1}.",
        "pin": "{0} pins {1} to {2}.",
        "check": "{0} checks {1}.",
        "threat": "{0} threatens {1}.",
        "move": "{0} moves to {1}.",
        "plan": "A plan from {0} to {1}.",
    },
    marks={
        "target": "{0} is a target.",
        "loose": "{0} is loose.",
        "hanging": "{0} is hanging.",
        "weak": "{0} is a weak square.",
        "safe": "{0} is safe.",
        "flight": "{0} is a flight square.",
    },
    line="Line",
    sideline="Sideline {letter}",
    place_of="{title}, {place}",
    known={
        "proved": "proved",
        "holds": "to depth {depth}",
        "word": "the coach’s word",
        "open": "not settled",
    },
    known_means={
        "proved": ("proved", "counted or played out on the board, with nothing left open"),
        "holds": ("to depth", "true as far as it was searched, counted in half-moves"),
        "word": ("the coach’s word", "a judgement, not a calculation"),
        "open": ("not settled", "neither shown nor refuted so far"),
    },
    note_back="Back to the text",
    line_of="{lesson}: {line}",
    or_else="or",
    truths={"true": "True.", "false": "False."},
    men_out="Men out: {counts}",
    queen_lost="Queen’s tempi lost: {counts}",
    count_of="{side} {count}",
    verbs={
        "kept": "Kept",
        "broken": "Broken",
        "justified": "Broken with a reason",
        "punished": "Punished",
    },
    coach_adds="{sentence}. The coach says: {reason}",
    nags=_NAGS,
    page={
        "start": "The start",
        "after": "After",
        "white": "White to move",
        "black": "Black to move",
        "mate": "Checkmate",
        "stalemate": "Stalemate",
        "sideline": "Sideline",
        "back": "Back to",
        "on": "On to",
        "end": "end of line",
        "hidden": "next move",
        "board": "Board. {place}. {turn}.",
        "copied": "Copied",
    },
    titles={
        "principles": "Principles",
        "lines": "Lines and positions",
        "sources": "Sources and credits",
    },
)


@cache
def words_for(language: str) -> Words:
    """Return the words of a language tag (`en`, `de-AT`); English where there is no catalogue."""
    known = language_of(language)
    if known == SOURCE:
        return ENGLISH
    table = translated(ENGLISH, context="words", language=known)
    return replace(table, language=known)


def is_right_to_left(language: str) -> bool:
    """Return whether the text of a language tag (`he`, `ar-EG`) runs from right to left."""
    return language.split("-")[0].lower() in _RIGHT_TO_LEFT
