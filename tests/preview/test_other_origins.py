"""Pages of other origins, in a browser that has the preview open: they read nothing of it.

A page from elsewhere is played by a second server of this machine, under names that the browser is
told to resolve to it, as a hostile name server would (DNS rebinding).
"""

from __future__ import annotations

from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from playwright.sync_api import Browser, Page, Playwright

from browser.tools import chromium_path, need_module
from preview.conftest import Running


class _Hostile(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>elsewhere</title>")

    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="module")
def hostile_port() -> Iterator[int]:
    with ThreadingHTTPServer(("127.0.0.1", 0), _Hostile) as server:
        thread = Thread(target=server.serve_forever)
        thread.start()
        yield int(server.server_address[1])
        server.shutdown()
        thread.join()


@pytest.fixture(scope="module")
def misled(request: pytest.FixtureRequest) -> Iterator[Browser]:
    """A browser for which evil.example is this machine."""
    need_module("playwright", of="playwright")
    program = chromium_path()
    driver: Playwright = request.getfixturevalue("driver")
    switches = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    switches.append("--host-resolver-rules=MAP evil.example 127.0.0.1")
    one = driver.chromium.launch(executable_path=program, args=switches)
    yield one
    one.close()


@pytest.fixture(params=["evil.example", "localhost"])
def elsewhere(request: pytest.FixtureRequest, misled: Browser, hostile_port: int) -> Iterator[Page]:
    """A page of another origin: another site, or another port of this machine."""
    page = misled.new_page()
    page.goto(f"http://{request.param}:{hostile_port}/")
    yield page
    page.close()


_LOADED = """([tag, url]) => new Promise((done) => {
  const one = document.createElement(tag);
  one.onload = () => done("loaded");
  one.onerror = () => done("refused");
  if (tag === "link") { one.rel = "stylesheet"; one.href = url; } else one.src = url;
  document.head.append(one);
})"""


def _paths(still: Running) -> dict[str, str]:
    front = still.shown.find("index.html")
    assert front is not None
    words = front.content.decode().split('"')
    script = next(word for word in words if word.startswith("assets/board"))
    sheet = next(word for word in words if word.startswith("assets/style"))
    return {"script": script, "link": sheet, "img": "images/board.png"}


@pytest.mark.parametrize("tag", ["script", "link", "img"])
def test_no_file_is_loaded_into_a_foreign_page(elsewhere: Page, still: Running, tag: str) -> None:
    url = f"http://127.0.0.1:{still.port}/{_paths(still)[tag]}"
    assert elsewhere.evaluate(_LOADED, [tag, url]) == "refused"


def test_no_answer_is_read_by_a_foreign_page(elsewhere: Page, still: Running) -> None:
    fetched = """(url) => fetch(url, {mode: "cors"}).then((a) => a.text(), () => "refused")"""
    for path in ("", "lessons/draft.html", f"{still.server.secret}/news"):
        url = f"http://127.0.0.1:{still.port}/{path}"
        assert elsewhere.evaluate(fetched, url) == "refused"


def test_no_news_are_heard_by_a_foreign_page(elsewhere: Page, still: Running) -> None:
    listen = """(url) => new Promise((done) => {
      const news = new EventSource(url);
      news.onmessage = () => done("heard");
      news.onerror = () => { news.close(); done("refused"); };
    })"""
    url = f"http://127.0.0.1:{still.port}/{still.server.secret}/news"
    assert elsewhere.evaluate(listen, url) == "refused"


def test_no_foreign_page_frames_the_preview(elsewhere: Page, still: Running) -> None:
    elsewhere.evaluate(
        """(url) => { const frame = document.createElement("iframe");
        frame.src = url; document.body.append(frame); }""",
        f"http://127.0.0.1:{still.port}/",
    )
    elsewhere.wait_for_timeout(300)
    for frame in elsewhere.frames[1:]:
        assert "Harbour" not in frame.content()


def test_a_name_turned_to_this_machine_is_refused(misled: Browser, still: Running) -> None:
    page = misled.new_page()
    answer = page.goto(f"http://evil.example:{still.port}/lessons/draft.html")
    assert answer is not None
    assert answer.status == 421
    assert "Not yet" not in page.content()
    page.close()


def test_a_link_from_elsewhere_can_be_followed(elsewhere: Page, still: Running) -> None:
    elsewhere.evaluate(f"location.href = 'http://127.0.0.1:{still.port}/'")
    elsewhere.wait_for_url(f"http://127.0.0.1:{still.port}/")
    assert "Harbour lessons" in elsewhere.content()
