"""Whatever is typed, the readers find faults and never break; every fault lies in the file."""

from __future__ import annotations

import unicodedata
from typing import Final

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from diagnostics.folder import HEAD, LESSON
from plybook.course import assemble
from plybook.diagnostics import Report, Span
from plybook.text.fields import LessonFields
from plybook.text.folder import COURSE_FILE
from plybook.text.heads import read_fields, read_yaml
from plybook.text.lesson import read_lesson
from plybook.text.model import CourseDraft, CourseFile
from plybook.text.source import excerpt_of_file

#: Characters that a file may hold: what the reading of files refuses is tested there.
_FAIR: Final = st.characters(
    codec="utf-8", exclude_categories=["Cs", "Cc"], include_characters="\n\t"
).filter(
    lambda character: (
        character not in "\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
    )
)

_MOVE_WORDS: Final = (
    "1.", "1...", "2.", "2...", "e4", "e5", "Nf3", "Nc6", "Bc4", "O-O", "0-0", "Qh5", "Qxf7#",
    "exd5", "d5", "e8=Q", "Sf3", "nf3", "(", ")", "{", "}", "{why}", "$1", "$", "$999", "!", "?!",
    "!!!", ";", "%", "--", "1-0", "*", "1/2-1/2", "e.p.", "\n", "\n\n", "\u200b", "–", "…", "½",
    "[x](open@1.e4)", "{[x](a@b)}", "with words", "@", "±", "🙂", "е4",
)  # fmt: skip

_BODY_WORDS: Final = (
    "```moves open\n", "```moves\n", "```moves Open\n", "```diagram open@1.e4\n", "```tags open\n",
    "```claims open@end\n", "```exercise one\n", "```cards\n", "```coach\n", "```\n", "~~~\n",
    "> ", "- ", "1. ", "    ", "\t", "\n", "\n\n", "# ", "| a | b |\n|---|---|\n", "[^1]", "[^1]: ",
    "Term\n: ", "from: fen 8/8/8/8/8/8/8/8 w - - 0 1\n", "from: open@1.e4\n", "partial: true\n",
    "at 1.e4: arrow move e7 e5\n", "arrow attack: c4 f7\n", "mark loose: e4\n", "title: x\n",
    "board: open@start\n", "task: Find it.\n", "check: true\n", "answer: 1. e4\n",
    "1.e4 obeys centre\n", "question | answer\n", "1. e4 e5\n", "1.e4 e5 2.Nf3", "2...Nc6",
    "[a](open@1.e4)", "![](x.png)", "[b](javascript:x)", "<b>", "`1.e4`", "*", "**", "\\", "&amp;",
    "http://x", "<https://x>", "[c]: y\n", "[c]", "将棋", "🙂",
)  # fmt: skip


def mixture(words: tuple[str, ...], *, most: int) -> st.SearchStrategy[str]:
    """Return texts of known words, with and without spaces between, and of any characters."""
    pieces = st.one_of(st.sampled_from(words), st.just(" "), st.text(_FAIR, max_size=6))
    return st.lists(pieces, max_size=most).map("".join)


def assert_faults_lie_inside(text: str, report: Report) -> None:
    """Assert that every diagnostic's span is a stretch of the text, and its message one line."""
    rows = text.split("\n")
    for fault in report.sorted():
        span = fault.span
        assert span.file == LESSON
        assert 1 <= span.line <= span.end_line <= len(rows)
        assert 1 <= span.column <= len(rows[span.line - 1]) + 1
        assert 1 <= span.end_column <= len(rows[span.end_line - 1]) + 1
        assert (span.line, span.column) <= (span.end_line, span.end_column)
        for words in (fault.message, *fault.notes, *fault.help):
            kinds = {unicodedata.category(character) for character in words}
            assert not kinds & {"Cc", "Cf", "Cs", "Zl", "Zp"}, words


def check(text: str) -> Report:
    """Return the report of a course whose only lesson is `text`."""
    report = Report()
    lesson = read_lesson(text, slug="example", file=LESSON, report=report)
    file = CourseFile(
        title="Any", ident="any", club=None, author=None, language="en", letters="english",
        levels=(), parts=(), theme="press", site_url=None, licence=None,
        span=Span.of_file(COURSE_FILE),
    )  # fmt: skip
    draft = CourseDraft(
        file=file, lessons=(lesson,), principles=(), lock=None, images=(), sources={}
    )
    assemble(draft, report=report)
    return report


bounded = settings(
    max_examples=150,
    deadline=None,
    derandomize=True,  # the same texts in every run
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)


@bounded
@given(mixture(_MOVE_WORDS, most=40))
@example("{" * 3 + "}")
@example("1. e4 (((1... e5)")
@example("1. \u200b")
def test_any_movetext_is_read_to_faults_inside_it(movetext: str) -> None:
    text = f"{HEAD}```moves open\n{movetext}\n```\n"
    assert_faults_lie_inside(text, check(text))


@bounded
@given(mixture(_BODY_WORDS, most=40))
@example("> - ```moves open\n1. e4")
@example("```tags a\n")
@example("<https://x>![](x.png)")
@example("- \t```moves open\n\t1. e5\n")
def test_any_lesson_is_read_to_faults_inside_it(written: str) -> None:
    text = HEAD + written
    assert_faults_lie_inside(text, check(text))


@bounded
@given(st.text(_FAIR, max_size=80))
def test_any_text_at_all_is_read(text: str) -> None:
    assert_faults_lie_inside(text, check(text))


@bounded
@given(
    mixture(
        ("title: ", "minutes: ", "needs: ", "draft: ", "- ", "[", "]", "{", "}", ": ", "\n", "\n  ",
         "'", '"', "#", "&a ", "*a", "!!str ", "|", ">", "?", "%", "@", "1", "true", "~", "word"),
        most=25,
    )
)  # fmt: skip
@example(" - ")
def test_any_head_is_read_to_faults_inside_it(head: str) -> None:
    report = Report()
    fields, is_whole = read_fields(
        read_yaml(excerpt_of_file(LESSON, head), report=report), LessonFields, report=report
    )
    assert_faults_lie_inside(head, report)
    assert is_whole is not bool(report.errors)
    assert isinstance(fields.title, str)


@pytest.mark.parametrize("ending", ["", "\n", "\n\n", " ", "\t"])
def test_a_block_at_the_end_of_a_file_is_read(ending: str) -> None:
    text = f"{HEAD}```moves open\n1. e5\n```{ending}"
    (fault,) = check(text)
    assert fault.code == "illegal-move"
