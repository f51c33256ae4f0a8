"""Bad input of every kind: one clear error at its exact place, and no exception.

Beside each fault stand things that look like it and are none.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

import pytest

from diagnostics.folder import (
    COURSE,
    HEAD,
    LESSON,
    PRINCIPLE,
    Content,
    body,
    check,
    marked,
    moves,
    place,
    write,
)
from plybook.desk.work import CHECK, Work, run
from plybook.diagnostics import UsageError

#: Seconds of work for the largest of these courses; the slowest takes a third of a second.
BOUND: Final = 5.0

Files = dict[str, Content]


def head(lines: str) -> Files:
    """Return the example lesson with another head."""
    return {LESSON: f"---\n{lines}\n---\n\nA first lesson.\n"}


def with_place(files: Files, code: str) -> tuple[Files, str, str]:
    """Return files without their marks, the code, and the place that was marked."""
    plain, where = marked(files)
    return plain, code, where


#: Name to files with the fault between « and », its code, and a part of the help.
MOVES: Final[dict[str, tuple[Files, str, str]]] = {
    "an illegal move": (moves("1. e4 e5 2. «Ke3» Nc6"), "illegal-move", "`Ke2`"),
    "a capture of nothing": (moves("1. e4 e5 2. «Nxf3»"), "not-canonical", "`Nf3`"),
    "an ambiguous move": (
        moves("1. Nf3 d5 2. d4 e6 3. «Nd2»"),
        "ambiguous-move",
        "`Nbd2` or `Nfd2`",
    ),
    "castling with zeros": (
        moves("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. «0-0»"),
        "not-canonical",
        "`O-O`",
    ),
    "long castling with zeros": (
        moves("1. d4 d5 2. Nc3 Nc6 3. Bf4 Bf5 4. Qd2 Qd7 5. «0-0-0» e6"),
        "not-canonical",
        "`O-O-O`",
    ),
    "castling with a dash": (
        moves("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. «O–O»"),
        "look-alike",
        "`O-O`",
    ),
    "castling through a man": (moves("1. e4 e5 2. «0-0» Nc6"), "illegal-move", ""),
    "a German letter": (moves("1. e4 e5 2. «Sf3»"), "foreign-letter", "`Nf3`"),
    "a French letter": (moves("1. e4 e5 2. «Cf3»"), "foreign-letter", "`Nf3`"),
    "a small letter": (moves("1. e4 e5 2. «nf3» Nc6"), "not-canonical", "`Nf3`"),
    "both squares with a dash": (moves("1. «e2–e4» e5"), "look-alike", "`e4`"),
    "a result with a dash": (
        moves("source: Two beginners, 2024\n\n1. f3 e5 2. g4 Qh4# «0–1»"),
        "unknown-result",
        "0-1",
    ),
    "a wrong number": (moves("1. e4 e5 «3.» Nf3 Nc6"), "wrong-number", "`2.`"),
    "a number of the other side": (moves("1. e4 e5 «2...» Nf3"), "wrong-number", "`2.`"),
    "a missing move": (
        moves("1. e4 e5 2. Nf3 «3.» Bc4 Bc5"),
        "wrong-number",
        "missing before it",
    ),
    "an illegal move without a number": (
        moves("1. e4 e5 «Ke3» Nc6"),
        "illegal-move",
        "`Ke2`",
    ),
    "words before the moves": (moves("«Play» 1. e4 e5"), "unreadable-move", "between { and }"),
    "an unclosed comment": (moves("1. e4 «{»e5 2. Nf3"), "unclosed-comment", "`}`"),
    "a comment alone": (moves("{«Nothing yet.»}"), "empty-block", "below the block"),
    "a number alone": (moves("«1.»"), "dangling-number", "delete the number"),
    "a zero-width space in a move": (
        moves("1. e4 e5 2. «N\u200bf3» Nc6"),
        "look-alike",
        "`Nf3`",
    ),
    "a zero-width space before a move": (
        moves("1. e4 e5 2. «\u200bNf3» Nc6"),
        "look-alike",
        "`Nf3`",
    ),
    "a soft hyphen in a move": (moves("1. e4 e5 2. «N\u00adf3» Nc6"), "look-alike", "`Nf3`"),
    "a tab before the fault": (moves("1. e4\te5\t2. «Ke3»"), "illegal-move", "`Ke2`"),
    "moves right below their head": (
        moves("title: Open\n«1. e4 e5»\n2. Nf3"),
        "bad-block-line",
        "empty line",
    ),
    "a promotion without its piece": (
        moves("from: fen 8/P6k/8/8/8/8/8/K7 w - - 0 1\n\n1. «a8»"),
        "illegal-move",
        "`a8=Q`",
    ),
    "an ending that is no FEN": (moves("ends: «e5»\n\n1. e4 e5"), "bad-fen", "it ends in"),
    "an evaluation of books": (moves("1. e4 e5 «±» 2. Nf3"), "unreadable-move", "$16"),
    "wide characters before the fault": (
        moves("1. e4 {将棋} 1... «Ke6»"),
        "illegal-move",
        "legal here",
    ),
    "characters beyond 16 bits before the fault": (
        moves("1. e4 {\U0001f600} 1... «Ke6»"),
        "illegal-move",
        "legal here",
    ),
}

PLACES: Final[dict[str, tuple[Files, str, str]]] = {
    "in a list": (
        body("- Look:\n\n  ```moves open\n  1. e4 e5 2. «Nf6»\n  ```\n"),
        "illegal-move",
        "`Nf3`",
    ),
    "deep in a numbered list": (
        body(
            "1. Look:\n   - Deep:\n\n     ```moves open\n     1. e4 e5\n     2. «Nf6»\n     ```\n"
        ),
        "illegal-move",
        "`Nf3`",
    ),
    "in a list that is indented by a tab": (
        body("-\tLook:\n\n\t```moves open\n\t1. e4 e5 2. «Nf6»\n\t```\n"),
        "illegal-move",
        "`Nf3`",
    ),
    "in a quotation": (
        body("> ```moves open\n> 1. e4 e5 2. «Nf6»\n> ```\n"),
        "illegal-move",
        "`Nf3`",
    ),
    "in a quotation without spaces": (
        body(">```moves open\n>1. e4 e5 2. «Nf6»\n>```\n"),
        "illegal-move",
        "`Nf3`",
    ),
    "in a list in a quotation": (
        body("> - ```moves open\n>   1. e4 e5 2. «Nf6»\n>   ```\n"),
        "illegal-move",
        "`Nf3`",
    ),
    "unclosed in a list": (
        body("«- ```moves open»\n  1. e4 e5\n\nAfter.\n"),
        "unclosed-fence",
        "```",
    ),
    "unclosed in a quotation": (
        body("«> ```moves open»\n> 1. e4 e5\n\nAfter.\n"),
        "unclosed-fence",
        "```",
    ),
    "unclosed before text": (
        body("«```moves open»\n1. e4 e5\n\nThen comes 2.Nf3 and [more](open@2.Nf3).\n"),
        "unclosed-fence",
        "```",
    ),
    "unclosed before another block": (
        body("«```moves open»\n1. e4 e5\n\nThen more.\n\n```diagram open@1.e4\n```\n\nSee 1.e4.\n"),
        "unclosed-fence",
        "```",
    ),
    "an exercise that is never closed": (body("«```exercise one»\n"), "unclosed-fence", "```"),
    "unclosed and empty": (body("«```moves open»"), "unclosed-fence", "```"),
    "a link in a comment": (
        moves("1. e4 {[there](«opn@end»)} 1... e5"),
        "unknown-line",
        "`open`",
    ),
    "a link in a table": (
        body("| a | b |\n|---|---|\n| x | [y](«nowhere.md») |\n"),
        "broken-link",
        "",
    ),
    "a link in a caption": (
        body("```moves open\n1. e4\n```\n\n```diagram open@end\ncaption: [y](«opn@end»)\n```\n"),
        "unknown-line",
        "`open`",
    ),
}

HEADS: Final[dict[str, tuple[Files, str, str]]] = {
    "a key given twice": (head("title: One\n«title»: Two"), "duplicate-key", "keep one"),
    "a misspelt key": (head("title: One\n«minuts»: 9"), "unknown-key", "`minutes`"),
    "a key like nothing": (head("title: One\n«qqq»: 9"), "unknown-key", "known keys"),
    "words for a number": (head("title: One\nminutes: «many»"), "wrong-type", "20"),
    "a number for words": (head("title: «1851»"), "wrong-type", "quotes"),
    "a word for a list": (head("title: One\nneeds: «pins»"), "wrong-type", "["),
    "a number in a list": (head("title: One\nneeds: [«7»]"), "wrong-type", "quotes"),
    "yes for true": (head("title: One\ndraft: «yes»"), "wrong-type", "true"),
    "no such day": (head("title: One\nchanged: «2026-13-01»"), "bad-value", "2026-"),
    "no title": (head("«»minutes: 9"), "missing-key", "title"),
    "an empty head": ({LESSON: "---\n«»---\n"}, "missing-key", "title"),
    "a tab before a key": (head("title: One\n«»\tminutes: 9"), "bad-yaml", "spaces"),
    "an alias": (head("title: One\nneeds: [«*a»]"), "bad-yaml", "quotes"),
    "a list for a key": (head("title: One\n? «[a]»\n: b"), "bad-yaml", ""),
    "an empty list of a part": (
        {COURSE: "title: A\nparts:\n  - title: One\n    lessons:«»\n"},
        "wrong-type",
        "`lessons: [",
    ),
    "a tag": (head("title: «!!set One»"), "bad-yaml", ""),
    "a list for a head": (head("«»- One"), "bad-yaml", ""),
    "an empty file": ({LESSON: "«»"}, "missing-head", "---"),
    "a blank line before the head": ({LESSON: f"«»\n{HEAD}"}, "missing-head", "---"),
    "a misspelt key of the course": (
        {COURSE: "title: A\n«levles»: [One]\n", LESSON: "---\ntitle: A\nlevel: One\n---\n"},
        "unknown-key",
        "`levels`",
    ),
    "a misspelt key of a part": (
        {COURSE: "title: A\nparts:\n  - title: One\n    «lesons»: [example]\n"},
        "unknown-key",
        "`lessons`",
    ),
    "a part without a title": (
        {COURSE: "title: A\nparts:\n  - «»lessons: [example]\n"},
        "missing-key",
        "title",
    ),
    "a principle without a short form": (
        {PRINCIPLE: "---\n«»title: A\n---\n", LESSON: "---\ntitle: A\nteaches: [centre]\n---\n"},
        "missing-key",
        "short",
    ),
}

PROSE: Final[dict[str, tuple[Files, str, str]]] = {
    "a reference to a move that was edited": (
        body("So [the knight](«open@2.Nc3») comes.\n\n```moves open\n1. e4 e5 2. Nf3\n```\n"),
        "unresolved-reference",
        "`2.Nf3`",
    ),
    "a missing image": (
        body("Look: ![a board](«../imags/board.png»)\n"),
        "missing-image",
        "`images/board.png`",
    ),
    "a picture from another site": (
        body("![a board](«https://club.example/board.png»)\n"),
        "bad-link",
        "images/",
    ),
    "a link with a script": (body("[x](«javascript:void»)\n"), "bad-link", "https"),
    "nine lists": (
        body("".join(f"{'  ' * n}- item {n}\n" for n in range(8)) + f"«{'  ' * 8}- item»\n"),
        "nested-too-deep",
        "flatten",
    ),
    "hidden HTML": (body("A «<!--» x --> b.\n"), "raw-html", "Markdown"),
    "tags of a line that is not there": (
        body(
            "```moves open\n1. e4 e5\n```\n\n"
            "```tags «opn»\n1.e4 obeys centre\n1...e5 obeys centre\n```\n"
        ),
        "unknown-line",
        "`open`",
    ),
}

CHARACTERS: Final[dict[str, tuple[Files, str, str]]] = {
    "a second byte order mark": (body("a«\ufeff»b\n"), "control-character", "delete"),
    "a lone CR": (body("One.«\r»Two.\n"), "control-character", "line ends"),
    "a NUL": (body("a«\x00»b\n"), "control-character", "delete"),
    "a mark that turns the writing": (body("a«\u202e»b\n"), "control-character", "delete"),
    "a vertical tab": (body("a«\x0b»b\n"), "control-character", "delete"),
    "a line separator": (body("a«\u2028»b\n"), "control-character", "delete"),
}

#: What has no character to mark: name to files, code, place, and a part of the help.
WHOLE_FILES: Final[dict[str, tuple[Files, str, str, str]]] = {
    "a course file in Latin-1": (
        {COURSE: "title: Zürich\n".encode("latin-1")},
        "not-utf8",
        f"{COURSE}:1:9-10",
        "UTF-8",
    ),
    "a course file in UTF-16": (
        {COURSE: "title: Zürich\n".encode("utf-16")},
        "not-utf8",
        f"{COURSE}:1:1-2",
        "UTF-8",
    ),
    "a lesson of 600 KiB": (
        body("Too long.\n" * 61_440),
        "file-too-large",
        f"{LESSON}:1:1-1",
        "several files",
    ),
    "two lessons with one slug": (
        {"lessons/02-example.md": HEAD},
        "duplicate-slug",
        "lessons/02-example.md:1:1-1",
        "another name",
    ),
    "a lesson with another ending": (
        {"lessons/02-more.txt": HEAD},
        "bad-file-name",
        "lessons/02-more.txt:1:1-1",
        ".md",
    ),
}

CASES: Final[dict[str, tuple[Files, str, str, str]]] = {
    **{
        name: (*with_place(files, code), advice)
        for name, (files, code, advice) in (MOVES | PLACES | HEADS | PROSE | CHARACTERS).items()
    },
    **WHOLE_FILES,
}


@pytest.mark.parametrize("name", CASES)
def test_a_fault_gives_one_error_at_its_place_with_a_way_out(name: str, tmp_path: Path) -> None:
    files, code, where, advice = CASES[name]
    found = check(write(tmp_path, files))
    assert [(fault.code, place(fault)) for fault in found] == [(code, where)]
    assert advice in " ".join(found[0].help)
    assert len(found[0].message) <= 72


@pytest.mark.parametrize("name", CASES)
def test_other_files_are_checked_all_the_same(name: str, tmp_path: Path) -> None:
    files, code, where, _ = CASES[name]
    other = "lessons/09-other.md"
    found = check(write(tmp_path, {**files, other: f"{HEAD}```moves other\n1. e5 e6\n```\n"}))
    assert {(fault.code, place(fault)) for fault in found} - {
        ("lesson-in-no-part", f"{other}:1:1-1")  # true of two of the cases
    } == {(code, where), ("illegal-move", f"{other}:6:4-6")}


# ---------------------------------------------------------------------- masses


def nested(depth: int) -> str:
    """Return movetext with variations nested `depth` deep, each with another first move."""
    firsts = [f"{file}{rank}" for rank in (3, 4) for file in "abcdfgh"] + ["e3", "Nf3"]
    firsts += ["Nc3"] * (depth - len(firsts))
    return "1. e4 " + "\n".join(f"(1. {san}" for san in firsts) + "\n" + ")" * depth


def in_rows(text: str, *, width: int = 1000) -> str:
    """Return a long text broken into rows."""
    return "\n".join(text[start : start + width] for start in range(0, len(text), width))


def shuffled(count: int) -> str:
    """Return `count` legal moves of knights, a hundred on a line."""
    sans = ("Nf3", "Nf6", "Ng1", "Ng8")
    words = [f"{n // 2 + 1}. {sans[n % 4]}" if n % 2 == 0 else sans[n % 4] for n in range(count)]
    return "\n".join(" ".join(words[n : n + 100]) for n in range(0, count, 100))


MASSES: Final[dict[str, tuple[Files, str, str]]] = {
    "200 variations deep": (moves(nested(200)), "variation-too-deep", "22:1-2"),
    "100,000 opening brackets": (
        moves("1. e4 " + in_rows("(" * 100_000)),
        "misplaced-variation",
        "6:8-9",
    ),
    "100,000 opening brackets on one line": (
        moves("1. e4 " + "(" * 100_000),
        "line-too-long",
        "6:1-100007",
    ),
    "30,000 closing brackets": (
        moves("1. e4 " + ")" * 30_000),
        "stray-variation-end",
        "6:7-30007",
    ),
    "10,000 opening braces": (moves("1. e4 " + "{" * 10_000), "unclosed-comment", "6:7-8"),
    "10,000 closing braces": (moves("1. e4 " + "}" * 10_000), "stray-comment-end", "6:7-10007"),
    "10,000 braces in each other": (
        moves("1. e4 " + "{" * 10_000 + "}" * 10_000 + " 1... e5"),
        "nested-comment",
        "6:8-9",
    ),
    "2,001 moves": (moves(shuffled(2001)), "too-many-moves", "26:7-10"),
    "40 lists deep": (
        body("".join(f"{'  ' * n}- item {n}\n" for n in range(40))),
        "nested-too-deep",
        "13:1-25",
    ),
    "20,000 quotations deep": (body("> " * 20_000 + "word\n"), "nested-too-deep", "5:1-40005"),
    "a head of deep lists": (head("title: " + "[" * 300 + "]" * 300), "bad-yaml", "2:13-603"),
    "a head of deep keys": (head("title: " + "{a: " * 80 + "}" * 80), "bad-yaml", "2:28-403"),
}


@pytest.mark.parametrize("name", MASSES)
def test_a_mass_gives_one_error_in_bounded_time(name: str, tmp_path: Path) -> None:
    files, code, where = MASSES[name]
    course = write(tmp_path, files)
    start = time.process_time()
    found = check(course)
    assert time.process_time() - start < BOUND
    assert [(fault.code, place(fault)) for fault in found] == [(code, f"{LESSON}:{where}")]


def test_two_thousand_moves_are_enough_for_anyone(tmp_path: Path) -> None:
    assert check(write(tmp_path, moves(shuffled(2000)))) == ()


def test_a_long_chain_of_lines_is_played_from_its_far_end(tmp_path: Path) -> None:
    blocks = [f"```moves a{n}\nfrom: a{n + 1}@start\n\n1. e4\n```\n" for n in range(1000)]
    assert check(write(tmp_path, body("\n".join([*blocks, "```moves a1000\n1. d4\n```\n"])))) == ()


def test_a_long_chain_of_lessons_that_need_the_next_is_followed(tmp_path: Path) -> None:
    files: Files = {
        f"lessons/{n:04}-l{n}.md": f"---\ntitle: L\nneeds: [l{n + 1}]\n---\n" for n in range(1500)
    }
    found = check(write(tmp_path, {**files, "lessons/1500-l1500.md": HEAD}))
    assert {fault.code for fault in found} == {"later-prerequisite"}
    assert len(found) == 1500


def words_of(course: Work) -> Iterator[str]:
    assert course.draft
    for token in course.draft.lessons[0].prose.tokens:
        if token.type == "inline":
            yield token.content


@pytest.mark.parametrize("mark", ["- ", "1. ", "> "])
@pytest.mark.parametrize("depth", [9, 30])
def test_deep_nesting_loses_no_word(mark: str, depth: int, tmp_path: Path) -> None:
    step = "> " if mark == "> " else " " * len(mark)
    lines = [f"{step * n}{mark}word{n}\n{(step * (n + 1)).rstrip()}\n" for n in range(depth)]
    work = run(CHECK, Work(folder=write(tmp_path, body("".join(lines)))))
    assert [fault.code for fault in work.report] == ["nested-too-deep"]
    assert list(words_of(work)) == [f"word{n}" for n in range(depth)]


# ---------------------------------------------------------------------- files that are none


def test_a_link_is_no_lesson(tmp_path: Path) -> None:
    course = write(tmp_path / "course", {})
    (tmp_path / "secret.md").write_text(HEAD, encoding="utf-8")
    (course / "lessons/02-link.md").symlink_to(tmp_path / "secret.md")
    (fault,) = check(course)
    assert (fault.code, place(fault)) == ("unreadable-file", "lessons/02-link.md:1:1-1")
    assert "link" in fault.message


def test_a_link_to_nothing_is_no_lesson(tmp_path: Path) -> None:
    course = write(tmp_path, {})
    (course / "lessons/02-link.md").symlink_to(tmp_path / "absent.md")
    (fault,) = check(course)
    assert (fault.code, place(fault)) == ("unreadable-file", "lessons/02-link.md:1:1-1")


def finishes(work: threading.Thread) -> bool:
    work.start()
    work.join(10 * BOUND)  # the machine may be busy; what hangs, hangs for ever
    return not work.is_alive()


@pytest.mark.parametrize("name", ["lessons/02-pipe.md", PRINCIPLE, COURSE, "positions.lock"])
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_refused_and_does_not_hang(name: str, tmp_path: Path) -> None:
    course = write(tmp_path, {}, without=(name,))
    os.mkfifo(course / name)
    found: list[tuple[str, str]] = []
    work = threading.Thread(
        target=lambda: found.extend((fault.code, place(fault)) for fault in check(course)),
        daemon=True,
    )
    assert finishes(work)
    assert found == [("unreadable-file", f"{name}:1:1-1")]


def test_a_folder_is_no_lesson(tmp_path: Path) -> None:
    course = write(tmp_path, {})
    (course / "lessons/02-folder.md").mkdir()
    (fault,) = check(course)
    assert (fault.code, place(fault)) == ("unreadable-file", "lessons/02-folder.md:1:1-1")


@pytest.mark.parametrize("how", ["no folder", "an empty folder", "only hidden files"])
def test_a_course_without_lessons_is_empty(how: str, tmp_path: Path) -> None:
    course = write(tmp_path, {}, without=(LESSON,))
    if how == "no folder":
        (course / "lessons").rmdir()
    elif how == "only hidden files":
        (course / "lessons/_later.md").write_text("Later.", encoding="utf-8")
        (course / "lessons/.draft.md").write_text("Later.", encoding="utf-8")
    (fault,) = check(course)
    assert (fault.code, place(fault)) == ("empty-course", f"{COURSE}:1:1-1")


def test_a_folder_without_a_course_file_is_wrong_usage(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"no course\.yaml"):
        check(write(tmp_path, {}, without=(COURSE,)))


# ---------------------------------------------------------------------- one cause, one diagnostic


CASCADES: Final[dict[str, tuple[Files, Iterable[str]]]] = {
    "a lesson that cannot be read": (
        {
            LESSON: b"\xff",
            "lessons/02-more.md": "---\ntitle: More\nneeds: [example]\n---\n\n"
            "See [it](01-example.md#h-why) and [there](example/open@end).\n",
        },
        ["not-utf8"],
    ),
    "a lesson whose head is never closed": (
        {
            LESSON: "---\ntitle: Example\n",
            "lessons/02-more.md": f"{HEAD}See [there](example/open@2.Nf3).\n",
        },
        ["unclosed-head"],
    ),
    "a lesson whose head is misspelt": (
        {
            LESSON: "---\ntitel: Example\n---\n\n## Why\n\n```moves open\n1. e4\n```\n",
            "lessons/02-more.md": "---\ntitle: More\nneeds: [example]\n---\n\n"
            "See [it](01-example.md#why) and [there](example/open@1.e4).\n",
        },
        ["unknown-key", "missing-key"],
    ),
    "a principle that cannot be read": (
        {
            PRINCIPLE: "A rule.\n",
            LESSON: "---\ntitle: A\nteaches: [centre]\n---\n\n[it](../principles/centre.md)\n",
        },
        ["missing-head"],
    ),
    "a course file that cannot be read": (
        {COURSE: "title: [\n", LESSON: "---\ntitle: A\nlevel: First steps\n---\n"},
        ["bad-yaml"],
    ),
    "a line that cannot be played": (
        body(
            "Now 2.Nf3 is seen.\n\n```moves open\n1. e5 e6 2. Nf3\n```\n\n```diagram open@2.Nf3\n"
            "arrow attack: f3 e5\n```\n\n```moves more\nfrom: open@end\n\n3. Bc4\n```\n"
        ),
        ["illegal-move"],
    ),
    "a line without a name": (
        body("```moves\n1. e4 e5\n```\n\n```diagram open@end\n```\n\nThen 1.e4 comes.\n"),
        ["missing-block-name"],
    ),
    "a position that is none": (
        body(
            "```moves open\nfrom: fen 8/8\n\n1. e4\n```\n\n```diagram open@1.e4\n```\n\n"
            "Then 1.e4 comes.\n"
        ),
        ["bad-fen"],
    ),
    "a lock with the marks of two versions": (
        {
            **moves("1. e4"),
            "positions.lock": "# plybook positions 1\n<<<<<<< ours\n=======\n>>>>>>> theirs\n",
        },
        ["bad-lock"],
    ),
    "a circle of three lessons": (
        {
            LESSON: "---\ntitle: A\nneeds: [two]\n---\n",
            "lessons/02-two.md": "---\ntitle: B\nneeds: [three]\n---\n",
            "lessons/03-three.md": "---\ntitle: C\nneeds: [example]\n---\n",
        },
        ["prerequisite-cycle"],
    ),
}


@pytest.mark.parametrize("name", CASCADES)
def test_one_cause_gives_one_diagnostic(name: str, tmp_path: Path) -> None:
    files, codes = CASCADES[name]
    assert sorted(fault.code for fault in check(write(tmp_path, files))) == sorted(codes)


# ---------------------------------------------------------------------- near misses


QUIET: Final[dict[str, Files]] = {
    "a date": body("On 3.4.2026 we met, as in 2025.\n"),
    "the number of a rule": body("See rule 3.a) and article 3.8.2.\n"),
    "a list of orders": body("1. Castle early\n2. Guard e4\n3. Count first\n"),
    "a list of squares": body("- The square e4\n- d4, too\n"),
    "an evaluation in the text": body("White stands well (+-), Black badly (-+), or = or ±.\n"),
    "an unnumbered square": body("The pawn on e4 guards d5; Nf3 comes next.\n"),
    "a number at a sentence's end": body("We meet at 5. Everyone comes. Table 12.\n"),
    "a move in a code span": body("Nobody plays `1.Ke2` here.\n"),
    "an address with a number": body("See <https://club.example/1.e4/index.html>.\n"),
    "less than": body("A pawn < a knight, and 3 > 1; a<b.\n"),
    "braces in the text": body("A set {a, b} and a stray } or {.\n"),
    "brackets in a comment": moves("1. e4 {so (or so), and ) or (} 1... e5"),
    "a semicolon in a comment": moves("1. e4 {first; then} 1... e5"),
    "a percent sign in a comment": moves("1. e4 {\n% of all\n} 1... e5"),
    "a result in a comment": moves("1. e4 {White won, 1-0} 1... e5"),
    "moves in a comment that are in the line": moves("1. e4 {or 1...e5} 1... e5"),
    "a comment before the first move": moves("{First.} 1. e4 e5"),
    "numbers that repeat for Black": moves("1. e4 1... e5 2. Nf3"),
    "no space behind a number": moves("1.e4 e5 2.Nf3 Nc6"),
    "a NAG and a glyph": moves("1. e4! $14 e5?! 2. Nf3 $255"),
    "tabs and blank lines": moves("1. e4\t\te5\n\n\n2. Nf3   Nc6"),
    "a real doubling of a knight": moves("1. Nf3 d5 2. d4 e6 3. Nbd2"),
    "the same move in two variations": moves("1. e4 e5 (1... c5 2. Nf3) (1... e6 2. Nf3) 2. Nf3"),
    "sixteen variations deep": moves(nested(16)),
    "a byte order mark": {LESSON: b"\xef\xbb\xbf" + f"{HEAD}A lesson.\n".encode()},
    "CRLF line ends": {
        LESSON: f"{HEAD}```moves open\n1. e4 e5\n2. Nf3\n```\n".replace("\n", "\r\n").encode()
    },
    "no line end at the end": {LESSON: f"{HEAD}```moves open\n1. e4\n```"},
    "a head with remarks": {LESSON: "---\n# Mine alone.\ntitle: 'It: why'\n---\n"},
    "a number in quotes": {LESSON: '---\ntitle: "1851"\n---\n'},
    "a rule in the text": body("One.\n\n---\n\nTwo.\n"),
    "a code block of another kind": body("```python\nprint(1.0)\n```\n"),
    "a block in tildes": body("~~~moves open\n1. e4 e5\n~~~\n"),
    "a longer fence around a block": body("````\n```not ours\nx\n```\n````\n"),
    "eight lists deep": body("".join(f"{'  ' * n}- item {n}\n" for n in range(8))),
    "a joined emoji": body("Well done \U0001f468\u200d\U0001f469\u200d\U0001f467!\n"),
    "right-to-left words": body("السلام عليكم\n"),
    "a file for the editor": {"lessons/.02-swap.md.swp": "x", "lessons/notes.odt": "x"},
    "a lesson that is left out": {"lessons/_02-later.md": "No head.\n"},
    "a long line of words": body("word " * 10_000 + "\n"),
}


@pytest.mark.parametrize("name", QUIET)
def test_what_only_looks_like_a_fault_is_quiet(name: str, tmp_path: Path) -> None:
    assert check(write(tmp_path, QUIET[name])) == ()
