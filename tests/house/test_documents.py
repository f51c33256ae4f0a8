"""README, DEVELOPERS and CHANGELOG lead to what is there, and name only commands that are."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import click
import pytest

from plybook.desk.command import cli

ROOT: Final = Path(__file__).resolve().parents[2]
PAGES: Final = ("README.md", "DEVELOPERS.md", "CHANGELOG.md")


@pytest.mark.parametrize("page", PAGES)
def test_every_link_and_picture_of_a_page_is_there(page: str) -> None:
    for target in re.findall(r"\]\(([^)#]+)", (ROOT / page).read_text(encoding="utf-8")):
        assert target.startswith("https:") or (ROOT / target).is_file(), target


@pytest.mark.parametrize("page", PAGES)
def test_every_command_that_a_page_names_is_one(page: str) -> None:
    known = set(cli.list_commands(click.Context(cli)))
    named = re.findall(
        r"`(?:\.venv/bin/)?plybook ([a-z]+)", (ROOT / page).read_text(encoding="utf-8")
    )
    assert set(named) <= known


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    heading, job, *_ = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")
    assert heading == "# plybook"
    assert job.startswith("A chess coach teaches")
