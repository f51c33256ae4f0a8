"""Themes: tokens, drawings, fonts, templates and the style sheet they make.

A theme is a folder of data beside themes/base, which holds what all themes share. This module is
its only door.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from plybook.diagnostics import Report, UsageError, near_miss
from plybook.site.drawing.paint import SMALL_FACTOR, Paint, rules
from plybook.site.drawing.sprite import Pieces, all_paints
from plybook.text.heads import read_yaml
from plybook.text.source import excerpt_of_file

__all__ = ["Theme", "handout_text", "load_theme", "theme_names"]

_NAME: Final = re.compile(r"[a-z][a-z0-9-]*")
_COMMENT: Final = re.compile(r"/\*(?!!).*?\*/ ?", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """A theme, ready for use. Fonts are published beside the style sheet under their own names.

    `light` and `dark` are the values of the tokens, for pictures that leave the site.
    """

    name: str
    template_folders: tuple[Path, ...]  # the theme's own first
    stylesheet: str
    script: str
    more_sheets: Mapping[str, str]  # by name: what only pages with that part need
    more_scripts: Mapping[str, str]
    fonts: tuple[tuple[str, bytes], ...]  # and their licence texts
    pieces: Pieces
    light: Mapping[str, str]
    dark: Mapping[str, str]
    credits: tuple[str, ...]


def theme_names() -> tuple[str, ...]:
    """Return the names of all themes, in order."""
    return tuple(sorted(entry.parent.name for entry in _root().glob("*/theme.yaml")))


@cache
def load_theme(name: str) -> Theme:
    """Return a theme by name. An unknown name is a `UsageError`."""
    known = theme_names()
    if not _NAME.fullmatch(name) or name not in known:
        near = near_miss(name, known)
        hint = f"did you mean `{near}`?" if near else f"themes: {', '.join(known)}"
        raise UsageError(f"there is no theme `{name}`; {hint}")
    base, own = _root() / "base", _root() / name
    settings = _settings(own / "theme.yaml")
    pieces = _pieces(json.loads(_text(own / settings["pieces"])), settings["shade"])
    tokens = settings["tokens"]
    fonts = settings.get("fonts", [])
    folders = (own / "templates", base / "templates")
    return Theme(
        name=name,
        template_folders=tuple(folder for folder in folders if folder.is_dir()),
        stylesheet=_stylesheet(settings, pieces, (base / "style.css", own / "style.css")),
        script=_lean(_text(base / "board.js")),
        more_sheets=_parts(base, own, "css", all_but="style.css"),
        more_scripts=_parts(base, own, "js", all_but="board.js"),
        fonts=tuple(
            (file, (own / "fonts" / file).read_bytes())
            for file in (*(font["file"] for font in fonts), *settings.get("licences", []))
        ),
        pieces=pieces,
        light=_values(tokens, 0),
        dark=_values(tokens, 1),
        credits=tuple(settings["credits"]),
    )


def handout_text(name: str) -> str:
    """Return a script or style sheet for files that leave the site; all themes share them."""
    return _lean(_text(_root() / "base" / "handouts" / name))


def _root() -> Path:
    """Return the folder of all themes: inside the package, or beside generator/ in a clone."""
    package = Path(str(files("plybook")))
    packed = package / "_data" / "themes"
    return packed if packed.is_dir() else package.parent.parent / "themes"


def _parts(base: Path, own: Path, ending: str, *, all_but: str) -> Mapping[str, str]:
    """Return the further sheets or scripts by name; the theme's own stands in for the shared."""
    files = {path.name: path for folder in (base, own) for path in folder.glob(f"*.{ending}")}
    files.pop(all_but, None)
    own_parts = {path.stem: _lean(_text(path)) for _, path in sorted(files.items())}
    foreign = sorted((base / "vendor").glob(f"*.{ending}"))  # libraries: served as they came
    return MappingProxyType({**own_parts, **{path.stem: _text(path) for path in foreign}})


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def _lean(source: str) -> str:
    """Return a script or style sheet without comments and indentation, as pages load it.

    No string and no pattern of ours holds a comment's beginning; a test keeps it so.
    """
    rows = (row.strip() for row in _COMMENT.sub("", source).splitlines())
    return "\n".join(row for row in rows if row and not row.startswith("//")) + "\n"


def _settings(path: Path) -> dict[str, Any]:
    """Return a theme's settings. A fault in them is a fault of the installation, not the course."""
    report = Report()
    head = read_yaml(excerpt_of_file(f"{path.parent.name}/{path.name}", _text(path)), report=report)
    if head is None or len(report):
        faults = "; ".join(f"{fault.span.line}: {fault.message}" for fault in report.sorted())
        raise UsageError(f"theme file `{path.parent.name}/{path.name}` cannot be read: {faults}")
    return head.values


def _pieces(data: dict[str, Any], shade: Any) -> Pieces:
    return Pieces(
        paints={name: _paint(fields) for name, fields in data["paints"].items()},
        bodies=data["bodies"],
        men={man: tuple((shape[0], shape[1]) for shape in data["men"][man]) for man in data["men"]},
        shade=shade,
    )


def _paint(fields: dict[str, Any]) -> Paint:
    return Paint(**{**fields, "dashes": tuple(fields.get("dashes", ()))})


def _values(tokens: Mapping[str, Any], column: int) -> Mapping[str, str]:
    """Return the tokens' light (0) or dark (1) values; one value alone serves both."""
    return MappingProxyType(
        {
            name: str(value[column] if isinstance(value, list) else value)
            for name, value in tokens.items()
        }
    )


def _stylesheet(settings: Mapping[str, Any], pieces: Pieces, sheets: tuple[Path, ...]) -> str:
    """Return fonts, tokens, paints, the shared sheet and the theme's own, in this order."""
    tokens = settings["tokens"]
    light, dark = _values(tokens, 0), _values(tokens, 1)
    both = {**settings.get("type", {}), **{k: v for k, v in light.items() if dark[k] == v}}
    day = {name: value for name, value in light.items() if dark[name] != value}
    night = {name: value for name, value in dark.items() if light[name] != value}
    return "\n".join(
        (
            *map(_font_face, settings.get("fonts", [])),
            f":root{{color-scheme:light;{_properties(both)}{_properties(day)}}}",
            "@media (prefers-color-scheme:dark){:root:not([data-light=day]){color-scheme:dark;"
            f"{_properties(night)}}}}}",
            f":root[data-light=night]{{color-scheme:dark;{_properties(night)}}}",
            f":root{{--grow:1}}.bd.small{{--grow:{SMALL_FACTOR:g}}}",
            rules(all_paints(pieces)),
            *(_lean(_text(sheet)) for sheet in sheets),
        )
    )


def _properties(tokens: Mapping[str, Any]) -> str:
    return "".join(f"--{name}:{value};" for name, value in tokens.items())


def _font_face(font: Mapping[str, Any]) -> str:
    scope = f";unicode-range:{font['range']}" if "range" in font else ""
    return (
        f"@font-face{{font-family:{font['family']};font-weight:{font.get('weight', 400)};"
        f"font-style:{font.get('style', 'normal')};font-display:swap;"
        f'src:url("{font["file"]}") format("woff2"){scope}}}'
    )
