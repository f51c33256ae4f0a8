"""Numbered moves in running text: what is one, what belongs to a run, and what is none."""

from __future__ import annotations

import pytest

from plybook.text.mentions import find_mentions


def found(text: str) -> list[str]:
    """Return the moves found: `|` begins a run, `?` marks a reply without a number."""
    return [
        f"{'|' if one.begins_run else ''}{'?' if one.optional else ''}{one.step}"
        for one in find_mentions(text)
    ]


@pytest.mark.parametrize(
    ("text", "moves"),
    [
        ("play 5.Nxe5! now", ["|5.Nxe5"]),
        ("after 4...g6, the pin", ["|4...g6"]),
        ("after 4…g6", ["|4...g6"]),
        ("5. Nxe5 with a space", ["|5.Nxe5"]),
        ("5.\u00a0Nxe5 5.\u202fd4", ["|5.Nxe5", "5.d4"]),
        ("12.e8=Q+ and 12...O-O-O#", ["|12.e8=Q+", "|12...O-O-O#"]),
        ("6.Bxf7+ Ke7 7.Nd5#", ["|6.Bxf7+", "?6...Ke7", "7.Nd5#"]),
        ("5...Bxd1 6.Bxf7+ Ke7", ["|5...Bxd1", "6.Bxf7+", "?6...Ke7"]),
        ("(5.Nxe5)", ["|5.Nxe5"]),
        ("5.Nxe5 d4 c3", ["|5.Nxe5", "?5...d4"]),
        ("5.Nxe5, d4", ["|5.Nxe5"]),
    ],
)
def test_a_numbered_move_is_found_with_what_follows_it(text: str, moves: list[str]) -> None:
    assert found(text) == moves


@pytest.mark.parametrize(
    "text",
    [
        "the knight on e5",
        "d4 and Nf3",
        "5.",
        "page 5.3",
        "1.5.Nf3",
        "trap@5.Nxe5",
        "x5.Nf3",
        "5.Nf3x",
        "5.e8=",
        "5.Nf9",
        "/5.Nf3",
        "5....Nf3",
        "1-0",
        "5.\nNf3",
    ],
)
def test_what_is_no_numbered_move_stays_text(text: str) -> None:
    assert found(text) == []
