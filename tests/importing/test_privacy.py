"""Names planted wherever a game or a lesson can hold them never reach a page. All are invented."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import BASE, COURSE, HEAD, LESSON, PICTURE, PRINCIPLE, look, write
from diagnostics.run import plybook
from plybook.desk.withheld import add_withheld, withheld_names
from plybook.text.people import People, folded

NAME: Final = "Ångström-Vale, Éloïse"
PARTS: Final = ("angstrom", "vale", "eloise")
GAME: Final = """[Event "Friday club"]
[Site "Harbour hall"]
[Date "2026.03.04"]
[Round "1"]
[White "{name}"]
[Black "Birchall, Tam"]
[Result "1-0"]
{tags}
{before} 1. e4 {after} e5 ({side} 1... c5 {{x}}) 2. Qh5 Nc6 3. Bc4 Nf6 {line}
4. Qxf7# {last} 1-0
"""


@pytest.fixture(autouse=True)
def withheld(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep the withheld names of each test in a file of its own."""
    path = tmp_path / "data" / "names.txt"
    monkeypatch.setenv("PLYBOOK_WITHHELD", str(path))
    return path


def game(**slots: str) -> str:
    """Return the game with something in its slots."""
    empty = dict.fromkeys(("tags", "before", "after", "side", "line", "last"), "")
    return GAME.format(**{"name": NAME, **empty, **slots})


#: Places of a game where a name can stand beside the tag of its player.
IN_GAMES: Final = {
    "the other player": {"tags": '[WhiteTeam "Vale school"]'},
    "a team": {"tags": '[BlackTeam "Éloïse and friends"]'},
    "the annotator": {"tags": '[Annotator "Éloïse Ångström-Vale"]'},
    "an address": {"tags": '[WhiteNA "eloise@vale.example"]'},
    "a link": {"tags": '[Link "https://example.org/eloise-vale"]'},
    "the opening": {"tags": '[Opening "Vale Gambit, Éloïse line"]'},
    "a tag of another program": {"tags": '[PlyCount "7"]\n[WhiteClub "Vale"]'},
    "before the first move": {"before": "{Éloïse was White}"},
    "after a move": {"after": "{Well played, eloise!}"},
    "in capitals": {"after": "{ÉLOÏSE}"},
    "in a variation": {"side": "{Angstrom thought of this}"},
    "to the line end": {"line": "; Vale, Éloïse smiled"},
    "with letters put together": {"last": "{E\u0301loi\u0308se}"},
    "in a bracketed command": {"after": "{[%who Éloïse] fine}"},
    "behind a number": {"last": "{Call Vale at +44 20 7946 0958 or eloise@vale.example}"},
}


@pytest.mark.parametrize("where", IN_GAMES)
def test_a_name_in_a_game_never_reaches_the_course(
    where: str, tmp_path: Path, withheld: Path
) -> None:
    course = write(tmp_path / "course", {})
    pgn = tmp_path / "eloise-vale.pgn"  # the file's name is one more place
    pgn.write_text(game(**IN_GAMES[where]), encoding="utf-8")
    ran = plybook(
        "import", pgn, "--game", "1", "--course", course,
        environment={"PLYBOOK_WITHHELD": str(withheld)},
    )  # fmt: skip  # one argument a line would hide the command
    assert ran.code == 0, ran.err
    (new,) = (path for path in course.rglob("*.md") if path.name == "02-game-1.md")
    text = folded(new.read_text(encoding="utf-8"))
    assert not [part for part in PARTS if part in text]
    assert "7946" not in text
    assert "title: white against black" in text
    assert ", 2026" in text
    assert not [part for part in PARTS if part in folded(ran.out.replace(str(pgn), ""))]
    assert NAME in withheld.read_text(encoding="utf-8")
    checked = plybook("check", course)
    assert (checked.code, "error" in checked.err) == (0, False), checked.err


def picture_named(name: str) -> dict[str, str | bytes]:
    text = f"{HEAD}![A board](../images/{name})\n"
    return {LESSON: text, f"images/{name}": BASE[PICTURE]}


#: Places of a course where a name can stand.
IN_COURSES: Final[dict[str, dict[str, str | bytes]]] = {
    "running text": {LESSON: f"{HEAD}Eloise found it.\n"},
    "a title": {LESSON: "---\ntitle: How Éloïse won\n---\n\nText.\n"},
    "a subtitle": {LESSON: "---\ntitle: One\nsubtitle: For Vale\n---\n\nText.\n"},
    "the course's title": {COURSE: "title: Angstrom's course\n"},
    "a principle": {PRINCIPLE: "---\ntitle: Centre\nshort: Says Éloïse.\n---\n\nEarly.\n"},
    "a heading": {LESSON: f"{HEAD}## Vale\n\nText.\n"},
    "a link's text": {LESSON: f"{HEAD}[Éloïse](https://example.org/)\n"},
    "a link": {LESSON: f"{HEAD}[There](https://example.org/eloise)\n"},
    "a picture's text": {LESSON: f"{HEAD}![Éloïse at the board](../images/board.png)\n"},
    "a picture's name": picture_named("eloise.png"),
    "a lesson's address": {"lessons/02-eloise.md": f"{HEAD}Text.\n"},
    "a remark": {LESSON: f"{HEAD}```moves a\n1. e4 {{Vale}} 1... e5\n```\n"},
    "a line's title": {LESSON: f"{HEAD}```moves a\ntitle: Vale\n\n1. e4\n```\n"},
    "a source": {LESSON: f"{HEAD}```moves a\nsource: Éloïse, 2026\n\n1. e4\n```\n"},
    "a caption": {
        LESSON: f"{HEAD}```moves a\n1. e4\n```\n\n```diagram a@1.e4\ncaption: Vale\n```\n"
    },
    "a card": {LESSON: f"{HEAD}```moves a\n1. e4\n```\n\n```cards\nWho won? | Éloïse\n```\n"},
    "an entity": {LESSON: f"{HEAD}&Eacute;lo&iuml;se found it.\n"},
}


@pytest.mark.parametrize("where", IN_COURSES)
def test_a_withheld_name_anywhere_in_a_course_stops_its_build(where: str, tmp_path: Path) -> None:
    add_withheld("example-course", [NAME])
    found = look(write(tmp_path / "course", IN_COURSES[where]))
    assert {one.code for one in found if one.severity.value == "error"} == {"withheld-name"}
    files = {one.span.file for one in found}
    assert files <= set(IN_COURSES[where]), files


def test_what_is_not_published_may_hold_a_name(tmp_path: Path) -> None:
    add_withheld("example-course", [NAME])
    draft = "---\ntitle: Two\ndraft: true\n---\n\nÉloïse.\n"
    notes = f"{HEAD}Text.\n\n```coach\nAsk Éloïse.\n```\n"
    assert look(write(tmp_path / "course", {LESSON: notes, "lessons/02-b.md": draft})) == ()


def test_the_club_may_give_its_own_address(tmp_path: Path) -> None:
    text = f"{HEAD}Write to chess@club.example or to coach@club.example.\n"
    files = {LESSON: text, COURSE: "title: Example course\ncontact: chess@club.example\n"}
    (fault,) = look(write(tmp_path / "course", files))
    assert (fault.code, fault.span.column) == ("address-in-text", 35)


def test_a_build_with_a_leak_publishes_nothing_and_leaves_with_1(
    tmp_path: Path, withheld: Path
) -> None:
    add_withheld("example-course", [NAME])
    course = write(tmp_path / "course", {LESSON: f"{HEAD}Éloïse.\n"})
    ran = plybook("build", course, environment={"PLYBOOK_WITHHELD": str(withheld)})
    assert ran.code == 1
    assert "error[withheld-name]" in ran.err
    assert not (tmp_path / "site").exists()


def test_the_list_of_withheld_names_is_added_to_and_never_in_the_course(
    tmp_path: Path, withheld: Path
) -> None:
    course = write(tmp_path / "course", {})
    before = sorted(course.rglob("*"))
    assert add_withheld("example-course", [NAME, NAME, "Birchall, Tam"]) == (NAME, "Birchall, Tam")
    assert add_withheld("example-course", ["birchall, tam"]) == ()
    withheld.write_text(withheld.read_text(encoding="utf-8") + "= May, Iris\n", encoding="utf-8")
    assert withheld_names("example-course") == (NAME, "Birchall, Tam", "= May, Iris")
    assert People(withheld_names("example-course")).are_in("Iris May")
    assert sorted(course.rglob("*")) == before


def test_forget_lists_every_place_ends_consent_and_withholds(
    tmp_path: Path, withheld: Path
) -> None:
    entry = (
        "    scope: first name\n    shown: Elo-Lo\n    recorded_by: the coach\n"
        "    recorded: 2026-01-01\n    until: 2026-12-31\n"
    )
    consent = f'# ours\npeople:\n  - name: "{NAME}"\n{entry}  - name: Birchall, Tam\n{entry}'
    files: dict[str, str | bytes] = {
        LESSON: f"{HEAD}Elo-Lo won.\n\nThen ÉLOÏSE lost.\n",
        "lessons/02-vale.md": f"{HEAD}Text.\n",
        "consent.yaml": consent.replace("  - name: Birchall, Tam\n    scope: first name\n    shown"
                                        ": Elo-Lo\n", "  - name: Birchall, Tam\n    scope: full\n"),
    }  # fmt: skip  # the entry of the second child shows no name of the first
    course = write(tmp_path / "course", files)
    ran = plybook("forget", NAME, course, environment={"PLYBOOK_WITHHELD": str(withheld)})
    assert ran.code == 1, ran.err
    assert "lessons/01-example.md:5:1: Elo-Lo won." in ran.out
    assert "lessons/01-example.md:7:6: Then ÉLOÏSE lost." in ran.out
    assert "lessons/02-vale.md: the name of the file" in ran.out
    assert "cannot be called back" in " ".join(ran.out.split())
    left = (course / "consent.yaml").read_text(encoding="utf-8")
    assert left.startswith("# ours\npeople:\n  - name: Birchall, Tam\n    scope: full\n")
    assert NAME not in left
    assert withheld_names("example-course") == (NAME,)
    assert (course / LESSON).read_text(encoding="utf-8") == files[LESSON]


def test_an_everyday_word_is_no_place_of_a_name_and_the_remedy_names_the_file(
    tmp_path: Path, withheld: Path
) -> None:
    course = write(tmp_path / "course", {LESSON: f"{HEAD}White will attack.\n\nWill White?\n"})
    ran = plybook("forget", "Will Rowe", course, environment={"PLYBOOK_WITHHELD": str(withheld)})
    assert ran.code == 1
    assert "example.md:7:1: Will White?" in ran.out
    assert "will attack" not in ran.out
    assert f"{withheld}\nwrite `=Will Rowe`" in ran.out
    withheld.write_text("=Will Rowe\n", encoding="utf-8")
    assert look(course) == ()


def test_a_comment_of_the_course_file_is_not_where_a_name_is_published(tmp_path: Path) -> None:
    add_withheld("example-course", [NAME])
    comment = "# Éloïse has the key to the hall\n"
    quiet = write(tmp_path / "quiet", {COURSE: f"{comment}title: Example course\n"})
    assert look(quiet) == ()
    course = f"{comment}title: Example course\nclub: Vale of Éloïse\n"
    found = look(write(tmp_path / "course", {COURSE: course}))
    assert {(one.span.file, one.span.line) for one in found} == {(COURSE, 3)}


def test_forget_is_done_when_no_place_is_left(tmp_path: Path, withheld: Path) -> None:
    course = write(tmp_path / "course", {})
    ran = plybook("forget", NAME, course, environment={"PLYBOOK_WITHHELD": str(withheld)})
    assert ran.code == 0
    assert "stands nowhere" in ran.out
    assert plybook("forget", "...", course).code == 2
