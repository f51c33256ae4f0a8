"""What movetext is made of: the shapes of its tokens, and its limits."""

from __future__ import annotations

import re
from typing import Final

GLYPHS: Final = {"!": 1, "?": 2, "!!": 3, "??": 4, "!?": 5, "?!": 6}
RESULTS: Final = frozenset({"1-0", "0-1", "1/2-1/2", "*"})
DEPTH_LIMIT: Final = 16
MOVE_LIMIT: Final = 2_000
COMMENT_LIMIT: Final = 8 * 1024

TOKEN: Final = re.compile(
    r"(?P<space>[ \t\n]+)"
    r"|(?P<comment>\{[^{}]*\})"
    r"|(?P<open>\()"
    r"|(?P<close>\))"
    r"|(?P<nag>\$[0-9]*)"
    r"|(?P<word>[^\s(){};$]+)"
    r"|(?P<other>[\s\S])"
)
NUMBER: Final = re.compile(r"([0-9]+)(\.\.\.|\.)(?!\.)")
NUMBER_LIKE: Final = re.compile(r"([0-9]+)?([.…]+|(?=$))")
GLYPH: Final = re.compile(r"[!?]+$")
RESULT_LIKE: Final = re.compile(
    r"1[-–—−:][0oO]|[0oO][-–—−:]1|½[-–—−:]½|1/2[-–—−:]1/2|2-0|0-2|1-1|1/2|½"
)
CASTLING_LIKE: Final = re.compile(r"[0oO][-–—−‑][0oO]")
PASSING: Final = re.compile(r"e\.?p\.?", re.IGNORECASE)
NULL_MOVES: Final = frozenset({"--", "Z0", "0000", "@@@@", "null", "pass"})
