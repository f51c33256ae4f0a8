"""Only what a published page shows goes into the site: a picture may show a child."""

from __future__ import annotations

from pathlib import Path

from diagnostics.folder import BASE, PICTURE, body, write
from plybook.desk.work import BUILD, Work, run


def test_pictures_of_drafts_and_of_nobody_stay_at_home(tmp_path: Path) -> None:
    names = ("shown", "in a caption", "of-a-draft", "of-nobody")
    pictures = {f"images/{name}.png": BASE[PICTURE] for name in names}
    shown = body(
        "![A](../images/shown.png)\n\n```moves m\n1. e4 {![B](<../images/in a caption.png>)}\n```\n"
    )
    head = "---\ntitle: Later\ndraft: true\n---\n\n"
    draft = {"lessons/02-later.md": f"{head}![C](../images/of-a-draft.png)\n"}
    course = write(tmp_path / "course", {**shown, **draft, **pictures})
    work = run(BUILD, Work(folder=course, out=tmp_path / "site"))
    assert work.published is not None, work.report.sorted()
    found = sorted(path.name for path in (tmp_path / "site" / "images").iterdir())
    assert found == ["in a caption.png", "shown.png"]
