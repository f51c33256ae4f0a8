"""Makes letters.json: the letters and digits beside a board as outlines, for when no font is there.

    python themes/base/handouts/make_letters.py

They are cut from Vollkorn Italic (../../press/fonts, SIL Open Font Licence 1.1): old-style digits,
in the size of the board's coordinates, the middle of each at 0. Needs fontTools and brotli.
"""

import json
from pathlib import Path

from fontTools.misc.transform import Transform
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
SIZE = 12.5  # of the coordinates, in board units

font = TTFont(HERE.parents[1] / "press" / "fonts" / "vollkorn-italic-core.woff2")
glyphs, names = font.getGlyphSet(), font.getBestCmap()
scale = SIZE / font["head"].unitsPerEm
outlines = {}
for sign in "abcdefgh12345678":
    glyph = glyphs[names[ord(sign)]]
    pen = SVGPathPen(glyphs, ntos=lambda value: f"{round(value, 1) + 0.0:g}")
    glyph.draw(TransformPen(pen, Transform(scale, 0, 0, -scale, -glyph.width * scale / 2, 0)))
    outlines[sign] = pen.getCommands()
rows = ",\n".join(f"{json.dumps(sign)}: {json.dumps(path)}" for sign, path in outlines.items())
(HERE / "letters.json").write_text(f"{{\n{rows}\n}}\n", encoding="utf-8")
