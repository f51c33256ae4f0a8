"""What the preview refuses, asked as an attacker asks: bytes on a socket, without a browser.

The cases follow the names and headers that a page of another origin can make a browser send (Fetch
standard; DNS rebinding), and the ways in which servers have been talked out of their folder.
"""

from __future__ import annotations

import random
import socket
import time
from contextlib import suppress

import pytest

from plybook.desk.preview.places import MOST, Places
from preview.conftest import Running

_HEADERS = {
    b"Cache-Control: no-store",
    b"X-Content-Type-Options: nosniff",
    b"X-Frame-Options: DENY",
    b"Cross-Origin-Resource-Policy: same-origin",
    b"Cross-Origin-Opener-Policy: same-origin",
}


def status(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1]) if answer else 0


def body(answer: bytes) -> bytes:
    return answer.partition(b"\r\n\r\n")[2]


# ---------------------------------------------------------------------- hosts and origins


@pytest.mark.parametrize("host", ["127.0.0.1:{port}", "localhost:{port}", "LOCALHOST:{port}"])
def test_a_browser_on_this_machine_is_answered(still: Running, host: str) -> None:
    assert status(still.get("/", host=host.format(port=still.port))) == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:{port}",
        "127.0.0.1.evil.example:{port}",
        "localhost.evil.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost",
        "0.0.0.0:{port}",
        "127.0.0.2:{port}",
        "2130706433:{port}",
        "0x7f000001:{port}",
        "127.1:{port}",
        "[::ffff:127.0.0.1]:{port}",
        "user@127.0.0.1:{port}",
        "127.0.0.1:{port}, evil.example",
        "",
    ],
)
def test_another_name_of_this_machine_is_refused(still: Running, host: str) -> None:
    answer = still.get("/", host=host.format(port=still.port))
    assert status(answer) == 421
    assert b"Harbour" not in answer


def test_no_host_line_and_two_of_them_are_refused(still: Running) -> None:
    own = f"Host: 127.0.0.1:{still.port}"
    assert status(still.raw(b"GET / HTTP/1.1\r\n\r\n")) == 421
    assert status(still.raw(b"GET / HTTP/1.0\r\n\r\n")) == 421
    assert status(still.get("/", own)) == 421
    assert status(still.get("/", "Host: evil.example")) == 421


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1", ""]
)
def test_a_foreign_origin_is_refused(still: Running, origin: str) -> None:
    assert status(still.get("/", f"Origin: {origin.format(port=still.port)}")) == 403


def test_the_own_origin_is_answered(still: Running) -> None:
    assert status(still.get("/", f"Origin: http://127.0.0.1:{still.port}")) == 200


@pytest.mark.parametrize(
    ("site", "mode", "kind", "answered"),
    [
        ("cross-site", "navigate", "document", 200),  # a link that somebody follows
        ("cross-site", "no-cors", "script", 403),
        ("cross-site", "no-cors", "image", 403),
        ("cross-site", "cors", "empty", 403),
        ("cross-site", "navigate", "iframe", 403),
        ("cross-site", "navigate", "object", 403),
        ("same-site", "no-cors", "script", 403),  # another port of this machine
        ("same-origin", "no-cors", "script", 200),
        ("none", "navigate", "document", 200),
    ],
)
def test_only_own_pages_and_whole_pages_may_ask(
    still: Running, site: str, mode: str, kind: str, answered: int
) -> None:
    headers = (f"Sec-Fetch-Site: {site}", f"Sec-Fetch-Mode: {mode}", f"Sec-Fetch-Dest: {kind}")
    assert status(still.get("/index.html", *headers)) == answered


# ---------------------------------------------------------------------- methods, headers, limits


@pytest.mark.parametrize(
    "method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "get", "PROPFIND"]
)
def test_nothing_but_reading_is_allowed(still: Running, method: str) -> None:
    assert status(still.get("/", method=method)) == 405


def test_head_says_what_get_would_and_no_more(still: Running) -> None:
    got, head = still.get("/"), still.get("/", method="HEAD")
    assert head == got.partition(b"\r\n\r\n")[0] + b"\r\n\r\n"


@pytest.mark.parametrize("header", ["Content-Length: 5", "Transfer-Encoding: chunked"])
def test_a_question_with_a_body_is_refused(still: Running, header: str) -> None:
    assert status(still.get("/", header)) == 400


@pytest.mark.parametrize("path", ["/", "/nothing.html", "/lessons/forks.pgn"])
def test_every_answer_forbids_keeping_framing_guessing_and_sharing(
    still: Running, path: str
) -> None:
    assert set(still.get(path).split(b"\r\n")) >= _HEADERS


def test_a_head_that_is_too_long_is_refused(still: Running) -> None:
    assert status(still.get("/", f"X: {'x' * 9000}")) in {431, 0}
    assert status(still.get(f"/{'x' * 9000}")) in {431, 0}
    assert status(still.get("/", *(f"X{at}: y" for at in range(2000)))) in {431, 0}
    assert status(still.get("/", f"X: {'x' * 7000}")) == 200


@pytest.mark.parametrize(
    "request_line",
    [
        b"GET /",
        b"GET / HTTP/2.0 x",
        b"GET  / HTTP/1.1",
        b"\x16\x03\x01\x02",  # the first bytes of TLS
        b"GET / FTP/1.1",
        b"",
    ],
)
def test_what_is_no_request_is_refused(still: Running, request_line: bytes) -> None:
    host = f"\r\nHost: 127.0.0.1:{still.port}\r\n\r\n".encode()
    assert status(still.raw(request_line + host)) in {400, 0}


@pytest.mark.parametrize("line", ["no colon", " : folded", "Host : x", ": no name"])
def test_a_line_that_is_no_header_is_refused(still: Running, line: str) -> None:
    assert status(still.get("/", line)) == 400


def test_who_says_nothing_is_let_go(still: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("plybook.desk.preview.server._PATIENCE", 0.3)
    start = time.monotonic()
    with still.connect() as silent, still.connect() as slow:
        slow.sendall(b"GET / HT")
        for _ in range(6):  # a drop now and then does not buy more time
            time.sleep(0.1)
            try:
                slow.sendall(b"T")
            except OSError:
                break
        assert silent.recv(1) == b""
        with suppress(ConnectionResetError):
            assert slow.recv(1) == b""
    assert time.monotonic() - start < 10


def test_more_connections_than_there_are_places_are_closed(still: Running) -> None:
    many = [still.connect() for _ in range(80)]
    try:
        time.sleep(0.3)
        closed = 0
        for one in many:
            one.settimeout(0.05)
            try:
                closed += one.recv(1) == b""
            except TimeoutError:
                pass
            except ConnectionError:
                closed += 1
        assert 80 - 64 <= closed < 80
    finally:
        for one in many:
            one.close()
    for _ in range(100):
        if status(still.get("/")) == 200:
            return
        time.sleep(0.05)
    raise AssertionError("the places were not given back")


@pytest.mark.parametrize("begin", [b"", b"G", b"GET / HTTP/1.1\r\nHost: "])
def test_whoever_asks_nothing_makes_room_for_whoever_does(still: Running, begin: bytes) -> None:
    many = []
    try:
        for _ in range(2 * MOST):
            one = still.connect()
            one.sendall(begin)
            many.append(one)
        start = time.monotonic()
        assert [status(still.get("/")) for _ in range(10)] == [200] * 10
        assert time.monotonic() - start < 5  # half of what an idle connection is waited for
    finally:
        for one in many:
            one.close()


def test_who_is_being_answered_makes_no_room() -> None:
    places = Places()
    pairs = [socket.socketpair() for _ in range(MOST + 2)]
    try:
        ours = [one for one, _ in pairs]
        assert all(places.take(one) for one in ours[:MOST])
        for one in ours[1:MOST]:
            places.keep(one)
        assert places.take(ours[MOST])
        assert pairs[0][1].recv(1) == b""  # the one that had not asked
        places.keep(ours[MOST])
        assert not places.take(ours[MOST + 1])
        places.give_back(ours[5])
        assert places.take(ours[MOST + 1])
    finally:
        for one in (end for pair in pairs for end in pair):
            one.close()


# ---------------------------------------------------------------------- paths


def _secrets(still: Running) -> None:
    """Put things into the folder of the course that no path may reach."""
    (still.folder / ".secret").write_text("LEAK", encoding="utf-8")
    (still.folder / "secret.html").write_text("LEAK", encoding="utf-8")
    link = still.folder / "images" / "link.png"
    if not link.is_symlink():
        link.symlink_to("/etc/passwd")


@pytest.mark.parametrize(
    "path",
    [
        "/../etc/passwd",
        "/../../../../etc/passwd",
        "/lessons/../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/..%2f..%2fetc%2fpasswd",
        "/..%5c..%5cetc%5cpasswd",
        "/%252e%252e/etc/passwd",
        "/%c0%ae%c0%ae/etc/passwd",
        "/..\\..\\etc\\passwd",
        "/....//....//etc/passwd",
        "//etc/passwd",
        "///etc/passwd",
        "/./index.html",
        "/lessons//forks.html",
        "/lessons/./forks.html",
        "/index.html%00.png",
        "/index.html%0d%0aX: y",
        "/index.html\x00",
        "/%",
        "/%zz",
        "/%e2%28%a1",
        "/C:/Windows/win.ini",
        "/c|/etc",
        "http://evil.example/",
        "http://127.0.0.1/index.html",
        "index.html",
        "*",
        "/lessons",
        "/lessons/",
        "/images/",
        "/assets/",
        "/.secret",
        "/secret.html",
        "/course.yaml",
        "/lessons/01-forks.md",
        "/positions.lock",
        "/images/link.png",
        "/INDEX.HTML",
        "/index.html/",
        "/index.html#x",
        "/" + "a" * 5000,
        "/preview-0/news",
        "/themes/base/preview/preview.js",
        "/site-manifest.json",
    ],
)
def test_a_path_that_is_no_page_finds_nothing(still: Running, path: str) -> None:
    _secrets(still)
    answer = still.get(path)
    assert status(answer) in {400, 404}
    assert b"LEAK" not in answer
    assert b"root:" not in answer
    assert len(body(answer)) < 40  # the name of the status, and nothing of what was asked


def test_random_bytes_never_bring_the_server_down(
    still: Running, capfd: pytest.CaptureFixture[str]
) -> None:
    source = random.Random(7)
    pieces = [
        b"GET ", b"/", b"..", b"%2e", b"%00", b" HTTP/1.1", b"\r\n", b"\n", b"Host: ", b"\xff",
        f"127.0.0.1:{still.port}".encode(), b"Origin: null", b":", b"\x00", b"index.html", b" ",
    ]  # fmt: skip
    for _ in range(400):
        request = b"".join(source.choices(pieces, k=source.randint(1, 14)))
        answer = still.raw(request + b"\r\n\r\n")
        assert status(answer) in {0, 200, 400, 403, 404, 405, 421, 431}
        assert b"Traceback" not in answer
    assert status(still.get("/")) == 200
    assert "Traceback" not in capfd.readouterr().err


# ---------------------------------------------------------------------- news


def test_news_are_a_number_behind_a_name_that_nobody_can_guess(preview: Running) -> None:
    secret = preview.server.secret
    assert len(secret) > 32
    assert status(preview.get("/news")) == 404
    with preview.connect() as waiting:
        waiting.sendall(
            f"GET /{secret}/news?page=/lessons/forks.html HTTP/1.1\r\n"
            f"Host: 127.0.0.1:{preview.port}\r\n\r\n".encode()
        )
        head = _until(waiting, b"\n\n")
        assert b"text/event-stream" in head
        first = int(head.rpartition(b"data: ")[2])
        preview.edit("lessons/01-forks.md", "a rule", "one rule of ours")
        second = int(_until(waiting, b"\n\n").rpartition(b"data: ")[2])
        assert second > first
    foreign = preview.get(f"/{secret}/news", "Origin: http://evil.example")
    assert status(foreign) == 403


def test_a_ninth_browser_is_not_kept_waiting(preview: Running) -> None:
    request = (
        f"GET /{preview.server.secret}/news HTTP/1.1\r\nHost: 127.0.0.1:{preview.port}\r\n\r\n"
    ).encode()
    waiting = [preview.connect() for _ in range(8)]
    for one in waiting:
        one.sendall(request)
        assert b"200" in _until(one, b"\r\n\r\n")
    assert status(preview.raw(request)) == 503
    waiting[0].close()
    for _ in range(100):  # whoever leaves gives the place up
        with preview.connect() as next_one:
            next_one.sendall(request)
            if b" 200 " in _until(next_one, b"\r\n\r\n"):
                break
        time.sleep(0.05)
    else:
        raise AssertionError("the place was not given back")
    for one in waiting:
        one.close()


def _until(connection: socket.socket, end: bytes) -> bytes:
    got = b""
    while end not in got:
        piece = connection.recv(4096)
        assert piece, got
        got += piece
    return got
