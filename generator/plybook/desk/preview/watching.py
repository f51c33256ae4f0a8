"""Looking whether something in a course folder has changed.

By looking again and again: it works on memory sticks and network drives too, and a look at four
hundred files takes less than a millisecond.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from threading import Event
from typing import Final

__all__ = ["Signs", "look_at", "watch"]

_FOLDERS: Final = ("", "lessons", "principles", "images")
_PAUSE: Final = 0.05  # seconds between two looks
_REST: Final = 8  # a look at a large course is followed by a rest of so many times its length
_SETTLING: Final = 0.015  # seconds in which an editor goes on writing
_LOOKS: Final = 20
#: File systems count time in steps: what was written twice in one step is found by a second look.
_SECOND_LOOK: Final = 3.0

#: What is equal as long as nobody has written to the folder.
Signs = tuple[tuple[str, int, int, int, int], ...]


def look_at(folder: Path) -> Signs:
    """Return the signs of every file that a course is made of. No link is followed."""
    signs = []
    for name in _FOLDERS:
        try:
            with os.scandir(folder / name) as entries:
                for entry in entries:
                    status = entry.stat(follow_symlinks=False)
                    signs.append(
                        (
                            f"{name}/{entry.name}",
                            status.st_mtime_ns,
                            status.st_ctime_ns,
                            status.st_size,
                            status.st_ino,
                        )
                    )
        except OSError:  # it is not there, or went away just now: the next look will tell
            continue
    return tuple(sorted(signs))


def watch(folder: Path, seen: Signs, changed: Callable[[], None], *, stop: Event) -> None:
    """Call `changed` after each change of the folder since `seen`, until `stop` is set."""
    second_look: float | None = None
    pause = _PAUSE
    while not stop.wait(pause):
        start = time.monotonic()
        now = look_at(folder)
        pause = max(_PAUSE, _REST * (time.monotonic() - start))
        if now != seen:
            seen = _settled(folder, now)
            changed()
            second_look = time.monotonic() + _SECOND_LOOK
        elif second_look is not None and time.monotonic() > second_look:
            second_look = None
            changed()


def _settled(folder: Path, signs: Signs) -> Signs:
    """Return the signs when they have stopped changing: a file is written in several steps."""
    for _ in range(_LOOKS):
        time.sleep(_SETTLING)
        now = look_at(folder)
        if now == signs:
            break
        signs = now
    return signs
