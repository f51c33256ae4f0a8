"""Words that stand where a name stands and name nobody, and words of the game that are names too.

All are folded: small letters, no accents.
"""

from __future__ import annotations

from typing import Final

__all__ = ["EVERYDAY", "NOBODY", "OF_THE_GAME"]

#: On every page of a chess course: as a part of a name they are looked for in the whole name only.
OF_THE_GAME: Final = frozenset(
    {
        *("white", "black", "king", "queen", "rook", "bishop", "knight", "pawn"),
        *("castle", "check", "mate", "chess", "board", "game", "move", "club", "team", "player"),
        *("opponent", "unknown", "anonymous", "computer"),
    }
)
#: Small words within names.
EVERYDAY: Final = frozenset({"the", "and", "von", "van", "der", "den"})
#: What is written for a player who is not named, as common practice has it in files of clubs.
NOBODY: Final = frozenset(
    {
        *("nn", "nomen", "nescio", "noname", "no", "name", "nobody", "somebody", "someone"),
        *("anon", "guest", "visitor", "user", "human", "bot", "engine", "program", "machine"),
        *("me", "you", "he", "she", "they", "we", "us", "self", "myself", "him", "her"),
        *("student", "students", "pupil", "pupils", "class", "group", "all", "everybody", "friend"),
        *("coach", "trainer", "teacher", "partner", "rival", "adversary", "opponents"),
        *("mum", "mom", "dad", "mummy", "daddy", "papa", "mama", "brother", "sister"),
        *("ich", "er", "sie", "gast", "schuler", "schulerin", "weiss", "schwarz", "gegner"),
        *("moi", "eleve", "invite", "blancs", "noirs", "blancas", "negras", "alumno", "alumna"),
        *("bye", "free", "spielfrei", "test", "example", "demo", "analysis", "the"),
    }
)
