"""Write pieces.json: the drawings of the library python-chess as data, without style attributes.

    python themes/slate/make_pieces.py

The drawings are Colin M. L. Burnett's, as distributed in `chess.svg` of python-chess under
GPL-3.0-or-later. Colours become tokens and every attribute becomes part of a paint, because a
strict content security policy drops `style=`. The output is committed; the same library gives the
same bytes.
"""

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import chess.svg
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.svgLib.path import parse_path

INHERITED = {"fill": "#000", "stroke": "none", "stroke-width": "1"}
WORDS = {"stroke-linecap": "cap", "stroke-linejoin": "join", "fill-rule": "rule"}
TOKENS = {
    # (is white, is fill): colour -> token
    (True, True): {"#fff": "@man-light", "#000": "@man-line"},
    (True, False): {"#000": "@man-line"},
    (False, True): {"#000": "@man-dark", "#fff": "@man-cut"},
    (False, False): {"#000": "@man-dark-line", "#fff": "@man-cut"},
}
SHORT = {"#000000": "#000", "#ffffff": "#fff", "#ececec": "#fff"}


def main() -> None:
    paints: dict[str, dict[str, object]] = {}
    men = {man: shapes_of(chess.svg.PIECES[man], man.isupper(), paints) for man in "KQRBNPkqrbnp"}
    drawings = {"paints": paints, "bodies": {}, "men": men}
    target = Path(__file__).with_name("pieces.json")
    target.write_text(json.dumps(drawings, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def shapes_of(text: str, is_white: bool, paints: dict) -> list[list[str]]:
    found = []

    def walk(element: ElementTree.Element, inherited: dict[str, str]) -> None:
        own = {**inherited, **element.attrib}
        for rule in own.pop("style", "").split(";"):
            name, _, value = rule.partition(":")
            if value:
                own[name.strip()] = value.strip()
        if element.tag != "g":
            found.append([paint_name(paint_of(own, is_white), paints), path_of(element)])
        for child in element:
            walk(child, own)

    walk(ElementTree.fromstring(text), dict(INHERITED))
    return found


def paint_of(attributes: dict[str, str], is_white: bool) -> dict[str, object]:
    paint: dict[str, object] = {}
    for name in ("fill", "stroke"):
        colour = SHORT.get(attributes[name], attributes[name])
        if colour != "none":
            paint[name] = TOKENS[is_white, name == "fill"][colour]
    if "stroke" in paint:
        paint["width"] = float(attributes["stroke-width"])
    for name, word in WORDS.items():
        if name in attributes and ("stroke" in paint or word == "rule"):
            paint[word] = attributes[name]
    return paint


def paint_name(paint: dict[str, object], paints: dict) -> str:
    for name, known in paints.items():
        if known == paint:
            return name
    name = f"pc-{len(paints)}"
    paints[name] = paint
    return name


def path_of(element: ElementTree.Element) -> str:
    if element.tag == "circle":
        x, y, radius = (float(element.attrib[name]) for name in ("cx", "cy", "r"))
        arc = f"a{radius:g} {radius:g} 0 1 0 "
        return f"M{x - radius:g} {y:g}{arc}{2 * radius:g} 0{arc}{-2 * radius:g} 0z"
    path = element.attrib["d"].strip()
    if "transform" not in element.attrib:
        return path
    numbers = element.attrib["transform"].removeprefix("matrix(").removesuffix(")")
    pen = SVGPathPen(None, ntos=lambda value: f"{value:.3f}".rstrip("0").rstrip("."))
    parse_path(path, TransformPen(pen, [float(part) for part in numbers.split(",")]))
    return pen.getCommands()


if __name__ == "__main__":
    main()
