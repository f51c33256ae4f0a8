"""The connections of the preview: so many at most, and who asks nothing gives way to the next."""

from __future__ import annotations

import socket
from contextlib import suppress
from threading import Lock
from typing import Final

__all__ = ["MOST", "Places"]

MOST: Final = 64


class Places:
    """Who is connected, in the order of coming.

    Any program of this machine may connect and say nothing. A browser sends its request at once:
    so when all places are taken, the first that has not asked yet makes room.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._has_asked: dict[socket.socket, bool] = {}

    def take(self, connection: socket.socket) -> bool:
        """Return whether there is a place for a connection; it has it then."""
        with self._lock:
            if len(self._has_asked) >= MOST:
                idle = next((one for one, asked in self._has_asked.items() if not asked), None)
                if idle is None:
                    return False
                del self._has_asked[idle]
                with suppress(OSError):  # it may have gone by itself
                    idle.shutdown(socket.SHUT_RDWR)  # its thread reads the end, and closes it
            self._has_asked[connection] = False
            return True

    def keep(self, connection: socket.socket) -> None:
        """Let a connection stay till it is answered: its request has come whole."""
        with self._lock:
            if connection in self._has_asked:
                self._has_asked[connection] = True

    def give_back(self, connection: socket.socket) -> None:
        """Free the place of a connection that is over."""
        with self._lock:
            self._has_asked.pop(connection, None)
