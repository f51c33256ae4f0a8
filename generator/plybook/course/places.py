"""Finding a place of a line from a reference: exactly one position must match."""

from __future__ import annotations

from plybook.board.model import Line, Ply
from plybook.diagnostics import Report, near_miss
from plybook.text.model import Reference, Step

__all__ = ["chain_of", "find_steps", "matches", "resolve_in_line"]


def matches(ply: Ply, step: Step) -> bool:
    """Return whether a ply is the move a step names; `+` and `#` do not matter."""
    return (
        ply.number == step.number
        and (ply.mover == "white") == step.is_white
        and ply.san.rstrip("+#") == step.san.rstrip("+#")
    )


def find_steps(line: Line, steps: tuple[Step, ...]) -> tuple[int, ...]:
    """Return every place that the steps lead to: each step lies behind the one before it."""
    *before, last = steps
    found = []
    for ply in line.plies:
        if matches(ply, last) and _passes(line, ply.parent, before):
            found.append(ply.index)
    return tuple(found)


def _passes(line: Line, place: int, steps: list[Step]) -> bool:
    waiting = list(steps)
    while place and waiting:
        ply = line.plies[place - 1]
        if matches(ply, waiting[-1]):
            waiting.pop()
        place = ply.parent
    return not waiting


def resolve_in_line(line: Line, reference: Reference, *, report: Report) -> int | None:
    """Return the place a reference names, or None after a report.

    In a line that could not be played to its end, what is not found may still have been written:
    then nothing is reported.
    """
    if reference.edge == "start":
        return 0
    if reference.edge == "end":
        if not line.is_whole:
            return None
        return max((ply.index for ply in line.main()), default=0)
    found = find_steps(line, reference.steps)
    if len(found) == 1:
        return found[0]
    if found:
        chains = [chain_of(line, place) for place in found]
        report.add(
            "ambiguous-reference",
            reference.span,
            f"`{reference.steps[-1]}` stands at {len(found)} places of `{line.name}`",
            help=f"write {_listed([f'{line.name}@{chain}' for chain in chains])}",
        )
    elif line.is_whole:
        _report_unresolved(line, reference, report)
    return None


def _report_unresolved(line: Line, reference: Reference, report: Report) -> None:
    step = reference.steps[-1]
    labels = [ply.label.rstrip("+#") for ply in line.plies]
    same = [label for label in labels if label.split(".")[0] == str(step.number)]
    near = near_miss(str(step), labels)
    offered = list(dict.fromkeys(([near] if near else []) + same))[:5]
    report.add(
        "unresolved-reference",
        reference.span,
        f"no move `{step}` in `{line.name}`"
        if len(reference.steps) == 1
        else f"no `{'>'.join(map(str, reference.steps))}` in `{line.name}`",
        notes=("the line may have been edited since this was written",),
        help=f"moves near it: {', '.join(f'`{label}`' for label in offered)}" if offered else (),
    )


def chain_of(line: Line, place: int) -> str:
    """Return a reference's place part that names exactly this place, as short as can be."""
    path = line.path(place)
    labels = [line.plies[index - 1] for index in path]
    steps: list[Step] = []
    for ply in reversed(labels):
        steps.insert(
            0, Step(number=ply.number, is_white=ply.mover == "white", san=ply.san.rstrip("+#"))
        )
        if len(find_steps(line, tuple(steps))) == 1:
            break
    return ">".join(map(str, steps))


def _listed(items: list[str]) -> str:
    quoted = [f"`{item}`" for item in items]
    shown = quoted[:5]
    more = f" (and {len(quoted) - 5} more)" if len(quoted) > 5 else ""
    return (", ".join(shown[:-1]) + f" or {shown[-1]}" if len(shown) > 1 else shown[0]) + more
