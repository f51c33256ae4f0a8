"""`plybook forget` and the list of withheld names. All people here are invented."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import COURSE, HEAD, LESSON, check, look, write
from plybook.desk.forgetting import forget
from plybook.desk.importing.command import Asked, bring_in
from plybook.desk.leaks import held_back
from plybook.desk.moment import epoch_day
from plybook.desk.new import make_course
from plybook.desk.withheld import add_withheld, course_with_id, withheld_names
from plybook.diagnostics import Report, UsageError
from plybook.text.consent import consent_of

REST: Final = """    scope: first name
    recorded_by: the coach
    recorded: 2026-01-01
    until: 2026-12-31
"""
FLOW: Final = (
    'scope: full, recorded_by: us, recorded: "2026-01-01", until: "2026-12-31"'  # of one entry
)


@pytest.fixture(autouse=True)
def withheld(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep the withheld names of each test in a file of its own."""
    path = tmp_path / "data" / "names.txt"
    monkeypatch.setenv("PLYBOOK_WITHHELD", str(path))
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    return path


# ---------------------------------------------------------------------- which list


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("title: Example course\n", "add `id: example-course` to course.yaml"),
        ("title: [\n", "course.yaml, line"),
        ("id: example-course\n", "course.yaml, line 1"),
    ],
)
def test_without_a_certain_list_nothing_is_done(text: str, told: str, tmp_path: Path) -> None:
    course = write(tmp_path / "course", {COURSE: text})
    with pytest.raises(UsageError, match=r"course\.yaml") as refused:
        forget("Anna Berg", course)
    assert told in str(refused.value)
    games = tmp_path / "games.pgn"
    games.write_text('[White "Berg, Anna"]\n\n1. e4 e5 *\n', encoding="utf-8")
    with pytest.raises(UsageError, match=r"course\.yaml"):
        bring_in(Asked(file=games, game=1, course=course))
    assert withheld_names("example-course") == ()


@pytest.mark.parametrize(
    ("folder", "ident"), [("Our Club", "our-club"), ("2026", "2026"), ("клуб", "course-d2d6a191")]
)
def test_a_new_course_has_an_id_of_its_folder(folder: str, ident: str, tmp_path: Path) -> None:
    make_course(tmp_path / folder, is_demo=False)
    assert course_with_id(tmp_path / folder).file.ident == ident
    assert check(tmp_path / folder) == ()


# ---------------------------------------------------------------------- the list


def test_nobody_else_may_read_the_list(withheld: Path) -> None:
    add_withheld("example-course", ["Berg, Anna"])
    if os.name == "posix":
        assert stat.S_IMODE(withheld.stat().st_mode) == 0o600


def test_signs_before_a_name_are_not_those_of_the_list(withheld: Path) -> None:
    assert add_withheld("c", ["# Berg, Anna", "=Vale, Kit", " Ann\nLee "]) == (
        "Berg, Anna",
        "Vale, Kit",
        "Ann Lee",
    )
    assert withheld_names("c") == ("Berg, Anna", "Vale, Kit", "Ann Lee")


def test_a_name_in_another_order_is_known_and_nobody_is_no_name() -> None:
    add_withheld("c", ["Müller, Jörg"])
    assert add_withheld("c", ["Joerg Mueller", "NN", "Guest", "White"]) == ()


def test_a_list_too_long_is_not_cut(withheld: Path) -> None:
    withheld.parent.mkdir()
    withheld.write_text("Anna Berg\n" * 110_000, encoding="utf-8")
    with pytest.raises(UsageError, match="more than 1 MiB"):
        withheld_names("c")


# ---------------------------------------------------------------------- places


def test_a_name_over_a_line_end_and_beside_the_course_is_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    course = write(tmp_path / "course", {LESSON: f"{HEAD}Then Wu\nLi won.\n"})
    (tmp_path / "paper").mkdir()
    (tmp_path / "paper/one.html").write_text("<p>Li Wu", encoding="utf-8")
    (tmp_path / "paper/one.pdf").write_bytes(b"%PDF")
    assert forget("Wu, Li", course) == 1
    told = capsys.readouterr().out
    assert "lessons/01-example.md:5:6: Then Wu" in told
    assert "../paper/one.html:1:4" in told
    assert "not searched, look yourself: images/board.png, ../paper/one.pdf" in told


def test_a_file_too_long_is_named_as_not_searched(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plybook.desk.forgetting._MOST", 100)
    course = write(tmp_path / "course", {"notes.txt": "x" * 101})
    assert forget("Anna Berg", course) == 0
    assert "look yourself: notes.txt" in capsys.readouterr().out


# ---------------------------------------------------------------------- consent


def test_consent_ends_whatever_the_order_and_the_spelling(tmp_path: Path) -> None:
    text = f"people:\n  - name: Joerg Mueller\n{REST}  - name: Vale, Kit\n{REST}"
    course = write(tmp_path / "course", {"consent.yaml": text})
    forget("Müller, Jörg", course)
    left = (course / "consent.yaml").read_text(encoding="utf-8")
    assert left == f"people:\n  - name: Vale, Kit\n{REST}"


@pytest.mark.parametrize(
    "text",
    [
        f"people: [{{name: Anna Berg, {FLOW}}}, {{name: Kit Vale, {FLOW}}}]\n",
        f"people:\n  - {{name: Anna Berg, {FLOW}}}\n  - {{name: Kit Vale,\n {FLOW}}}\n",
        f"people:\n  -\n    name: Anna Berg\n{REST}  - name: Kit Vale\n{REST}",
    ],
)
def test_consent_of_others_is_never_touched(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    course = write(tmp_path / "course", {"consent.yaml": text})
    before = consent_of(text, file="consent.yaml", report=Report())
    assert [one.name for one in before.people] == ["Anna Berg", "Kit Vale"]
    code = forget("Anna Berg", course)
    left = (course / "consent.yaml").read_text(encoding="utf-8")
    after = consent_of(left, file="consent.yaml", report=Report())
    if left == text:
        assert code == 1
        assert "take this entry out by hand" in capsys.readouterr().err
    else:
        assert [one.name for one in after.people] == ["Kit Vale"]


def test_a_consent_file_with_a_fault_is_told_and_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f"people:\n  - name: Anna Berg\n{REST.replace('first name', 'some')}"
    course = write(tmp_path / "course", {"consent.yaml": text})
    assert forget("Anna Berg", course) == 1
    assert "consent.yaml:2" in capsys.readouterr().err
    assert (course / "consent.yaml").read_text(encoding="utf-8") == text


def people(*entries: tuple[str, str, str, str]) -> str:
    rows = (
        f'  - name: "{name}"\n    scope: first name\n    shown: "{as_shown}"\n'
        f"    recorded_by: the coach\n    recorded: {start}\n    until: {end}\n"
        for name, as_shown, start, end in entries
    )
    return "people:\n" + "".join(rows)


@pytest.mark.parametrize("turned", [False, True])
def test_renewed_consent_counts_wherever_it_stands(turned: bool) -> None:
    entries = [
        ("Berg, Anna", "Anna", "2025-01-01", "2025-12-31"),
        ("Anna Berg", "Anna", "2026-01-01", "2026-12-31"),
    ]
    text = people(*(reversed(entries) if turned else entries))
    consent = consent_of(text, file="consent.yaml", report=Report())
    assert consent.valid_entry("BERG, Anna", day="2026-06-01") is not None
    assert "anna" not in " ".join(held_back((), consent, day="2026-06-01")).lower().split()
    assert list(held_back((), consent, day="2027-01-01"))[1:] == ["=Anna", "=Anna"]


def test_a_family_name_of_the_game_is_held_back_in_the_whole_name(tmp_path: Path) -> None:
    text = people(("King, Anna", "Anna", "2026-01-01", "2026-12-31"))
    lesson = "---\ntitle: Example\nchanged: 2026-03-01\n---\n\n"
    lesson += "Anna's king won; then Anna King lost.\n"
    course = write(tmp_path / "course", {"consent.yaml": text, LESSON: lesson})
    (fault,) = look(course)
    assert (fault.code, fault.span.column) == ("withheld-name", 23)


@pytest.mark.parametrize("as_shown", ["Anna King", "AnnaKing", "Anna Kings", "Li Wu"])
def test_a_shown_name_is_held_against_whole_words(as_shown: str) -> None:
    name = "Wu, Li" if "Wu" in as_shown else "King, Anna"
    report = Report()
    text = people((name, as_shown, "2026-01-01", "2026-12-31"))
    allowed = consent_of(text, file="consent.yaml", report=report).people
    assert [one.code for one in report] == ["bad-value"]
    assert allowed == ()


def test_a_family_name_within_a_shown_word_is_no_fault() -> None:
    report = Report()
    text = people(("Lee, Kathleen", "Kathleen", "2026-01-01", "2026-12-31"))
    consent = consent_of(text, file="consent.yaml", report=report)
    assert not len(report)
    assert list(held_back((), consent, day="2026-02-01")) == ["lee", "=Lee, Kathleen"]


# ---------------------------------------------------------------------- the day


def test_seconds_since_1970_are_a_day_or_refused() -> None:
    assert epoch_day({"SOURCE_DATE_EPOCH": "86400"}) == "1970-01-02"
    assert epoch_day({}) is None
    for wrong in ("999999999999999", "soon", "-1"):
        with pytest.raises(UsageError, match="SOURCE_DATE_EPOCH"):
            epoch_day({"SOURCE_DATE_EPOCH": wrong})


# ---------------------------------------------------------------------- where a leak comes from


def test_a_leak_is_blamed_on_published_text_and_names_its_page(tmp_path: Path) -> None:
    add_withheld("example-course", ["Berg, Anna"])
    course = "title: Example course # for Anna\nid: example-course\nclub: '# of Anna'\n"
    notes = f"{HEAD}Text.\n\n```coach\nAsk Anna.\n```\n"
    found = look(write(tmp_path / "course", {COURSE: course, LESSON: notes}))
    assert [(one.span.file, one.span.line) for one in found] == [(COURSE, 3)]
    assert found[0].notes[0].startswith("it is read in ")
