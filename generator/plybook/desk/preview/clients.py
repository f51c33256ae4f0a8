"""The browsers that wait for news: each hears that its page has changed, as a number."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

__all__ = ["MOST", "Clients", "TooManyError"]

MOST: Final = 8
_LOOK: Final = 0.25  # seconds between looks whether a waiting browser is still there


class TooManyError(Exception):
    """As many browsers are waiting as may."""


class Clients:
    """Counts the changes, and wakes those that wait for the next one."""

    def __init__(self) -> None:
        self._news = threading.Condition()
        self._count = 0
        self._waiting = 0
        self._is_over = False

    @contextmanager
    def one(self) -> Iterator[None]:
        """Take one of the places; raises TooManyError when all are taken."""
        with self._news:
            if self._waiting >= MOST:
                raise TooManyError
            self._waiting += 1
        try:
            yield
        finally:
            with self._news:
                self._waiting -= 1

    def tell(self) -> None:
        """Say that something has changed."""
        with self._news:
            self._count += 1
            self._news.notify_all()

    def close(self) -> None:
        """Send everybody home."""
        with self._news:
            self._is_over = True
            self._news.notify_all()

    @property
    def count(self) -> int:
        """The number of the last change."""
        return self._count

    def next(self, seen: int, *, seconds: float, is_gone: Callable[[], bool]) -> int | None:
        """Return the number of the last change as soon as it is above `seen`, or after a while.

        None when there will be no more, or nobody is there to be told: a browser that leaves must
        not keep its place.
        """
        for _ in range(int(seconds / _LOOK)):
            with self._news:
                self._news.wait_for(lambda: self._is_over or self._count > seen, _LOOK)
                if self._is_over:
                    return None
                if self._count > seen:
                    return self._count
            if is_gone():
                return None
        return self._count
