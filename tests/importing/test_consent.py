"""consent.yaml: who may be shown, how, and until when; and what a build holds back by it."""

from __future__ import annotations

from pathlib import Path

import pytest

from plybook.desk.importing.redaction import redactor_of
from plybook.desk.leaks import held_back
from plybook.desk.withheld import withheld_file, withheld_names
from plybook.diagnostics import Report, UsageError
from plybook.text.consent import Consent, read_consent

ENTRY = """people:
  - name: "Alderwick, Linnet"
    scope: {scope}
    recorded_by: the coach
    recorded: 2026-01-10
    until: 2026-12-31
"""
TAGS = {"White": "Alderwick, Linnet", "Black": "Birchall, Tam"}


def read(folder: Path, text: str) -> tuple[Consent, list[tuple[str, int]]]:
    path = folder / "consent.yaml"
    path.write_text(text, encoding="utf-8")
    report = Report()
    consent = read_consent(path, report=report)
    return consent, [(one.code, one.span.line) for one in report.sorted()]


@pytest.mark.parametrize(
    ("scope", "as_shown"),
    [("initials", "L. A."), ("first name", "Linnet"), ("full", "Linnet Alderwick")],
)
def test_a_name_is_shown_as_its_scope_says(scope: str, as_shown: str, tmp_path: Path) -> None:
    consent, faults = read(tmp_path, ENTRY.format(scope=scope))
    assert faults == []
    redactor = redactor_of(TAGS, consent, day="2026-06-01", withheld=())
    assert (redactor.white, redactor.black) == (as_shown, "Black")
    assert redactor.withheld == ("Birchall, Tam",)
    told = redactor.clean("Linnet Alderwick beat Tam; ALDERWICK smiled")
    assert "Tam" not in told
    assert ("alderwick" in told.lower()) == (scope == "full")
    assert ("Linnet" in told) == (scope != "initials")


@pytest.mark.parametrize("day", ["2026-01-09", "2027-01-01"])
def test_before_and_after_its_time_consent_is_none(day: str, tmp_path: Path) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="full"))
    redactor = redactor_of(TAGS, consent, day=day, withheld=())
    assert redactor.white == "White"
    assert "Alderwick, Linnet" in redactor.withheld


def test_a_shown_name_may_not_tell_more_than_its_scope(tmp_path: Path) -> None:
    consent, faults = read(
        tmp_path, ENTRY.format(scope="first name") + '    shown: "Linnet Alderwick"\n'
    )
    assert faults == [("bad-value", 7)]
    assert consent.people == ()


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("people: yes\n", "wrong-type"),
        ("person: []\n", "unknown-key"),
        ("people:\n  - name: Alderwick\n", "bad-value"),
        (ENTRY.format(scope="some"), "bad-value"),
        (ENTRY.format(scope="full").replace("2026-12-31", "soon"), "bad-value"),
        (ENTRY.format(scope="full") + "    born: 2015-01-01\n", "bad-value"),
    ],
)
def test_an_entry_at_fault_is_told_and_allows_nothing(
    text: str, fault: str, tmp_path: Path
) -> None:
    consent, faults = read(tmp_path, text)
    assert [code for code, _ in faults] == [fault]
    assert consent.people == ()


def test_without_a_file_nobody_may_be_named(tmp_path: Path) -> None:
    report = Report()
    assert read_consent(tmp_path / "consent.yaml", report=report) == Consent()
    assert len(report) == 0


def test_public_figures_are_named_in_their_game_alone(tmp_path: Path) -> None:
    players = '  - white: "Morphy, Paul"\n    black: "Anderssen, Adolf"\n'
    consent, faults = read(tmp_path, f"public:\n{players}    source: Paris 1858\n")
    assert faults == []
    tags = {"White": "Morphy, Paul", "Black": "Anderssen, Adolf"}
    assert redactor_of(tags, consent, day="2026-01-01", withheld=()).withheld == ()
    other = {"White": "Morphy, Paul", "Black": "Birchall, Tam"}
    assert len(redactor_of(other, consent, day="2026-01-01", withheld=()).withheld) == 2


def test_a_build_holds_back_what_consent_does_not_cover(tmp_path: Path) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="first name"))
    names = ("Alderwick, Linnet", "Birchall, Tam")
    now = list(held_back(names, consent, day="2026-06-01"))
    assert now == ["alderwick", "=Alderwick, Linnet", "Birchall, Tam"]
    over = list(held_back(names, consent, day="2027-06-01"))
    assert over == ["Alderwick, Linnet", "=Linnet", "Birchall, Tam"]


@pytest.mark.parametrize(
    ("name", "remark"),
    [
        ("Whit, Ada", "Whit thought long"),  # the first letters of White
        ("Lack, Ada", "LACK resigned"),
        ("Linnet, Lin", "Lin played on"),
    ],
)
def test_a_part_that_lies_in_another_word_is_not_covered_by_it(
    name: str, remark: str, tmp_path: Path
) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="first name"))
    tags = {"White": "Alderwick, Linnet", "Black": name}
    redactor = redactor_of(tags, consent, day="2026-06-01", withheld=())
    assert redactor.clean(remark).startswith("Black ")


def test_without_a_place_for_the_list_nobody_is_withheld(monkeypatch: pytest.MonkeyPatch) -> None:
    for variable in ("PLYBOOK_WITHHELD", "XDG_DATA_HOME", "APPDATA"):
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("HOME", "nowhere")
    monkeypatch.setenv("USERPROFILE", "nowhere")
    assert withheld_names("course") == ()
    with pytest.raises(UsageError, match="PLYBOOK_WITHHELD"):
        withheld_file("course")


def test_the_list_lies_in_the_users_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("PLYBOOK_WITHHELD")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("APPDATA", str(tmp_path))
    assert withheld_file("course") == tmp_path / "plybook" / "withheld" / "course.txt"


def test_a_withheld_name_is_not_shown_even_with_consent(tmp_path: Path) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="first name"))
    redactor = redactor_of(TAGS, consent, day="2026-06-01", withheld=("Linnet Alderwick",))
    assert redactor.white == "White"
    assert redactor.is_overruled
    assert "Linnet" not in redactor.clean("Linnet won")


def test_of_two_with_one_first_name_the_withheld_one_counts(tmp_path: Path) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="first name"))
    redactor = redactor_of(TAGS, consent, day="2026-06-01", withheld=("Moss, Linnet",))
    assert redactor.white == "Linnet"
    assert "Linnet" not in redactor.clean("Linnet won")


def test_nobody_is_put_on_the_list(tmp_path: Path) -> None:
    tags = {"White": "Me", "Black": "NN", "Annotator": "Coach"}
    redactor = redactor_of(tags, Consent(), day="2026-06-01", withheld=())
    assert redactor.withheld == ()
    assert redactor.clean("Let me see: NN played it, coach") == "Let me see: NN played it, coach"


def test_a_family_name_of_the_game_is_taken_out_with_the_first_name(tmp_path: Path) -> None:
    consent, _ = read(tmp_path, ENTRY.format(scope="first name").replace("Alderwick", "King"))
    tags = {"White": "King, Linnet", "Black": "NN"}
    redactor = redactor_of(tags, consent, day="2026-06-01", withheld=())
    assert redactor.clean("Linnet King moved her king") == "Linnet moved her king"
