"""Files that a desktop leaves in every folder somebody has looked into: nobody's work."""

from __future__ import annotations

from typing import Final

__all__ = ["LITTER"]

LITTER: Final = frozenset({".DS_Store", "Thumbs.db", "desktop.ini", ".directory"})
