"""The words of movetext as programs write it, one pattern: what it does not know is unknown.

Import format of the PGN standard of 1994-03-12 (sections 3.1, 7, 8.2), and the spellings that are
common beyond it.
"""

from __future__ import annotations

import re
from typing import Final

__all__ = ["COMMAND", "DRAWN", "PLAIN_SAN", "RESULTS", "SIGNS", "TOKEN"]

_END: Final = r"(?=[\s()\[\]{};!?$*+\#=±∓⩲⩱∞]|e\.p\.|\Z)"
_PROMOTION: Final = r"(?:=?[NBRQnbrq]|\([NBRQ]\)|/[NBRQ])?"
_CASTLING: Final = r"O-O(?:-O)?|0-0(?:-0)?|o-o(?:-o)?|O–O(?:–O)?|0–0(?:–0)?"

#: Groups by their number, which is quicker than by name: see the order of `GROUPS` in read.py.
TOKEN: Final = re.compile(
    rf"""\s*(?:
      ((?:[NBRQKP]?[a-h]?[1-8]?[x-]?[a-h][1-8]{_PROMOTION}|{_CASTLING})(?:\+\+|\+(?![-/])|\#)?){_END}
    | ((?:1-0|0-1|1/2-1/2|1–0|0–1|½-½|½–½|1/2–1/2|1/2)(?![\w/–-])|\*)
    | ((?!0000)[0-9]{{1,4}}(?![\w/–-])[ \t]*(?:\.|…)*|\.{{2,3}}|…)
    | \{{([^}}]*)\}}
    | ;([^\n]*)
    | (\()
    | (\))
    | \$([0-9]+)
    | ([!?]{{1,2}})(?![!?])
    | (^%[^\n]*)
    | (\+/-|-/\+|\+-|-\+|\+=|=\+|\+/=|=/\+|±|∓|⩲|⩱|=|∞|N(?=[\s){{;]|\Z))
    | (e\.p\.)
    | (--|Z0|0000|@@@@)(?=[\s(){{}};]|\Z)
    | ([^\s(){{}};$]+|.)
    )""",
    re.M | re.X | re.S,
)

#: Canonical as far as its form goes: piece, target, no surplus.
PLAIN_SAN: Final = re.compile(r"(?:[NBRQK]x?|[a-h]x)?[a-h][1-8](?:=[NBRQ])?|O-O(?:-O)?")

RESULTS: Final = {
    "1-0": "1-0", "0-1": "0-1", "1/2-1/2": "1/2-1/2", "*": "*", "1–0": "1-0", "0–1": "0-1",
    "½-½": "1/2-1/2", "½–½": "1/2-1/2", "1/2–1/2": "1/2-1/2", "1/2": "1/2-1/2",
}  # fmt: skip  # a table of spellings

#: Signs of judgement and the numbers that say the same (PGN standard, section 10; which sign is
#: meant: common practice of tournament books).
SIGNS: Final = {
    "!": 1, "?": 2, "!!": 3, "??": 4, "!?": 5, "?!": 6,
    "=": 10, "∞": 13,
    "+=": 14, "+/=": 14, "⩲": 14, "=+": 15, "=/+": 15, "⩱": 15,
    "±": 16, "+/-": 16, "∓": 17, "-/+": 17, "+-": 18, "-+": 19, "N": 146,
}  # fmt: skip  # a table of spellings

#: A bracketed command in a comment, with its name and what follows.
COMMAND: Final = re.compile(r"\[%\s*([A-Za-z0-9_]*)([^\[\]]*)\]")
#: What `cal` and `csl` hold: a colour letter and one square or two.
DRAWN: Final = re.compile(r"[A-Z]([a-h][1-8])([a-h][1-8])?")
