"""Where verdicts are kept from run to run: with the user, never with the course.

A course is handed on, and its verdicts would be believed wherever it goes.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from plybook.board.claims import VerdictCache

__all__ = ["cache_file", "keep_verdicts", "kept_verdicts"]


def cache_file() -> Path | None:
    """Return the one file for the verdicts of all courses, None where there is no place for it.

    It lies in the folder $PLYBOOK_CACHE, or in the folder `plybook` of the user's cache folder: of
    %LOCALAPPDATA% on Windows, of $XDG_CACHE_HOME (XDG Base Directory Specification 0.8: a relative
    path counts as none) or ~/.cache elsewhere.
    """
    own = os.environ.get("PLYBOOK_CACHE")
    if own:
        return Path(own) / "verdicts.json"
    given = os.environ.get("LOCALAPPDATA" if sys.platform == "win32" else "XDG_CACHE_HOME", "")
    if os.path.isabs(given):
        return Path(given) / "plybook" / "verdicts.json"
    home = os.path.expanduser("~")
    if sys.platform == "win32" or not os.path.isabs(home):
        return None
    return Path(home) / ".cache" / "plybook" / "verdicts.json"


def kept_verdicts() -> VerdictCache:
    """Return the verdicts of earlier runs, none where they cannot be read."""
    path = cache_file()
    return VerdictCache() if path is None else VerdictCache.read(path)


def keep_verdicts(cache: VerdictCache) -> None:
    """Write the verdicts for later runs; where that cannot be, they are settled anew then."""
    path = cache_file()
    if path is None:
        return
    with suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        cache.write(path)
