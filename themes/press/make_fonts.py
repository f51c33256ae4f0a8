"""Write fonts/: the figurine font from our own outlines, and the text face cut to what pages need.

    python themes/press/make_fonts.py FOLDER

FOLDER is the unpacked npm package @fontsource/vollkorn. Needs fonttools, brotli and skia-pathops
(only here: what is written is committed). The same input gives the same bytes.

The text face: Vollkorn, SIL Open Font Licence 1.1. Its copyright line reserves no font name, so a
subset may keep the name; the licence text goes with the files as OFL.txt. Each face is cut in two:
`core` holds what English needs, `more` the other letters of Latin-1 and Latin Extended-A. A browser
fetches `more` only for a page that uses one of its characters (unicode-range).
"""

import json
import sys
from io import BytesIO
from pathlib import Path

import pathops
from fontTools.fontBuilder import FontBuilder
from fontTools.merge import Merger
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont
from fontTools.ttLib.scaleUpem import scale_upem

HERE = Path(__file__).parent
TARGET = HERE / "fonts"
MOMENT = 3_800_000_000  # seconds since 1904: a fixed date of birth, so that bytes do not change

GRID = 400  # units an em of the text face

FACES = {"400-normal": "regular", "400-italic": "italic", "700-normal": "bold"}
RARE = set(map(ord, "$%*<>@[\\]^_`{|}~"))
CORE = ({*range(0x20, 0x7F)} | set(map(ord, "\u00a0·–—‘’“”…"))) - RARE
MORE = (RARE | {*range(0xA1, 0x180)} | set(map(ord, "‚„†•′″‹›−"))) - CORE

#: Letter, then the left edge and width of its man in the 45-unit box.
LETTERS = {"K": (5.0, 35), "Q": (2.6, 39.8), "R": (10.2, 24.6), "B": (10.4, 24.2), "N": (5.2, 33.4)}
UNITS = 1000 / 39 * 0.88
BEARING = 26


def main(folder: Path) -> None:
    TARGET.mkdir(exist_ok=True)
    for source, name in FACES.items():
        for part, characters in (("core", CORE), ("more", MORE)):
            scripts = ("latin",) if part == "core" else ("latin", "latin-ext")
            files = [folder / "files" / f"vollkorn-{script}-{source}.woff2" for script in scripts]
            data = subset(files, characters, has_kerning=name != "italic")
            (TARGET / f"vollkorn-{name}-{part}.woff2").write_bytes(data)
    (TARGET / "figurines.woff2").write_bytes(figurines())
    licence = (folder / "LICENSE").read_text(encoding="utf-8")
    rows = [row.rstrip() for row in licence.splitlines()]
    (TARGET / "OFL.txt").write_text("\n".join(rows) + "\n", encoding="utf-8")


def subset(files: list[Path], characters: set[int], *, has_kerning: bool) -> bytes:
    """Return the cut. Italics are set small: their kerning is not worth its weight."""
    options = Options()
    options.layout_features = ["liga", "lnum", *(["kern"] if has_kerning else [])]
    options.hinting = False
    options.recalc_timestamp = False
    options.name_IDs = [0, 1, 2, 13, 14]  # what the licence asks for, and what a font must have
    options.drop_tables += ["STAT", "gasp"]
    parts = []
    for file in files:
        font = TTFont(file, recalcTimestamp=False)
        cutter = Subsetter(options)
        cutter.populate(unicodes=characters)
        cutter.subset(font)
        parts.append(font)
    if len(parts) > 1:
        parts = [merged(parts)]
    # A coarser grid is lighter by a tenth: it moves a point of an 18 px letter by 0.02 px at most.
    scale_upem(parts[0], GRID)
    return packed(parts[0])


def merged(fonts: list[TTFont]) -> TTFont:
    """Return one font of several cuts of the same face."""
    streams = []
    for font in fonts:
        stream = BytesIO()
        font.flavor = None
        for table in ("STAT", "GDEF"):
            if table in font:
                del font[table]
        font.save(stream)
        stream.seek(0)
        streams.append(stream)
    return Merger().merge(streams)


def packed(font: TTFont) -> bytes:
    font["head"].created = font["head"].modified = MOMENT
    font.recalcTimestamp = False
    font.flavor = "woff2"
    stream = BytesIO()
    font.save(stream)
    return stream.getvalue()


def figurines() -> bytes:
    """Return a font whose letters K Q R B N are men in outline.

    There is one shape for every weight: a solid man among bold moves would read as a black one.
    """
    drawings = json.loads((HERE / "pieces.json").read_text(encoding="utf-8"))
    glyphs = {".notdef": TTGlyphPen(None).glyph()}
    widths = {".notdef": (500, 0)}
    for letter, (left, width) in LETTERS.items():
        outline = pathops.Path()
        parse_path(drawings["bodies"][letter.lower()], outline.getPen())
        outline.convertConicsToQuads(0.4)
        glyphs[letter] = glyph(hollow(outline), left)
        widths[letter] = (round(width * UNITS) + 2 * BEARING, 0)
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({ord(letter): letter for letter in LETTERS})
    builder.setupGlyf(glyphs)
    metrics = {name: (wide, getattr(glyphs[name], "xMin", 0)) for name, (wide, _) in widths.items()}
    builder.setupHorizontalMetrics(metrics)
    builder.setupHorizontalHeader(ascent=900, descent=-200)
    builder.setupNameTable({"familyName": "Pressmen", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=900, sTypoDescender=-200, usWinAscent=900, usWinDescent=200)
    builder.setupPost(keepGlyphNames=False)
    return packed(builder.font)


def stroked(path: pathops.Path, width: float) -> pathops.Path:
    ring = pathops.Path(path)
    ring.stroke(width, pathops.LineCap.ROUND_CAP, pathops.LineJoin.ROUND_JOIN, 4)
    ring.convertConicsToQuads(0.4)
    return ring


def grown(path: pathops.Path, by: float) -> pathops.Path:
    """Return the outline a little heavier, as the men on the board are by their contour."""
    return pathops.op(path, stroked(path, 2 * by), pathops.PathOp.UNION)


def hollow(path: pathops.Path) -> pathops.Path:
    """Return a contour line of the outline."""
    inner = pathops.op(path, stroked(path, 3.2), pathops.PathOp.DIFFERENCE)
    return pathops.op(grown(path, 0.7), inner, pathops.PathOp.DIFFERENCE)


def glyph(shape: pathops.Path, left: float) -> object:
    pen = TTGlyphPen(None)
    smooth = Cu2QuPen(pen, 5.0, reverse_direction=False)
    place = (UNITS, 0, 0, -UNITS, -left * UNITS + BEARING, 39.5 * UNITS)
    shape.draw(TransformPen(smooth, place))
    return pen.glyph()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
