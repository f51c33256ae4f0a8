"""A preview that runs inside the test: its folder, its server, and how to speak to it raw."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

import pytest
from playwright.sync_api import Browser, Playwright

from browser.tools import chromium_path, need_module
from plybook.desk.preview.clients import Clients
from plybook.desk.preview.server import PreviewServer, new_secret
from plybook.desk.preview.shown import ShownCourse
from plybook.desk.preview.watching import look_at, watch
from preview.editing import write_course

_PATIENCE = 20.0


@dataclass(frozen=True)
class Running:
    """A preview under way."""

    folder: Path
    server: PreviewServer
    shown: ShownCourse
    clients: Clients

    @property
    def port(self) -> int:
        return int(self.server.server_address[1])

    def connect(self) -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=_PATIENCE)

    def raw(self, request: bytes) -> bytes:
        """Return everything that is answered to these bytes, b"" for a mere hanging up."""
        with self.connect() as connection:
            try:
                connection.sendall(request)
                connection.shutdown(socket.SHUT_WR)
                return b"".join(iter(lambda: connection.recv(65536), b""))
            except (ConnectionError, BrokenPipeError):
                return b""

    def get(self, path: str, *headers: str, method: str = "GET", host: str | None = None) -> bytes:
        """Return the answer to a well-formed request with more headers."""
        named = f"127.0.0.1:{self.port}" if host is None else host
        rows = [f"{method} {path} HTTP/1.1", f"Host: {named}", *headers, "", ""]
        return self.raw("\r\n".join(rows).encode("utf-8", "surrogateescape"))

    def edit(self, file: str, old: str, new: str) -> None:
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")


@contextmanager
def running(folder: Path) -> Iterator[Running]:
    """Serve a course folder and follow its changes."""
    secret = new_secret()
    shown, clients = ShownCourse(folder, theme=None, jobs=1, secret=secret), Clients()
    stop = Event()

    def follow() -> None:
        shown.refresh()
        clients.tell()

    with PreviewServer(shown, clients, port=0, secret=secret) as server:
        seen = look_at(folder)
        shown.refresh()
        threads = [
            Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}),
            Thread(target=watch, args=(folder, seen, follow), kwargs={"stop": stop}),
        ]
        for thread in threads:
            thread.start()
        try:
            yield Running(folder, server, shown, clients)
        finally:
            stop.set()
            clients.close()
            server.shutdown()
            for thread in threads:
                thread.join()


@pytest.fixture
def preview(tmp_path: Path) -> Iterator[Running]:
    write_course(tmp_path)
    with running(tmp_path) as one:
        yield one


@pytest.fixture(scope="module")
def still(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A preview of a course that no test of the module changes."""
    folder = tmp_path_factory.mktemp("course")
    write_course(folder)
    with running(folder) as one:
        yield one


@pytest.fixture(scope="session")
def chromium(request: pytest.FixtureRequest) -> Iterator[Browser]:
    need_module("playwright", of="playwright")
    program = chromium_path()
    driver: Playwright = request.getfixturevalue("driver")
    switches = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
    switches += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]
    one = driver.chromium.launch(executable_path=program, args=switches)
    yield one
    one.close()
