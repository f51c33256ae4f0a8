"""The chart of a line: for both sides, ply by ply, the knights and bishops that are out.

White stands above the axis, Black below. A short line has a stack of small men for each ply, so
that a reader counts them; a long line has a stair of bricks, a brick for each man, and on each
step the man that made it. All numbers are the ledger's.

The page script moves no man here. Each variation is a group that lies over what it replaces and is
shown while the reader is in it; one veil lies over what is still to come.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final, Literal, NamedTuple

from markupsafe import Markup, escape

from plybook.board import ledger
from plybook.board.model import Line, Side
from plybook.site.drawing.rail import ROW, WIDTH, Ruler, depths_of, draw_hooks, draw_numbers
from plybook.site.drawing.sprite import man_id
from plybook.site.wording.tree import walk
from plybook.site.wording.words import Words, after, out_words

__all__ = [
    "chart_svg",
    "chart_words",
    "count_signs",
    "has_chart",
    "is_telling",
    "men_out",
    "still_chart",
]

_SIDES: Final[tuple[Side, Side]] = ("white", "black")
_WIDEST: Final = 27.0
_MOST_STACKS: Final = 20  # plies; narrower columns would hide a man behind the next
_SCALE: Final = 0.42  # of the drawings, whose men stand in a box of 45 with their feet at 39
_FEET: Final = 39.0
_HEAD: Final = 6.0
_BREADTH: Final = 34.0  # of the broadest man in that box
_PITCH: Final = 16.0  # from man to man in a stack
_BRICK: Final = 8.0
_BAND: Final = 18.0  # between the two sides, for the numbers
_SMALLEST: Final = 0.28
#: The counts of a place are written with one sign each, as the script reads them.
_SIGNS: Final = "0123456789abcdefghijklmnopqrstuvwxyz"
#: Fewer men than this come out in a line whose chart is not worth the paper.
_FEWEST_PRINTED: Final = 3


class _Stand(NamedTuple):
    """What one side has at one place: men that are out (knights first), king, tempi lost."""

    men: str
    has_castled: bool
    lost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """The places of one variation one after another, with the place it leaves (-1: none)."""

    parent: int
    places: Sequence[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scene:
    """A chart to be drawn: what stands where, and the measures of the picture."""

    line: Line
    stands: Mapping[Side, Sequence[_Stand]]  # by place
    depths: Sequence[int]
    parents: Sequence[int]
    ruler: Ruler
    bottom: float  # where Black's men end
    is_stacked: bool
    scale: float

    def base(self, side: Side) -> float:
        """Return where a side's men begin."""
        return self.ruler.axis - 2.5 if side == "white" else self.ruler.axis + _BAND


def men_out(account: ledger.Account) -> str:
    """Return the men of a side that are out as letters, knights before bishops: `nnb`."""
    men = account.men
    found = (*men.toward, *men.against, *men.elsewhere, *men.rim)
    return "".join(sorted((stone.man for stone in found), reverse=True))


def has_chart(book: ledger.Ledger) -> bool:
    """Return whether a line has a chart: men are at home when it begins, and that changes.

    Endings, and lines whose men are all out, keep the plain rail: it would be the same twice.
    """
    first = book.entries[0]
    at_home = (*first.white.men.asleep, *first.black.men.asleep)
    shown = {
        (men_out(entry.white), men_out(entry.black), _castled(entry.white), _castled(entry.black))
        for entry in book.entries
    }
    return len(shown) > 1 and any(stone.man in "nb" for stone in at_home)


def is_telling(line: Line, book: ledger.Ledger) -> bool:
    """Return whether the chart is worth printing: in the main line some men come out."""
    stands = _stands(book)
    parents = _parents(line)
    main = [ply.index for ply in line.main()]
    return (
        has_chart(book)
        and sum(bool(_newcomers(stands[side], parents, place)) for side in _SIDES for place in main)
        >= _FEWEST_PRINTED
    )


def count_signs(book: ledger.Ledger, *, of: Literal["out", "lost"]) -> str:
    """Return two signs a place, White's count and Black's: men out, or tempi the queen lost."""
    return "".join(
        _SIGNS[account.men.out if of == "out" else account.queen_tempi]
        for entry in book.entries
        for account in (entry.white, entry.black)
    )


def chart_svg(line: Line, book: ledger.Ledger, *, letters: Mapping[int, str]) -> Markup:
    """Return the chart of a line as the rail under the plate; see rail.py for its measures."""
    scene = _scene(line, book)
    ruler = scene.ruler
    hooks, rows = draw_hooks(line, letters, list(scene.depths), ruler, has_rows=False)
    height = scene.bottom + (4 + ROW * rows if rows else 2)
    drawn = "".join(_group(scene, run) for run in _runs(line))
    half = ruler.column / 2
    return Markup(  # names and letters are escaped, the rest is numbers
        f'<svg class="rail ch" data-line="{escape(line.name)}" data-x="{ruler.left:.4g}"'
        f' data-w="{ruler.column:.4g}" viewBox="0 0 {WIDTH:g} {height:g}" aria-hidden="true">'
        f'{drawn}<path class="veil" d="M{half:.4g} 0h{2 * WIDTH:g}V{scene.bottom:g}H{half:.4g}z"/>'
        f'{hooks}<path class="now" d="M{-half:.4g} 0h{2 * half:.4g}V{scene.bottom:g}'
        f'h{-2 * half:.4g}z"/></svg>'
    )


def still_chart(line: Line, book: ledger.Ledger, *, label: str) -> Markup:
    """Return the main line's chart by itself, for paper and for pages without the script."""
    scene = _scene(line, book, is_still=True)
    main = next(_runs(line))
    return Markup(  # the label is escaped, the rest is numbers
        f'<svg class="ch" viewBox="0 0 {WIDTH:g} {scene.bottom + 2:g}" role="img"'
        f' aria-label="{escape(label)}">{_group(scene, main)}</svg>'
    )


def chart_words(line: Line, book: ledger.Ledger, words: Words, *, letters: str) -> str:
    """Return the main line's chart in words: the counts wherever they change.

    `letters` is the letter set of the moves.
    """
    first = book.entries[0]
    parts = [f"{out_words(first, words)}."]
    told = out_words(first, words, has_name=False)
    for ply in line.main():
        said = out_words(book.entries[ply.index], words, has_name=False)
        if said != told:
            told = said
            parts.append(f"{after(ply, words, letters=letters)}: {said}.")
    return " ".join(parts)


# ---------------------------------------------------------------- what is shown


def _castled(account: ledger.Account) -> bool:
    return account.king.state is ledger.KingState.CASTLED


def _stands(book: ledger.Ledger) -> dict[Side, list[_Stand]]:
    return {
        side: [
            _Stand(men_out(account), _castled(account), account.queen_tempi)
            for account in (entry.account(side) for entry in book.entries)
        ]
        for side in _SIDES
    }


def _parents(line: Line) -> list[int]:
    return [-1, *(ply.parent for ply in line.plies)]


def _newcomers(stands: Sequence[_Stand], parents: Sequence[int], place: int) -> str:
    """Return what one side gains on a ply: a man (`n`, `b`), the castled king (`k`), or a tempo
    that its queen lost (`q`)."""
    if parents[place] < 0:
        return "k" * stands[place].has_castled
    now, before = stands[place], stands[parents[place]]
    men = "".join(man * max(0, now.men.count(man) - before.men.count(man)) for man in "nb")
    return men + "k" * (now.has_castled > before.has_castled) + "q" * (now.lost > before.lost)


def _runs(line: Line) -> Iterator[_Run]:
    """Yield the variations of a line in the order of their first plies, the main line first."""
    runs: list[tuple[int, list[int]]] = [(-1, [0])]
    open_runs = [runs[0][1]]
    for closes, begins, ply in walk(line):
        for _ in range(closes):
            open_runs.pop()
        if begins:
            runs.append((ply.parent, []))
            open_runs.append(runs[-1][1])
        open_runs[-1].append(ply.index)
    return (_Run(parent=parent, places=places) for parent, places in runs)


def _scene(line: Line, book: ledger.Ledger, *, is_still: bool = False) -> _Scene:
    """Return what is to be drawn; a still chart has the main line alone, as a stair."""
    stands, parents, depths = _stands(book), _parents(line), depths_of(line)
    places = [0, *(ply.index for ply in (line.main() if is_still else line.plies))]
    columns = max(depths[place] for place in places)
    is_stacked = columns <= _MOST_STACKS and not is_still
    column = min(_WIDEST, WIDTH / (columns + 1))
    scale = min(_SCALE, max(_SMALLEST, 2 * column / _BREADTH))
    rooms = [
        ceil(max(_room(stands[side], parents, place, is_stacked, scale) for place in places))
        for side in _SIDES
    ]
    axis = rooms[0] + 5
    bottom = axis + _BAND + rooms[1] + 2
    return _Scene(
        line=line,
        stands=stands,
        depths=depths,
        parents=parents,
        ruler=Ruler(left=column / 2, column=column, axis=axis, first_row=bottom + 3),
        bottom=bottom,
        is_stacked=is_stacked,
        scale=scale,
    )


def _room(
    stands: Sequence[_Stand], parents: Sequence[int], place: int, is_stacked: bool, scale: float
) -> float:
    """Return the height that one side needs at a place."""
    if is_stacked:
        return _PITCH * len(_stack(stands, parents, place))
    man = (_FEET - _HEAD) * scale + 1 if _newcomers(stands, parents, place) else 0.0
    return _BRICK * len(stands[place].men) + man


def _stack(stands: Sequence[_Stand], parents: Sequence[int], place: int) -> str:
    """Return what a stack holds from the axis outward: men, the castled king, a queen that ran."""
    stand = stands[place]
    ran = "q" if "q" in _newcomers(stands, parents, place) else ""
    return stand.men + "k" * stand.has_castled + ran


# ---------------------------------------------------------------- drawing


def _group(scene: _Scene, run: _Run) -> str:
    """Return one variation with its part of the axis; a sideline covers what it replaces."""
    ruler = scene.ruler
    first, last = scene.depths[run.places[0]], scene.depths[run.places[-1]]
    left, right = ruler.x(first - 0.5), ruler.x(last + 0.5)
    plies = [(scene.depths[place], scene.line.plies[place - 1]) for place in run.places if place]
    cover = named = ""
    if run.parent >= 0:
        named = f' data-i="{run.places[0]}"'
        cover = f'<path class="cv" d="M{left} 0H{2 * WIDTH:g}V{scene.bottom:g}H{left}z"/>'
    draw = _stacks if scene.is_stacked else _stairs
    return (
        f'<g class="seg"{named}>{cover}{"".join(draw(scene, run, side) for side in _SIDES)}'
        f'<path class="ax" d="M{left} {ruler.axis:g}H{right}"/>'
        f"{_marks_of_plies(scene, run)}{draw_numbers(plies, ruler, below=13)}</g>"
    )


def _marks_of_plies(scene: _Scene, run: _Run) -> str:
    """Return a dash for the start and a dot for each of Black's plies, where there is room."""
    if not scene.is_stacked:
        return ""
    y = scene.ruler.axis + 9
    dots = "".join(
        f"M{scene.ruler.x(scene.depths[place])} {y:g}h0"
        for place in run.places
        if place and scene.line.plies[place - 1].mover == "black"
    )
    start = f"M{scene.ruler.at(0) - 3:.4g} {y:g}h6" if run.parent < 0 else ""
    return f'<path class="dot" d="{start}{dots}"/>'


def _stacks(scene: _Scene, run: _Run, side: Side) -> str:
    stands, base = scene.stands[side], scene.base(side)
    way = -_PITCH if side == "white" else _PITCH
    return _tokens(
        scene,
        side,
        (
            (scene.depths[place], man, base + way * at)
            for place in run.places
            for at, man in enumerate(_stack(stands, scene.parents, place))
        ),
    )


def _stairs(scene: _Scene, run: _Run, side: Side) -> str:
    """Return a side's bricks, each as long as its man is out, and the men on their steps."""
    stands, base = scene.stands[side], scene.base(side)
    way = -_BRICK if side == "white" else _BRICK
    counts = [len(stands[place].men) for place in run.places]
    first = scene.depths[run.places[0]]
    bricks = []
    for level in range(max(counts)):
        for start, end in _stretches(counts, level):
            left, right = (scene.ruler.x(first + at - 0.5) for at in (start, end))
            bricks.append(f"M{left} {base + way * level:g}H{right}v{way:g}H{left}z")
    men = _tokens(
        scene,
        side,
        (
            (scene.depths[place], man, base + way * len(stands[place].men))
            for place in run.places
            for man in _newcomers(stands, scene.parents, place)
        ),
    )
    return f'<path class="{side[0]}" d="{"".join(bricks)}"/>{men}'


def _stretches(counts: Sequence[int], level: int) -> Iterator[tuple[int, int]]:
    """Yield where at least `level + 1` men are out, as half-open ranges of columns."""
    start: int | None = None
    for at, count in enumerate((*counts, 0)):
        if count > level and start is None:
            start = at
        elif count <= level and start is not None:
            yield start, at
            start = None


def _tokens(scene: _Scene, side: Side, men: Iterable[tuple[int, str, float]]) -> str:
    """Return small men by depth, letter, and where the feet (White) or the head (Black) are.

    A queen is shown where she lost a move, struck through.
    """
    scale = scene.scale
    drawn, strikes = [], []
    for depth, man, end in men:
        x = scene.ruler.at(depth)
        top = end - _FEET * scale if side == "white" else end - _HEAD * scale + 1
        name = man_id(man.upper() if side == "white" else man)
        drawn.append(f'<use href="#{name}" x="{x / scale - 22.5:.0f}" y="{top / scale:.0f}"/>')
        if man == "q":
            strikes.append(f"M{x - 8:.4g} {top + 36 * scale:.4g}l16 {-26 * scale:.4g}")
    if not drawn:
        return ""
    struck = "".join(strikes)
    lost = f'<path class="rh" d="{struck}"/><path class="run" d="{struck}"/>' if strikes else ""
    return f'<g transform="scale({scale:.3g})">{"".join(drawn)}</g>{lost}'
