"""Writing a whole site into a folder of its own, before any reader can see it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from plybook.site.publishing import disk
from plybook.site.publishing.manifest import MANIFEST, Manifest

__all__ = ["stage"]


def stage(files: Mapping[str, bytes], manifest: Manifest, folder: Path) -> None:
    """Make `folder` and write the site into it, down to the disk.

    The manifest comes first: whatever stops us later, the next run knows which names here are ours
    to remove.
    """
    disk.make_folder(folder)
    disk.write_new(folder / MANIFEST, manifest.encode())
    disk.flush(folder, [MANIFEST])
    folders = sorted(manifest.folders)
    for path in folders:
        disk.make_folder(folder / path)
    for path in manifest.entries:
        disk.write_new(folder / path, files[path])
    disk.flush(folder, [*manifest.entries, *reversed(folders)])
