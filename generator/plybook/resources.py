"""Files that are shipped beside the code: themes, and the course that `new` starts from.

In a wheel they lie inside the package; in a clone they lie beside the folder of the code.
"""

from __future__ import annotations

from pathlib import Path

__all__ = ["shipped_folder"]

_PACKAGE = Path(__file__).resolve().parent


def shipped_folder(name: str) -> Path:
    """Return the folder `themes` or `curriculum`, wherever this copy keeps it."""
    for place in (_PACKAGE / "_data" / name, _PACKAGE.parents[1] / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"this copy of plybook is incomplete: no folder {name}")
