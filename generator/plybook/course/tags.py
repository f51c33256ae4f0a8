"""What the coach says of moves in `tags` blocks, held against what the ledger finds."""

from __future__ import annotations

from plybook.board import ledger
from plybook.course.evidence import Finding, Findings, other_side
from plybook.diagnostics import Report, shown
from plybook.text.model import TagDraft

__all__ = ["check_tags"]


def check_tags(findings: Findings, *, report: Report) -> None:
    """Report tags that the ledger contradicts, and punishments of what nobody has broken.

    A tag with a reason is the coach's own business.
    """
    for place, tag in findings.tags():
        if tag.reason:
            continue
        if tag.verb != "punishes":
            _check_conduct(findings.of_mover(place, tag.principle), tag, report)
            continue
        mover = findings.ply(place).mover
        if not findings.is_after_breach(place, tag.principle, other_side(mover)):
            report.add(
                "punishes-nothing",
                tag.span,
                f"nobody has broken `{shown(tag.principle)}` before `{tag.place.steps[-1]}`",
                help=(
                    "tag the move that breaks it with `breaks`",
                    'or add your reason: `anyway "…"`',
                ),
            )


def _check_conduct(found: Finding | None, tag: TagDraft, report: Report) -> None:
    if found is None or (tag.verb == "obeys") == (found.verb in {"kept", "justified"}):
        return
    move, principle = f"`{tag.place.steps[-1]}`", f"`{shown(tag.principle)}`"
    message = {
        "kept": f"the ledger finds that {move} keeps {principle}",
        "broken": f"the ledger finds that {move} breaks {principle}",
        "justified": f"the ledger finds a reason for {move} to break {principle}",
    }[found.verb]
    report.add(
        "tag-contradicts",
        tag.span,
        message,
        notes=("; ".join(map(ledger.say, found.facts)),),
        help='change the tag, or add your reason: `anyway "…"`',
    )
