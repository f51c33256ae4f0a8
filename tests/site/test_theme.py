"""Themes: whole, readable in either light, and within the page's rules."""

from __future__ import annotations

import gzip
import re
from itertools import product
from pathlib import Path
from typing import Final

import pytest

from plybook.diagnostics import UsageError
from plybook.site.drawing.marks import ROLE_NAMES
from plybook.site.drawing.sprite import MEN, all_paints
from plybook.site.pages.theme import Theme, load_theme, theme_names

THEMES: Final = theme_names()
SHARED: Final = Path(__file__).parents[2] / "themes" / "base"
PAGES: Final = ("front", "lesson", "principle", "principles", "lines", "sources", "blocks", "page")

#: Sinks that turn text into markup or code (the page's policy refuses them too).
SINKS: Final = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function"
    r"|setTimeout\(\s*[\"']|createContextualFragment|DOMParser|\.srcdoc|import\("
)


def is_coloured(value: str) -> bool:
    return re.fullmatch(r"#[0-9a-f]{6}", value) is not None


def luminance(colour: str) -> float:
    """Return the relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of WCAG 2.2."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_two_themes_are_there() -> None:
    assert THEMES == ("press", "slate")


def test_an_unknown_theme_is_named_with_its_neighbour() -> None:
    with pytest.raises(UsageError, match="no theme `pres`; did you mean `press`"):
        load_theme("pres")


@pytest.mark.parametrize("name", ["../press", "press/../base", "", "base", "/etc", "PRESS"])
def test_a_theme_is_named_not_addressed(name: str) -> None:
    with pytest.raises(UsageError, match="there is no theme"):
        load_theme(name)


@pytest.mark.parametrize("name", THEMES)
def test_a_theme_has_every_template(name: str) -> None:
    folders = load_theme(name).template_folders
    for page in PAGES:
        assert any((folder / f"{page}.html").is_file() for folder in folders)


@pytest.mark.parametrize("name", THEMES)
def test_a_theme_draws_every_man(name: str) -> None:
    pieces = load_theme(name).pieces
    assert set(pieces.men) == set(MEN)
    for shapes in pieces.men.values():
        for paint, path in shapes:
            assert paint in pieces.paints
            assert not path.startswith("@") or path[1:] in pieces.bodies


@pytest.mark.parametrize("name", THEMES)
def test_every_token_that_is_used_is_set(name: str) -> None:
    theme = load_theme(name)
    used = set(re.findall(r"var\(--([a-z0-9-]+)\)", theme.stylesheet))
    set_ = set(re.findall(r"--([a-z0-9-]+):", theme.stylesheet))
    assert used <= set_
    wanted = {
        value[1:]
        for paint in all_paints(theme.pieces).values()
        for value in (paint.fill, paint.stroke, paint.opacity, str(paint.width))
        if value.startswith("@")
    }
    assert wanted <= set(theme.light)
    assert set(theme.light) == set(theme.dark)


@pytest.mark.parametrize("name", THEMES)
def test_a_style_sheet_asks_for_nothing_outside(name: str) -> None:
    theme = load_theme(name)
    addresses = re.findall(r'url\("?([^")]*)"?\)', theme.stylesheet)
    assert set(addresses) <= {file for file, _ in theme.fonts}
    assert not re.search(r"@import|https?:|data:|expression\(", theme.stylesheet)


@pytest.mark.parametrize("name", THEMES)
def test_fonts_are_compressed_and_come_with_their_licence(name: str) -> None:
    fonts = dict(load_theme(name).fonts)
    faces = [content for file, content in fonts.items() if file.endswith(".woff2")]
    assert all(face.startswith(b"wOF2") for face in faces)
    assert not faces or b"SIL OPEN FONT LICENSE Version 1.1" in fonts["OFL.txt"]


def test_figurines_weigh_less_than_two_kilobytes() -> None:
    assert len(dict(load_theme("press").fonts)["figurines.woff2"]) < 2048


@pytest.mark.parametrize("name", THEMES)
def test_script_and_style_sheet_keep_their_weight(name: str) -> None:
    theme = load_theme(name)
    assert len(gzip.compress(theme.script.encode(), 9)) <= 8 * 1024
    assert len(gzip.compress(theme.stylesheet.encode(), 9)) <= 8 * 1024


# ------------------------------------------------------------------ contrast (WCAG 2.2)


def lights(theme: Theme) -> dict[str, dict[str, str]]:
    return {"light": dict(theme.light), "dark": dict(theme.dark)}


@pytest.mark.parametrize(("name", "light"), tuple(product(THEMES, ("light", "dark"))))
def test_text_can_be_read(name: str, light: str) -> None:
    # Success criterion 1.4.3: 4.5 to 1.
    tokens = lights(load_theme(name))[light]
    for text, ground in (
        ("ink", "paper"),
        ("ink2", "paper"),
        ("rubric", "paper"),
        ("on-rubric", "rubric"),
        ("ink", "wash"),
    ):
        assert contrast(tokens[text], tokens[ground]) >= 4.5, (text, ground)


@pytest.mark.parametrize(("name", "light"), tuple(product(THEMES, ("light", "dark"))))
def test_marks_and_men_stand_out_from_the_board(name: str, light: str) -> None:
    # Success criterion 1.4.11: 3 to 1, against the ground of the board, which is every mark's halo.
    tokens = lights(load_theme(name))[light]
    for token in (*(role for _, role in ROLE_NAMES), "trace", "man-line", "man-dark-line"):
        assert contrast(tokens[token], tokens["board"]) >= 3, token
    assert contrast(tokens["focus"], tokens["paper"]) >= 3
    assert contrast(tokens["man-light"], tokens["man-dark"]) >= 4.5


@pytest.mark.parametrize("name", THEMES)
def test_colours_are_written_alike(name: str) -> None:
    theme = load_theme(name)
    for tokens in lights(theme).values():
        odd = {key: value for key, value in tokens.items() if not is_coloured(value)}
        assert set(odd) <= {"hatch-opacity", "hatch-width", "board-font"}


# ------------------------------------------------------------------ what pages may not hold


@pytest.mark.parametrize(
    "path", sorted(SHARED.glob("templates/*.html")), ids=lambda path: path.stem
)
def test_templates_keep_to_the_policy(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\|\s*safe\b", text)
    assert not re.search(r"\son[a-z]+\s*=", text)
    assert not re.search(r"\sstyle\s*=|<style|<base|<iframe|<form", text)
    without_values = re.sub(r'"[^"]*"', '""', re.sub(r"{[{%].*?[%}]}", "", text))
    assert not re.search(r'\s[a-z-]+=(?!")', without_values)
    for attributes in re.findall(r"<script([^>]*)>", text):
        assert "src=" in attributes or 'type="application/json"' in attributes


def test_the_script_never_makes_markup_of_text() -> None:
    source = (SHARED / "board.js").read_text(encoding="utf-8")
    assert not SINKS.search(source)
    assert '"use strict";' in source
    for word in ("fetch(", "XMLHttpRequest", "Worker", "cookie", "indexedDB", "sendBeacon"):
        assert word not in source


def test_the_script_listens_to_no_key_of_the_whole_page() -> None:
    # WCAG 2.2, success criterion 2.1.4: keys act only while their control has the focus.
    source = (SHARED / "board.js").read_text(encoding="utf-8")
    assert re.findall(r"(\w+)\.addEventListener\(\s*\"key\w+\"", source) == ["slider", "held"]
    assert not re.search(r"(?:^|[^.\w])addEventListener\(\s*\"key", source)


def test_the_script_is_published_without_its_comments_and_with_all_its_texts() -> None:
    source = (SHARED / "board.js").read_text(encoding="utf-8")
    script = load_theme("press").script
    assert len(script) < len(source)
    assert script.startswith("/*! plybook, GPL-3.0-or-later */\n")
    assert "@param" not in script
    without_comments = re.sub(
        r"/\*.*?\*/|^\s*//[^\n]*$", "", source, flags=re.DOTALL | re.MULTILINE
    )
    literal = re.compile(r'"(?:[^"\\\n]|\\.)*"')
    assert literal.findall(script) == literal.findall(without_comments)
    assert "/*" not in "".join(literal.findall(source))
    assert "//" not in "".join(literal.findall(source)).replace("http://www.w3.org/", "")


@pytest.mark.parametrize("name", THEMES)
def test_a_theme_is_loaded_once(name: str) -> None:
    assert load_theme(name) is load_theme(name)
