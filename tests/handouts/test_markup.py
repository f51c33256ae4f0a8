"""Pages taken apart by the shape of their tags, and written anew."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from plybook.desk.work import Work
from plybook.site.handouts.markup import Attributes, as_xhtml, between, with_tags
from plybook.site.handouts.single_file import course_page


def keep(tag: str, values: Attributes) -> Attributes:
    return values


def test_what_is_not_changed_stays_as_it_was_written(work: Work) -> None:
    for path, content in work.files.items():
        if path.endswith(".html"):
            text = content.decode()
            assert with_tags(text, keep) == text


def test_a_changed_value_is_escaped_and_the_rest_of_the_tag_stays() -> None:
    text = '<p class="a"><a href="x&amp;y" title="&lt;b&gt;">x</a> &lt;a href="x"&gt;</p>'

    def change(tag: str, values: Attributes) -> Attributes:
        return {**values, "href": f'{values["href"]}"<'} if tag == "a" else values

    assert with_tags(text, change) == (
        '<p class="a"><a href="x&amp;y&#34;&lt;" title="&lt;b&gt;">x</a> &lt;a href="x"&gt;</p>'
    )


def test_html_becomes_xml_with_the_same_text() -> None:
    tree = ElementTree.fromstring(
        as_xhtml(
            '<p>a<br>b&nbsp;c &amp; d &#8239;<img src="x.png" alt="1 &lt; 2"><b hidden>e</b></p>'
        )
    )
    assert "".join(tree.itertext()) == "ab\u00a0c & d \u202fe"
    image, switch = tree.find("img"), tree.find("b")
    assert image is not None
    assert switch is not None
    assert image.get("alt") == "1 < 2"
    assert switch.get("hidden") == "hidden"


def test_a_part_that_is_not_there_is_a_fault_of_ours() -> None:
    with pytest.raises(ValueError, match="<body"):
        between("<html></html>", "<body", "</body>")


def test_a_script_that_would_end_in_the_page_is_a_fault_of_ours(work: Work) -> None:
    assert work.course is not None
    (path,) = (name for name in work.files if name.startswith("assets/board-"))
    files = {**work.files, path: b'const text = "</script>";'}
    with pytest.raises(ValueError, match="cannot stand in a page"):
        course_page(work.course, files)
