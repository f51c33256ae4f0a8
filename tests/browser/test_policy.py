"""The policy of a page: silence, no way out, and no script but the site's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.kinds import DEMO_KINDS, pages_of
from browser.reader import Reader, reading


@pytest.fixture(scope="module", params=["press", "slate", "trial"])
def reader(
    request: pytest.FixtureRequest, browser: Browser, sites: Mapping[str, Path]
) -> Iterator[Reader]:
    with reading(browser, sites[request.param]) as reading_one:
        yield reading_one


def test_every_page_is_silent_and_asks_for_its_own_files_only(reader: Reader) -> None:
    for path in pages_of(reader.site):
        before = len(reader.requests)
        reader.open(path, whole=True)
        assert len(reader.requests) > before  # the log is kept
        assert all(url.startswith(("file://", "about:")) for url in reader.requests)
        reader.is_calm()


def test_the_log_hears_a_message(browser: Browser, sites: Mapping[str, Path]) -> None:
    """The tests that ask for silence would notice a word, and a request to another place."""
    with reading(browser, sites["press"]) as reader:
        reader.open("index.html")
        reader.all("console.info('said aloud')")
        with pytest.raises(AssertionError, match="said aloud"):
            reader.is_calm()
        reader.all("fetch('https://example.org/').catch(() => 0)")
        with pytest.raises(AssertionError, match="Content Security Policy"):
            reader.is_calm()
        reader.requests.append("https://example.org/")  # the policy let none through
        with pytest.raises(AssertionError, match=r"example\.org"):
            reader.is_calm()


@pytest.mark.parametrize("kind", list(DEMO_KINDS))
def test_a_script_brought_in_does_not_run(
    browser: Browser, sites: Mapping[str, Path], tmp_path: Path, kind: str
) -> None:
    """Inline code, code in an attribute and in a link, in a copy of a page: all stay dead."""
    site = sites["press"]
    path = DEMO_KINDS[kind]
    text = (site / path).read_text(encoding="utf-8")
    assert "</main>" in text
    hostile = (
        "<script>globalThis.wasHere = 1</script>"
        '<img src="x" onerror="globalThis.wasHere = 2" alt="">'
        '<a id="bad" href="javascript:globalThis.wasHere = 3">press</a>'
        '<script src="https://example.org/x.js"></script>'
        '<iframe srcdoc="<script>parent.wasHere = 4</script>"></iframe>'
    )
    page = site / Path(path).parent / f"hostile-{kind}.html"
    page.write_text(text.replace("</main>", hostile + "</main>"), encoding="utf-8")
    try:
        context = browser.new_context(offline=True)
        opened = context.new_page()
        heard: list[str] = []
        asked: list[str] = []
        opened.on("console", lambda message: heard.append(message.text))
        opened.on("requestfinished", lambda request: asked.append(request.url))
        opened.goto(page.as_uri())
        opened.evaluate("document.getElementById('bad').click()")
        opened.wait_for_timeout(100)
        assert opened.evaluate("globalThis.wasHere") is None
        assert [url for url in asked if not url.startswith("file:")] == []
        assert sum("Content Security Policy" in words for words in heard) >= 4, heard
        context.close()
    finally:
        page.unlink()


def test_text_cannot_be_turned_into_markup(browser: Browser, sites: Mapping[str, Path]) -> None:
    """Trusted types: even the site's own script could not write HTML."""
    with browser.new_context(offline=True) as context:
        page = context.new_page()
        page.goto((sites["press"] / "index.html").as_uri())
        refused = page.evaluate(
            "(() => { try { document.body.innerHTML = '<b>x</b>'; return false; }"
            " catch (error) { return error instanceof TypeError; } })()"
        )
        assert refused
