"""What is taken up from earlier runs changes no report and no byte of a page."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from plybook.desk.work import CHECK, Work, run
from plybook.kept import Kept
from plybook.site.pages.edition import course_view
from plybook.site.pages.kept_site import KeptSite
from plybook.site.pages.stock import Stock
from plybook.site.pages.theme import load_theme
from preview.editing import Editor, write_course

_EDITS = 40


@dataclass(frozen=True)
class Outcome:
    """What a run comes to: all that is reported, and every file of a course without a fault."""

    found: tuple[object, ...]
    sources: dict[str, str]
    files: dict[str, bytes]


def outcome_of(folder: Path, kept: Kept, *, shows_drafts: bool) -> Outcome:
    work = run(CHECK, Work(folder=folder, kept=kept, shows_drafts=shows_drafts))
    assert work.course is not None
    assert work.draft is not None
    files = {}
    if not work.report.errors:
        stock = Stock(
            work.course,
            load_theme(work.course.file.theme),
            view=course_view(work.course),
            images=work.images,
            is_for_coach=shows_drafts,
        )
        files = KeptSite(stock, kept).files()
    return Outcome(work.report.sorted(), dict(work.draft.sources), files)


@pytest.mark.parametrize("shows_drafts", [False, True], ids=["students", "coach"])
@pytest.mark.parametrize("seed", range(5))
def test_a_run_that_takes_up_earlier_ones_equals_a_clean_run(
    tmp_path: Path, seed: int, shows_drafts: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if seed % 2:  # later, when the signs of a file are trusted and it is not read again
        now = time.time_ns
        monkeypatch.setattr("plybook.text.source.time.time_ns", lambda: now() + 10**10)
    write_course(tmp_path)
    editor, kept = Editor(tmp_path, seed), Kept()
    first = outcome_of(tmp_path, kept, shows_drafts=shows_drafts)
    assert len(first.files) > 20, first.found
    done, built = ["at first"], 0
    for _ in range(_EDITS):
        done.append(editor.edit())
        with_kept = outcome_of(tmp_path, kept, shows_drafts=shows_drafts)
        clean = outcome_of(tmp_path, Kept(), shows_drafts=shows_drafts)
        assert with_kept.found == clean.found, done
        if shows_drafts:  # what the coach is told is what `check` tells
            assert with_kept.found == run(CHECK, Work(folder=tmp_path)).report.sorted(), done
        assert with_kept.sources == clean.sources, done
        assert list(with_kept.files) == list(clean.files), done
        for path, content in clean.files.items():
            assert with_kept.files[path] == content, (path, done)
        built += bool(clean.files)
    assert _EDITS / 8 < built < _EDITS, f"only {built} of {_EDITS} edits led to a site"


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("lessons/04-on.md", "2.Nf3 obeys out-first\n", ""),  # speaks for the move everywhere
        ("lessons/02-pins.md", "1. e4 e5 2. Nf3 Nc6", "1. Nf3 e5 2. e4 Nc6"),  # a game goes on
        ("lessons/02-pins.md", "3. Bb5 a6\n", "3. Bb5 a6 4. Ba4 Nf6\n"),  # meets another line
        ("lessons/04-on.md", "4. Ba4 Nf6", "4. Ba4 (4. Bxc6 dxc6) 4... Nf6"),  # places move on
        ("lessons/02-pins.md", "title: Pins", "title: Pins and skewers"),
        ("lessons/02-pins.md", "## More", "## Less"),
        ("lessons/02-pins.md", "letters: german", "letters: french"),
        ("lessons/05-ends.md", "practises: [out-first]", "teaches: [out-first]"),
        ("lessons/06-draft.md", "draft: true\n", ""),
        ("lessons/03-bare.md", "title: Without", "title: Quite without"),
        ("principles/out-first.md", "title: Men out", "title: All men out"),
        ("principles/out-first.md", "kept_by: [develops]", "broken_by: [develops]"),
        ("course.yaml", "[bare, on, ends]", "[bare, on]"),
        ("course.yaml", "language: en", "language: de"),
        ("course.yaml", "id: harbour", "id: harbour\ntheme: slate"),
    ],
)
def test_one_edit_and_its_undoing_are_followed_everywhere(
    tmp_path: Path, file: str, old: str, new: str
) -> None:
    write_course(tmp_path)
    kept, path = Kept(), tmp_path / file
    outcome_of(tmp_path, kept, shows_drafts=False)
    before = path.read_text(encoding="utf-8")
    assert old in before
    for text in (before.replace(old, new, 1), before):
        path.write_text(text, encoding="utf-8")
        with_kept = outcome_of(tmp_path, kept, shows_drafts=False)
        assert with_kept == outcome_of(tmp_path, Kept(), shows_drafts=False)
