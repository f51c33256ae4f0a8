"""What the preview adds to a page on its way to the browser, in memory alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from plybook.resources import shipped_folder

__all__ = ["Dress", "own_files"]

_SHEET: Final = "preview.css"
_SCRIPT: Final = "preview.js"
_POLICY: Final = b"default-src &#39;none&#39;; "
#: The one thing more that a page of the preview may do: ask this very server for news.
_WIDER: Final = _POLICY + b"connect-src &#39;self&#39;; "


def own_files(secret: str) -> Mapping[str, bytes]:
    """Return the preview's own sheet and script by path, and the picture that browsers ask for."""
    folder = shipped_folder("themes") / "base" / "preview"
    files = {f"{secret}/{name}": (folder / name).read_bytes() for name in (_SHEET, _SCRIPT)}
    return {**files, "favicon.ico": b""}


class Dress:
    """Puts the slip, the script and the policy of the preview into pages."""

    def __init__(self, secret: str) -> None:
        self._secret = secret

    def dressed(self, page: bytes, slip: str, number: int) -> bytes:
        """Return a page with the slip at its end and a script that waits for a higher number."""
        head = (
            f'<link rel="stylesheet" href="/{self._secret}/{_SHEET}">\n'
            f'<script src="/{self._secret}/{_SCRIPT}" data-number="{number}" defer></script>\n'
        )
        page = page.replace(_POLICY, _WIDER, 1)
        page = page.replace(b"</head>", head.encode() + b"</head>", 1)
        before, body, after = page.rpartition(b"</body>")
        return before + slip.encode() + body + after
