"""What is looked through before it is published: every form in which a name can be read."""

from __future__ import annotations

import json
from typing import Final

import pytest

from plybook.site.inspection.privacy import leaks
from plybook.text.people import People

NAME: Final = "Berg, Anna"
DATA: Final = json.dumps({"pages": ["Then:\nAnna won"]})


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("a.json", DATA),
        ("a.json", json.dumps({"Anna": 1})),
        ("a.js", f"window.data = JSON.parse({json.dumps(DATA)});"),
        ("a.js", "say('Anna won');"),
        ("a.js", 'say("Then:\\nAnna won");'),
        ("a.js", 'say("\\u0041nna");'),
        ("a.html", f'<script type="application/json" id="x">{DATA}</script>'),
        ("a.html", "<p>An<em>na</em> won</p>"),
        ("a.html", "<p>A<b>n</b><i>na</i></p>"),
        ("a.html", "<p>An&shy;na</p>"),
        ("a.html", "<img alt='Anna'>"),
        ("a.html", '<a href="/%41nna">x</a>'),
        ("a.svg", "<title>Anna</title>"),
        ("pages/anna2.html", ""),
        ("a.txt", "Anna"),
    ],
)
def test_a_name_is_found_however_it_is_written_down(path: str, text: str) -> None:
    found = leaks({path: text.encode()}, People([NAME], wants_capitals=True))
    assert [(one.kind, one.name) for one in found] == [("name", NAME)]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("a.html", "<p>Han<em>na</em></p>"),
        ("a.html", "<style>.anna { color: red }</style>"),
        ("a.json", json.dumps(["Wu", "Li"])),
        ("a.css", "Anna"),
    ],
)
def test_what_nobody_reads_as_the_name_is_let_through(path: str, text: str) -> None:
    assert leaks({path: text.encode()}, People([NAME, "Wu, Li"], wants_capitals=True)) == ()


def test_an_address_behind_percent_signs_is_found() -> None:
    page = b'<a href="mailto:anna%40club.example">write</a>'
    (found,) = leaks({"a.html": page}, People(()))
    assert (found.kind, found.text) == ("mail", "anna@club.example")


def test_a_place_in_a_line_is_no_address_wherever_it_is_cut() -> None:
    for far in range(130, 180):
        page = f'<p>An<em>na</em>{"x " * (far // 2)}{"y" * (far % 2)}<a href="#trick@6.Bxf7+">6</a>'
        assert leaks({"a.html": page.encode()}, People(())) == (), far
