"""Claims of a course: true ones pass, false ones stop publication, drafts are not spared."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers import check_course
from plybook.board.claims import Budget
from plybook.course import Course
from plybook.desk.work import CHECK, Work, run
from plybook.diagnostics import Diagnostic

LESSON = """---
title: Claims
{draft}---

```moves open
1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. Ng5
```

```claims open@{place}
{claims}
```
"""


def check(
    folder: Path, claims: str, *, place: str = "4.Ng5", draft: str = ""
) -> tuple[Course, list[Diagnostic]]:
    lesson = LESSON.format(claims=claims, place=place, draft=draft)
    check_course(folder, {"lessons/01-claims.md": lesson})
    work = run(CHECK, Work(folder=folder))
    assert work.course is not None
    return work.course, list(work.report)


def test_true_claims_pass_and_keep_their_verdicts(tmp_path: Path) -> None:
    course, found = check(tmp_path, "f7 is attacked 2 times by White and guarded 1 time")
    assert found == []
    (settled,) = course.verdicts.values()
    assert settled.verdict.reach.value == "proved"
    assert str(settled.reference) == "open@4.Ng5"


def test_no_defence_is_answered_with_the_defences(tmp_path: Path) -> None:
    """Of 4.Ng5 in the Two Knights it is often said that f7 cannot be defended; 4...d5 does it."""
    _, found = check(
        tmp_path, "White threatens to win 1 on f7\nthe only reply to the threat is 4...Nd5"
    )
    (fault,) = found
    assert fault.code == "false-claim"
    assert (fault.span.line, fault.span.column) == (11, 1)
    assert "4...d5" in " ".join(fault.notes)


def test_a_false_claim_in_a_draft_is_found_too(tmp_path: Path) -> None:
    course, found = check(tmp_path, "f7 is loose", draft="draft: true\n")
    assert [fault.code for fault in found] == ["false-claim"]
    assert len(course.lessons) == 0


def test_what_runs_out_of_positions_is_a_warning_and_no_pass(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plybook.course.claims.Budget", lambda: Budget(search_nodes=20))
    course, found = check(tmp_path, "4...d5 wins 1 or more, depth 5")
    (fault,) = found
    assert (fault.code, fault.severity.value) == ("claim-not-settled", "warning")
    (settled,) = course.verdicts.values()
    assert not settled.verdict.reach.is_good


def test_a_claim_about_a_line_that_broke_off_is_not_asked(tmp_path: Path) -> None:
    """The move that is missing has been reported; the claim is not blamed for it."""
    lesson = LESSON.format(
        claims="5.Qh5 wins 1 or more by the lines given", place="4.Ng5", draft=""
    )
    broken = lesson.replace("4. Ng5", "4. Ng5 Kxf7")
    check_course(tmp_path, {"lessons/01-claims.md": broken})
    work = run(CHECK, Work(folder=tmp_path))
    assert [fault.code for fault in work.report] == ["illegal-move"]


@pytest.mark.parametrize("content", [b"", b"{", b'{"version": 1, "verdicts": 3}', b"\xff\x00"])
def test_a_spoilt_cache_costs_time_and_nothing_else(
    tmp_path: Path, content: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PLYBOOK_CACHE", str(tmp_path / "cache"))
    claims = "f7 is loose\nf7 is attacked 2 times by White and guarded 1 time"
    _, first = check(tmp_path, claims)
    (tmp_path / "cache" / "verdicts.json").write_bytes(content)
    _, again = check(tmp_path, claims)
    assert first == again
    assert [fault.code for fault in again] == ["false-claim"]


def test_a_cache_cannot_pass_a_claim_of_another_position(tmp_path: Path) -> None:
    """The same sentence at another place is another claim."""
    _, found = check(tmp_path, "f7 is attacked 2 times by White and guarded 1 time")
    assert found == []
    _, found = check(tmp_path, "f7 is attacked 2 times by White and guarded 1 time", place="3.Bc4")
    assert [fault.code for fault in found] == ["false-claim"]
