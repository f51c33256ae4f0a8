"""Write pieces.json: the men of this theme, from half profiles mirrored about the middle.

Run from anywhere: `python themes/press/make_pieces.py`. The output is committed; the same source
gives the same bytes. The drawings are this project's own.

A man is an outline (`bodies`), cuts inside it, and for White the engraver's strokes on the right,
the side away from the light. All stand on the same foot: a hollow moulding over a plinth.
"""

import json
from pathlib import Path

MIDDLE = 22.5

Segment = tuple  # ("M" | "L", x, y) or ("C", x1, y1, x2, y2, x, y); x counts from the middle


def number(value: float) -> str:
    return f"{round(value, 2) + 0.0:g}"


def foot(stem: float, reach: float = 3.0) -> list[Segment]:
    """Return moulding and plinth under a stem of this half width, which ends at y 32.4."""
    wide = stem + reach
    return [
        ("C", stem + 0.2, 34.4, wide, 34.2, wide, 36.4),
        ("L", wide, 38.5),
        ("C", wide, 39.1, wide - 0.4, 39.5, wide - 1, 39.5),
    ]


def mirrored(profile: list[Segment]) -> str:
    """Return the closed outline of a right half profile given from top to bottom."""
    path = ""
    for kind, *values in profile:
        points = [MIDDLE + v if at % 2 == 0 else v for at, v in enumerate(values)]
        path += kind + " ".join(map(number, points))
    ends = [(segment[-2], segment[-1]) for segment in profile]
    path += f"L{number(MIDDLE - ends[-1][0])} {number(ends[-1][1])}"
    for at in range(len(profile) - 1, 0, -1):
        x, y = ends[at - 1]
        if profile[at][0] == "L":
            path += f"L{number(MIDDLE - x)} {number(y)}"
        else:
            _, x1, y1, x2, y2, _, _ = profile[at]
            values = (MIDDLE - x2, y2, MIDDLE - x1, y1, MIDDLE - x, y)
            path += "C" + " ".join(map(number, values))
    return path + "Z"


def ball(x: float, y: float, radius: float) -> str:
    return (
        f"M{number(x - radius)} {number(y)}a{radius} {radius} 0 1 0 {2 * radius:g} 0"
        f"a{radius} {radius} 0 1 0 {-2 * radius:g} 0z"
    )


def band(half: float, y: float, bend: float = 0) -> str:
    """Return a cut across the man; `bend` lets it sag like a ring seen from above."""
    left, right = number(MIDDLE - half), number(MIDDLE + half)
    if not bend:
        return f"M{left} {number(y)}H{right}"
    return f"M{left} {number(y)}Q{number(MIDDLE)} {number(y + bend)} {right} {number(y)}"


PAWN = mirrored(
    [
        ("M", 0, 9.2),
        ("C", 2.9, 9.2, 5.1, 11.4, 5.1, 14.2),
        ("C", 5.1, 15.8, 4.4, 17.2, 3.3, 18.1),
        ("L", 5.7, 18.5),
        ("C", 6.5, 18.7, 6.5, 20.5, 5.7, 20.7),
        ("L", 3.4, 21.1),
        ("C", 3.6, 26.2, 5.4, 29.4, 7.6, 32.4),
        *foot(7.6),
    ]
)
ROOK = mirrored(
    [
        ("M", 2, 8),
        ("L", 2, 11),
        ("L", 5, 11),
        ("L", 5, 8),
        ("L", 9.3, 8),
        ("L", 9.3, 14.2),
        ("C", 9.3, 15.6, 8.2, 16.2, 6.9, 17),
        ("C", 6.5, 22.4, 6.9, 27.6, 8.4, 32.4),
        *foot(8.4),
    ]
)
BISHOP = mirrored(
    [
        ("M", 0, 4.9),
        ("C", 1.5, 4.9, 2.6, 6, 2.6, 7.4),
        ("C", 2.6, 8.4, 2.1, 9.2, 1.4, 9.7),
        ("C", 5.2, 12, 7.6, 15.4, 7.6, 19),
        ("C", 7.6, 21.4, 6.4, 23.4, 4.7, 24.6),
        ("L", 6.4, 25),
        ("C", 7.2, 25.2, 7.2, 27, 6.4, 27.2),
        ("L", 4, 27.6),
        ("C", 4.3, 29.6, 5.8, 31.2, 8, 32.4),
        *foot(8),
    ]
)
# Five points with hollow sides between them; the balls are drawn into the outline.
QUEEN = (
    mirrored(
        [
            ("M", 0, 8.2),
            ("C", 0.7, 13.4, 1.7, 17.6, 3.5, 20.6),
            ("C", 5.6, 17.8, 7.1, 14.2, 7.9, 9.8),
            ("C", 8, 14.6, 8.6, 18.6, 9.9, 21.6),
            ("C", 12.6, 19.9, 14.8, 17.2, 16.7, 13.8),
            ("C", 15, 18.8, 13.4, 23.4, 12, 28.2),
            ("C", 11.6, 29.6, 10.2, 30.6, 9.6, 32.4),
            *foot(9.6),
        ]
    )
    + ball(22.5, 6.3, 1.9)
    + ball(14.3, 8.1, 1.9)
    + ball(30.7, 8.1, 1.9)
    + ball(5.5, 12.2, 1.9)
    + ball(39.5, 12.2, 1.9)
)
KING = mirrored(
    [
        ("M", 1.3, 2.6),
        ("L", 1, 5.1),
        ("L", 3.6, 4.8),
        ("L", 3.6, 7.9),
        ("L", 1, 7.6),
        ("L", 1.3, 11),
        ("C", 2.9, 11.7, 3.9, 13, 3.9, 14.8),
        ("C", 3.9, 15.7, 3.7, 16.6, 3.3, 17.5),
        ("C", 5.4, 15.5, 7.9, 14.4, 10.3, 14.4),
        ("C", 13.9, 14.4, 16.4, 16.9, 16.4, 20.2),
        ("C", 16.4, 24.2, 13.2, 26, 11.1, 28.8),
        ("C", 10.3, 29.9, 9.8, 31, 9.6, 32.4),
        *foot(9.6),
    ]
)
KNIGHT = (
    "M18.4 5C19.4 6.2 20.1 7.4 20.5 8.7C29.3 8.5 35.6 15.6 35.6 26.6C35.6 28.8 35.3 30.7 34.8 32.4"
    "C35 34.4 37.8 34.2 37.8 36.4L37.8 38.5C37.8 39.1 37.4 39.5 36.8 39.5L13.2 39.5"
    "C12.6 39.5 12.2 39.1 12.2 38.5L12.2 36.4C12.2 34.2 15 34.4 15.2 32.4"
    "C15.5 27.7 20 26 21.7 22.4C22.2 21.3 22.3 20.3 22.1 19.2C20.6 20.9 18.9 21.8 16.6 22.1"
    "C15.2 22.6 14.6 24.3 13.2 25.4C12.1 26.2 10.8 26.3 9.7 25.6L8.4 26.5"
    "C6.8 25.9 5.9 24.4 6.3 22.7C7.9 19.9 9.8 17.5 10.7 14.6"
    "C11.3 12.7 12.5 11.3 14.3 10.2C14.4 8.6 14.2 7.3 13.8 5.8"
    "C15.2 6.6 16.2 7.6 16.9 8.8C17.4 7.6 17.9 6.3 18.4 5Z"
)

BODIES = {"p": PAWN, "r": ROOK, "b": BISHOP, "n": KNIGHT, "q": QUEEN, "k": KING}

CUTS = {
    "p": band(3.2, 21.1) + band(7, 32.6) + band(10.2, 36.5),
    "r": band(6.9, 17) + band(8, 32.4) + band(11, 36.5),
    "b": band(4, 27.6) + band(7.6, 32.6) + band(10.6, 36.5) + "M25.7 12.5L21.2 19.7",
    "q": band(11.4, 28.6, -2.4) + band(9.4, 32.4, -1.8) + band(12.2, 36.5),
    "k": band(10.6, 28.9, -2.4)
    + band(9.4, 32.4, -1.8)
    + band(12.2, 36.5)
    + "M22.5 26.7C22.4 22.8 23.8 19.4 25.8 17.5M22.5 26.7C22.6 22.8 21.2 19.4 19.2 17.5",
    "n": "M15.4 32.6H34.6M12.8 36.5H37.2M24.2 11.6C29.6 13.4 32.3 19.2 32.3 26.4"
    "C32.3 27.8 32.2 29 32 30.2M9.1 23.1C9.5 22.6 10.1 22.4 10.6 22.5",
}
EYE = "M14.7 15.2C15.3 14.1 16.7 13.6 17.8 14.1C17.5 15.4 16 16 14.7 15.2Z"
STROKES = {
    "p": "M25.7 12C26.6 13.2 26.5 15 25.6 16.3M24.4 23.4C24.8 27 26.1 29.6 27.9 32"
    "M22.7 24.4C23 27.6 24 30 25.3 32",
    "r": "M27.3 18.7C27 23 27.3 26.6 28.2 30.4M25.2 18.7C25 23 25.2 26.6 25.8 30.4"
    "M23.1 18.7C23 23 23 26.6 23.3 30.4",
    "b": "M28.4 16.8C28.8 19.2 28.2 21.4 26.6 23.3M26.3 18.4C26.5 20.4 25.9 22 24.6 23.5"
    "M24.8 29C25.3 30.4 26.3 31.5 27.6 32.2",
    "q": "M34.8 20.4L32.7 26.5M32.3 22.9L30.8 26M29.6 16.4L29 25.5M27.3 21.4L26.8 25.2"
    "M23.7 16.6L23.9 25.1",
    "k": "M36.8 20C36.8 23 34.5 24.4 32.6 26.8M34.6 18.3C35 21.4 32.5 23.4 30.8 26.3"
    "M31.9 17.3C32.7 20.4 30 22.6 28.6 25.9M29 17.8C29.5 20.4 27.2 22.8 26.6 25.7",
    "n": "M30.1 19.6C30.8 22.8 30.7 27 30.1 31M28 18.4C28.8 22.6 28.6 27.2 27.6 31"
    "M25.9 20.4C26.6 23.8 26.3 27.6 25.2 31M23.9 23.6C24.1 26.4 23.7 28.8 22.7 31",
}

PAINTS = {
    "pc-h": {"stroke": "@board", "width": 4.2, "join": "round"},
    "pc-w": {"fill": "@man-light", "stroke": "@man-line", "width": 1.5, "join": "round"},
    "pc-s": {"stroke": "@man-line", "width": 0.66, "cap": "round"},
    "pc-l": {"stroke": "@man-line", "width": 1.05, "cap": "round"},
    "pc-e": {"fill": "@man-line"},
    "pc-b": {"fill": "@man-dark", "stroke": "@man-dark-line", "width": 1.5, "join": "round"},
    "pc-c": {"stroke": "@man-cut", "width": 1.05, "cap": "round"},
    "pc-f": {"fill": "@man-cut"},
}


def men() -> dict[str, list[list[str]]]:
    found = {}
    for name in "kqrbnp":
        eye = EYE if name == "n" else ""
        white = [["pc-h", f"@{name}"], ["pc-w", f"@{name}"], ["pc-s", STROKES[name]]]
        black = [["pc-h", f"@{name}"], ["pc-b", f"@{name}"], ["pc-c", CUTS[name]]]
        found[name.upper()] = [*white, ["pc-l", CUTS[name]], *([["pc-e", eye]] if eye else [])]
        found[name] = [*black, *([["pc-f", eye]] if eye else [])]
    return found


if __name__ == "__main__":
    drawings = {"paints": PAINTS, "bodies": BODIES, "men": men()}
    target = Path(__file__).with_name("pieces.json")
    target.write_text(json.dumps(drawings, indent=1, sort_keys=True) + "\n", encoding="utf-8")
