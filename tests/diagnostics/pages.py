"""The pages that explain the codes, read as test cases."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import plybook

__all__ = ["FOLDER", "Page", "read_page"]

FOLDER: Final = Path(plybook.__file__).parent / "explain"

_PAGE = re.compile(
    r"# (?P<code>[a-z0-9-]+)\n\n"
    r"(?P<sentence>[^\n]+(?:\n[^\n]+)*)\n\n"
    r"(?P<why>.+?)\n\n"
    r"## Wrong\n\n(?P<wrong>.+?\n)\n"
    r"Found at (?P<place>[^\n]+)\n\n"
    r"## Right\n\n(?P<right>.+)",
    re.DOTALL,
)
_BLOCK = re.compile(r"^~~~~ ([^\n]+)\n(.*?)^~~~~$", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A page: one sentence on the fault, the wrong files with the place of the fault, the right.

    `place` is `file:line:column-endcolumn`, 1-based, end excluded. `wrong` is empty where the
    example needs bytes that a page cannot show.
    """

    code: str
    sentence: str
    place: str
    wrong: dict[str, str]
    right: dict[str, str]


def read_page(code: str) -> Page:
    """Return the page of a code. A page of another form fails."""
    text = (FOLDER / f"{code}.md").read_text(encoding="utf-8")
    found = _PAGE.fullmatch(text)
    assert found, f"{code}.md has not the form of a page"
    return Page(
        code=found["code"],
        sentence=" ".join(found["sentence"].split()),
        place=found["place"],
        wrong=dict(_BLOCK.findall(found["wrong"])),
        right=dict(_BLOCK.findall(found["right"])),
    )
