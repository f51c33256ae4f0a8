"""How a shape is painted: one table of paints, read as CSS rules on a page and as attributes alone.

A page's drawings take their colours from custom properties, so that one picture serves light, dark
and forced colours. A picture that leaves the site (e-book, PNG) has no style sheet: there the same
paint is written out as presentation attributes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

__all__ = ["Paint", "Painter", "Shape", "attribute_painter", "class_painter", "draw", "rules"]

#: Small boards are shown at half the size: their marks are drawn this much heavier.
SMALL_FACTOR: Final = 1.35

#: A shape: the name of its paint and its path data.
Shape = tuple[str, str]

#: Turns the name of a paint into the attributes of an element, with a leading space.
Painter = Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """Fill and stroke of a shape. A colour is a token of the theme (`@ink`) or `none`.

    `width` is in board units (a square has 45), or a token. `grows` says that the stroke is
    heavier on small boards.
    """

    fill: str = "none"
    stroke: str = "none"
    width: float | str = 0
    dashes: tuple[float, ...] = ()
    opacity: str = ""
    cap: str = ""
    join: str = ""
    rule: str = ""
    grows: bool = False

    def declarations(self) -> str:
        """Return the paint as CSS declarations."""
        return ";".join(f"{name}:{value}" for name, value in self._pairs(_as_variable, ""))

    def attributes(self, tokens: Mapping[str, str], *, factor: float = 1) -> str:
        """Return the paint as presentation attributes, each with a leading space."""

        def resolve(value: str) -> str:
            return tokens[value[1:]] if value.startswith("@") else value

        scale = factor if self.grows else 1.0
        return "".join(f' {name}="{value}"' for name, value in self._pairs(resolve, scale))

    def _pairs(
        self, resolve: Callable[[str], str], scale: float | str
    ) -> Iterable[tuple[str, str]]:
        yield "fill", resolve(self.fill)
        if self.stroke != "none":
            yield "stroke", resolve(self.stroke)
            yield "stroke-width", self._width(resolve, scale)
        if self.dashes:
            yield "stroke-dasharray", " ".join(f"{part:g}" for part in self.dashes)
        for name, value in (
            ("stroke-opacity", resolve(self.opacity)),
            ("stroke-linecap", self.cap),
            ("stroke-linejoin", self.join),
            ("fill-rule", self.rule),
        ):
            if value:
                yield name, value

    def _width(self, resolve: Callable[[str], str], scale: float | str) -> str:
        if isinstance(self.width, str):
            return resolve(self.width)
        if isinstance(scale, float):
            return f"{self.width * scale:.4g}"
        return f"calc({self.width:g}px*var(--grow))" if self.grows else f"{self.width:g}px"


def _as_variable(value: str) -> str:
    return f"var(--{value[1:]})" if value.startswith("@") else value


def rules(paints: Mapping[str, Paint]) -> str:
    """Return one CSS rule a paint, in the table's order."""
    return "".join(f".{name}{{{paint.declarations()}}}" for name, paint in paints.items())


def class_painter(name: str) -> str:
    """Return the attribute that leaves a shape's paint to the style sheet."""
    return f' class="{name}"'


def attribute_painter(
    paints: Mapping[str, Paint], tokens: Mapping[str, str], *, factor: float = 1
) -> Painter:
    """Return a painter that writes the paint out with the values of `tokens`."""
    written = {name: paint.attributes(tokens, factor=factor) for name, paint in paints.items()}
    return written.__getitem__


def draw(shapes: Iterable[Shape], paint: Painter) -> str:
    """Return one path element a shape."""
    return "".join(f'<path{paint(name)} d="{path}"/>' for name, path in shapes)
