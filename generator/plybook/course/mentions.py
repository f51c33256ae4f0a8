"""Moves in running text: which position of which line each of them means."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from plybook.board.model import Line
from plybook.course.model import Place
from plybook.course.places import chain_of
from plybook.diagnostics import Report, Span, near_miss
from plybook.text.model import (
    DiagramDraft,
    LessonDraft,
    Mention,
    MovesDraft,
    Prose,
    Reference,
)
from plybook.text.walk import plies_of

__all__ = ["resolve_mentions"]


@dataclass(frozen=True, slots=True)
class _Passage:
    """Running text with the lines to look in, nearest first, and the place it speaks of."""

    prose: Prose
    own_line: str | None
    own_place: int | None


def resolve_mentions(
    draft: LessonDraft,
    lines: Mapping[str, Line],
    targets: Mapping[Reference, Place],
    *,
    report: Report,
) -> dict[Span, Place]:
    """Return the place of every mention of a lesson that stands in one of its lines.

    A run of moves is looked up as a whole: in the nearest `moves` block above, then in the blocks
    before that, then in those below. Within a line the longest match counts, then one that follows
    on from the move mentioned before, then the main line.
    """
    resolver = _Resolver(draft, lines, report)
    for passage in _passages(draft, lines, targets):
        resolver.resolve(passage)
    return resolver.found


def _passages(
    draft: LessonDraft, lines: Mapping[str, Line], targets: Mapping[Reference, Place]
) -> Iterator[_Passage]:
    yield _Passage(draft.prose, None, None)
    for block in draft.blocks:
        if isinstance(block, DiagramDraft) and block.caption is not None:
            place = targets.get(block.place)
            is_own = place is not None and place.lesson == draft.slug
            yield _Passage(
                block.caption,
                place.line if place and is_own else None,
                place.index if place and is_own else None,
            )
        elif isinstance(block, MovesDraft) and block.name in lines:
            by_span = {ply.span: ply.index for ply in lines[block.name].plies}
            for ply in plies_of(block.movetext.main):
                at = by_span.get(ply.span)
                for comment in (*ply.comments_before, *ply.comments):
                    if comment.prose.mentions:
                        yield _Passage(comment.prose, block.name, at)


class _Resolver:
    def __init__(self, draft: LessonDraft, lines: Mapping[str, Line], report: Report) -> None:
        self.found: dict[Span, Place] = {}
        self._slug = draft.slug
        self._lines = lines
        self._report = report
        self._blocks = [
            (block.span.line, block.name)
            for block in draft.blocks
            if isinstance(block, MovesDraft) and block.name in lines
        ]
        self._labels = {name: _labels(line) for name, line in lines.items()}
        self._has_whole = (
            None not in draft.blocks  # it may have been a moves block
            and all(line.is_whole for line in lines.values())
            and len(lines) == sum(isinstance(block, MovesDraft) for block in draft.blocks)
        )

    def resolve(self, passage: _Passage) -> None:
        last = (
            (passage.own_line, passage.own_place)
            if passage.own_line is not None and passage.own_place is not None
            else None
        )
        for _, group in groupby(passage.prose.mentions, key=lambda mention: mention.run):
            run = list(group)
            while run:
                taken, last = self._take(run, passage, last)
                run = run[taken:]
                while run and run[0].optional:  # it does not go on from the move before it
                    del run[0]

    def _take(
        self,
        run: Sequence[Mention],
        passage: _Passage,
        last: tuple[str, int] | None,
    ) -> tuple[int, tuple[str, int] | None]:
        """Resolve the head of a run; return how many mentions are done, and the last place."""
        for name in self._order(run[0].span.line, passage.own_line):
            ways = _ways(self._lines[name], self._labels[name], run)
            if not ways:
                continue
            way = self._choose(name, ways, run[0], last)
            for mention, index in zip(run, way, strict=False):
                self.found[mention.span] = Place(self._slug, name, index)
            return len(way), (name, way[-1])
        if self._has_whole:
            self._report_missing(run[0], passage)
        return 1, last

    def _order(self, line: int, own: str | None) -> list[str]:
        above = [name for at, name in self._blocks if at <= line][::-1]
        below = [name for at, name in self._blocks if at > line]
        names = [*above, *below]
        return [own, *(name for name in names if name != own)] if own else names

    def _choose(
        self,
        name: str,
        ways: list[tuple[int, ...]],
        mention: Mention,
        last: tuple[str, int] | None,
    ) -> tuple[int, ...]:
        line = self._lines[name]
        longest = max(map(len, ways))
        best = [way for way in ways if len(way) == longest]
        if last and last[0] == name:
            near = [way for way in best if _belongs(line, way[0], last[1])]
            best = near or best
        main = [way for way in best if line.plies[way[0] - 1].depth == 0]
        if len(best) > 1 and not main and len({line.key(way[0]) for way in best}) > 1:
            chains = [f"{name}@{chain_of(line, way[0])}" for way in best[:5]]
            self._report.add(
                "ambiguous-mention",
                mention.span,
                f"`{mention.step}` stands in several sidelines of `{name}`; the first is taken",
                help=(
                    f"write a link: [{mention.step}]({chains[0]})",
                    f"other places: {', '.join(chains[1:])}",
                ),
            )
        return (main or best)[0]

    def _report_missing(self, mention: Mention, passage: _Passage) -> None:
        names = self._order(mention.span.line, passage.own_line)
        labels = [label for name in names for label in self._labels[name]]
        step = str(mention.step)
        near = near_miss(step, labels)
        same = [label for label in labels if label.split(".")[0] == str(mention.step.number)]
        offered = list(dict.fromkeys([*([near] if near else []), *same]))[:3]
        self._report.add(
            "move-not-in-lesson",
            mention.span,
            f"`{step}` stands in no line of this lesson",
            help=(
                *(
                    [f"moves near it: {', '.join(f'`{label}`' for label in offered)}"]
                    if offered
                    else []
                ),
                "put it between backquotes if it is not meant to be pressed",
            ),
        )


def _labels(line: Line) -> dict[str, list[int]]:
    """Return the places of a line by the label of the move that leads there."""
    labels: dict[str, list[int]] = {}
    for ply in line.plies:
        labels.setdefault(ply.label.rstrip("+#"), []).append(ply.index)
    return labels


def _ways(
    line: Line, labels: Mapping[str, list[int]], run: Sequence[Mention]
) -> list[tuple[int, ...]]:
    """Return, for each place the first mention can mean, how far the run follows the line."""
    ways = []
    for first in labels.get(_label(run[0]), ()):
        way = [first]
        for mention in run[1:]:
            following = [
                place
                for place in labels.get(_label(mention), ())
                if line.plies[place - 1].parent == way[-1]
            ]
            if not following:
                break
            way.append(following[0])
        ways.append(tuple(way))
    return ways


def _label(mention: Mention) -> str:
    return str(mention.step).rstrip("+#")


def _belongs(line: Line, place: int, last: int) -> bool:
    """Return whether a place lies behind the last one, or replaces it."""
    path = line.path(place)
    return last in path or (
        last > 0 and line.plies[place - 1].parent in (last, line.plies[last - 1].parent)
    )
