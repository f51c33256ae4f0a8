"""A bar that tells how far long work is: on the error stream of a terminal, nowhere else."""

from __future__ import annotations

import os
import sys
from types import TracebackType
from typing import Final

__all__ = ["Progress"]

_WIDTH: Final = 30
_ERASE: Final = "\r\x1b[K"


class Progress:
    """A bar for work of a known size; it is erased at the end. In a pipe it is silent."""

    def __init__(self, label: str, *, size: int) -> None:
        self._label = label
        self._size = max(size, 1)
        self._stream = sys.stderr
        self._is_seen = self._stream.isatty() and os.environ.get("TERM") != "dumb"
        self._percent = -1

    def show(self, done: int) -> None:
        """Show how much is done, in the measure of the size."""
        percent = min(100 * done // self._size, 100)
        if self._is_seen and percent != self._percent:
            self._percent = percent
            bar = ("#" * (percent * _WIDTH // 100)).ljust(_WIDTH, "-")
            self._stream.write(f"\r{self._label} [{bar}] {percent:3} %")
            self._stream.flush()

    def show_of(self, done: int, size: int) -> None:
        """Show how much is done of work whose size is only known now."""
        self._size = max(size, 1)
        self.show(done)

    def hide(self) -> None:
        """Erase the bar, before something else is printed."""
        if self._is_seen and self._percent >= 0:
            self._percent = -1
            self._stream.write(_ERASE)
            self._stream.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.hide()
