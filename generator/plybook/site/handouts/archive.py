"""Archives whose bytes hang on their content alone, and the site as one of them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping
from typing import Final

from plybook.site.publishing.manifest import MANIFEST, Manifest

__all__ = ["archive", "site_zip"]

_DATE: Final = (1980, 1, 1, 0, 0, 0)  # the first that the format knows
_UNIX: Final = 3
_MODE: Final = 0o100644 << 16  # an ordinary file that everybody may read


def archive(members: Iterable[tuple[str, bytes]]) -> bytes:
    """Return a zip archive of files by path, in this order.

    Nothing is compressed: the result would hang on the compressor's version. Dates are all the
    same.
    """
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_STORED) as file:
        for path, content in members:
            entry = zipfile.ZipInfo(path, _DATE)
            entry.create_system = _UNIX
            entry.external_attr = _MODE
            file.writestr(entry, content)
    return written.getvalue()


def site_zip(files: Mapping[str, bytes], *, course: str) -> bytes:
    """Return the site as an archive of one folder, with the manifest that publication writes.

    The folder has the name of the course's ident.
    """
    whole = {**files, MANIFEST: Manifest.of(files, course=course).encode()}
    return archive((f"{course}/{path}", whole[path]) for path in sorted(whole))
