"""The list of what was published: path, digest and size of every file, and nothing of when."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from plybook.site.names import BadNameError, check_names

__all__ = ["MANIFEST", "WORK_PREFIX", "Entry", "Manifest"]

#: The manifest's own name, at the site's top. It does not list itself.
MANIFEST: Final = "site-manifest.json"

#: Names at the site's top that begin so belong to a publication under way.
WORK_PREFIX: Final = ".plybook."


@dataclass(frozen=True, slots=True, order=True)
class Entry:
    """One published file. `sha256` is in lower-case hexadecimal, `size` in bytes."""

    path: str
    sha256: str
    size: int

    @classmethod
    def of(cls, path: str, content: bytes) -> Entry:
        """Return the entry of a file with this content."""
        return cls(path, hashlib.sha256(content).hexdigest(), len(content))


@dataclass(frozen=True, slots=True)
class Manifest:
    """All files of one site by path, in the order of code points, and the course they show."""

    entries: Mapping[str, Entry]
    course: str = ""  # its id; "" for a site that does not say

    @classmethod
    def of(cls, files: Mapping[str, bytes], *, course: str = "") -> Manifest:
        """Return the manifest of a site. Raises BadNameError when a path cannot be published."""
        for path in files:
            if path == MANIFEST or path.startswith(WORK_PREFIX):
                raise BadNameError(f"`{path}` is a name that publication itself needs")
        check_names([*files, MANIFEST])
        return cls({path: Entry.of(path, files[path]) for path in sorted(files)}, course)

    @classmethod
    def decode(cls, content: bytes) -> Manifest:
        """Return the manifest that `encode` wrote; anything else raises ValueError."""
        try:
            data: Any = json.loads(content)
            rows = [Entry(row["path"], row["sha256"], row["size"]) for row in data["files"]]
            found = cls({row.path: row for row in rows}, str(data.get("course", "")))
            check_names([*found.entries, MANIFEST])
            same = found.encode() == content
        except (KeyError, TypeError, AttributeError, RecursionError, BadNameError) as error:
            raise ValueError("not a manifest of this program") from error
        if not same:
            raise ValueError("the manifest was changed by hand")
        return found

    def encode(self) -> bytes:
        """Return the manifest as JSON, one line a file."""
        rows = (
            json.dumps(
                {"path": entry.path, "sha256": entry.sha256, "size": entry.size}, ensure_ascii=False
            )
            for entry in self.entries.values()
        )
        course = f'"course": {json.dumps(self.course)}, ' if self.course else ""
        return (f'{{"version": 1, {course}"files": [\n' + ",\n".join(rows) + "\n]}\n").encode()

    @property
    def folders(self) -> frozenset[str]:
        """The folders that the files stand in, the top excluded."""
        return frozenset(
            path[:cut]
            for path in self.entries
            for cut, character in enumerate(path)
            if character == "/"
        )
