"""The server of the preview: loopback only, answers from memory, knows no folder."""

from __future__ import annotations

import secrets
import select
import socketserver
import sys
import time
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Final, Protocol
from urllib.parse import parse_qs

from plybook.desk.preview.clients import Clients, TooManyError
from plybook.desk.preview.places import Places
from plybook.desk.preview.rules import SAFETY_HEADERS, hosts_of, path_of, refusal

__all__ = ["Answer", "Answers", "PreviewServer", "new_secret"]

_LOOPBACK: Final = "127.0.0.1"
_HEAD_LIMIT: Final = 8 * 1024  # bytes of a request line with its headers
_PATIENCE: Final = 10.0  # seconds in which a request must have come, whole
_PULSE: Final = 15.0  # seconds of silence after which a waiting browser hears that we are there
_TYPES: Final = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "pgn": "application/x-chess-pgn; charset=utf-8",
    "txt": "text/plain; charset=utf-8",
    "svg": "image/svg+xml",
    "ico": "image/x-icon",
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "webp": "image/webp",
    "woff2": "font/woff2",
}


class Answer(Protocol):
    """A file of the site as it stands: its content, and a number that rises when it changes."""

    @property
    def content(self) -> bytes: ...
    @property
    def number(self) -> int: ...


class Answers(Protocol):
    """Knows the files of the site by path."""

    def find(self, path: str, /) -> Answer | None: ...


class PreviewServer(ThreadingHTTPServer):
    """Serves the files that `answers` knows. `secret` names the folder of the preview's own."""

    daemon_threads = True
    block_on_close = False
    request_queue_size = 32
    #: On Windows the option would let another program take the port over.
    allow_reuse_address = sys.platform != "win32"

    def __init__(self, answers: Answers, clients: Clients, *, port: int, secret: str) -> None:
        self.answers = answers
        self.clients = clients
        self.secret = secret
        self.places = Places()
        super().__init__((_LOOPBACK, port), _Handler)
        self.hosts = hosts_of(self.server_address[1])

    @property
    def address(self) -> str:
        """Where a browser finds the course."""
        return f"http://{_LOOPBACK}:{self.server_address[1]}/"

    def server_bind(self) -> None:
        """Bind without asking the network for our name, as the library would."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = _LOOPBACK, self.server_address[1]

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer in a thread of its own; a connection for which there is no place is closed."""
        if not self.places.take(request):
            self.shutdown_request(request)
            return
        super().process_request(request, client_address)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """Answer, then free the place."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self.places.give_back(request)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing of a browser that went away; anything else is ours and is shown."""
        if not isinstance(sys.exc_info()[1], OSError):
            super().handle_error(request, client_address)


def new_secret() -> str:
    """Return a name of a folder that nobody can guess."""
    return f"preview-{secrets.token_hex(16)}"


class _Handler(BaseHTTPRequestHandler):
    server: PreviewServer
    server_version = "preview"
    sys_version = ""
    protocol_version = "HTTP/1.1"

    def handle(self) -> None:
        """Answer one request and close: on loopback a new connection costs nothing."""
        self.command = ""
        head = self._read_head()
        if head is None:
            return
        self.server.places.keep(self.connection)
        self.close_connection = True
        lines = head.split(b"\r\n")
        words = lines[0].decode("latin-1").split(" ")
        headers = _headers_of(lines[1:])
        if len(words) != 3 or not words[2].startswith("HTTP/1.") or headers is None:
            self._refuse(HTTPStatus.BAD_REQUEST)
            return
        self.command, target = words[0], words[1]
        refused = refusal(self.command, headers, self.server.hosts)
        if refused is not None:
            self._refuse(refused)
            return
        path = path_of(target)
        if path is None:
            self._refuse(HTTPStatus.NOT_FOUND)
        elif path == f"{self.server.secret}/news":
            self._send_news(target)
        else:
            self._send_file(path)

    def _read_head(self) -> bytes | None:
        """Return request line and headers, None when they do not come in time or are too long."""
        end = time.monotonic() + _PATIENCE
        head = b""
        while b"\r\n\r\n" not in head:
            left = end - time.monotonic()
            if left <= 0:
                return None
            if len(head) > _HEAD_LIMIT:
                self._refuse(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE)
                return None
            self.connection.settimeout(left)
            try:
                piece = self.connection.recv(4096)
            except TimeoutError:
                return None
            if not piece:
                return None
            head += piece
        head = head.partition(b"\r\n\r\n")[0]
        if len(head) > _HEAD_LIMIT:
            self._refuse(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE)
            return None
        self.connection.settimeout(_PATIENCE)
        return head

    def _send_file(self, path: str) -> None:
        found = self.server.answers.find(path)
        if found is None:
            self._refuse(HTTPStatus.NOT_FOUND)
            return
        ending = path.rpartition(".")[2].lower()
        self._send(HTTPStatus.OK, _TYPES.get(ending, "application/octet-stream"), found.content)

    def _refuse(self, status: HTTPStatus) -> None:
        """Send a status with its own words and nothing of the request."""
        self._send(status, _TYPES["txt"], f"{status.phrase}\n".encode())

    def _send(self, status: HTTPStatus, kind: str, content: bytes) -> None:
        self._begin(status, kind, (("Content-Length", str(len(content))),))
        if self.command != "HEAD":
            self.wfile.write(content)

    def _begin(self, status: HTTPStatus, kind: str, more: Sequence[tuple[str, str]] = ()) -> None:
        lines = [f"{self.protocol_version} {status.value} {status.phrase}"]
        headers = (("Content-Type", kind), *more, *SAFETY_HEADERS, ("Connection", "close"))
        lines += [f"{name}: {value}" for name, value in headers]
        self.wfile.write("\r\n".join([*lines, "", ""]).encode("latin-1"))

    # ---------------------------------------------------------------- news

    def _send_news(self, target: str) -> None:
        """Tell a browser the number of its page, at once and whenever it rises.

        Server-sent events (HTML standard, section 9.2). They hold a number, never a path.
        """
        asked = parse_qs(target.partition("?")[2]).get("page", [""])[0]
        path = path_of(asked) or ""
        if self.command == "HEAD":
            self._begin(HTTPStatus.OK, "text/event-stream")
            return
        try:
            with self.server.clients.one():
                self._begin(HTTPStatus.OK, "text/event-stream")
                self._go_on_telling(path)
        except TooManyError:
            self._refuse(HTTPStatus.SERVICE_UNAVAILABLE)

    def _go_on_telling(self, path: str) -> None:
        clients = self.server.clients
        seen: int | None = clients.count
        told: int | None = None
        while seen is not None:
            found = self.server.answers.find(path)
            number = found.number if found else 0
            self._say(": we are here\n\n" if number == told else f"data: {number}\n\n")
            told = number
            seen = clients.next(seen, seconds=_PULSE, is_gone=self._is_gone)

    def _is_gone(self) -> bool:
        """Return whether the browser has closed its end; it has nothing more to say."""
        readable, _, _ = select.select([self.connection], [], [], 0)
        return bool(readable)

    def _say(self, words: str) -> None:
        self.wfile.write(words.encode())
        self.wfile.flush()


def _headers_of(lines: Sequence[bytes]) -> Mapping[str, Sequence[str]] | None:
    """Return all header lines by name in small letters, None where one is no header."""
    headers: dict[str, list[str]] = {}
    for line in lines:
        name, colon, value = line.decode("latin-1").partition(":")
        if not colon or not name or name != name.strip() or not name.isprintable():
            return None
        headers.setdefault(name.lower(), []).append(value.strip())
    return headers
