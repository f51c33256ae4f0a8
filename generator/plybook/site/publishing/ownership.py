"""What stands in a folder, and whether it is ours to replace or to remove."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from plybook.litter import LITTER
from plybook.site.publishing import disk
from plybook.site.publishing.manifest import MANIFEST, Entry, Manifest
from plybook.site.publishing.refusals import Foreign

__all__ = ["EMPTY", "Standing", "is_entry", "remove_own", "survey"]

EMPTY = Manifest({})


@dataclass(frozen=True, slots=True)
class Standing:
    """A published site, or an empty folder, with nothing foreign in it."""

    manifest: Manifest
    is_complete: bool  # the manifest and every file it lists are there


def survey(out: Path, *, ignored: frozenset[str] = frozenset()) -> Standing | None:
    """Return what stands at `out`, None when nothing does.

    Raises Foreign, with the whole list, when something there is not ours or was edited. `ignored`
    are names at the top that belong to the publication itself.
    """
    if not out.exists():
        return None
    found = _without(disk.tree(out), ignored)
    extra: list[str] = [*found.others]
    edited: list[str] = []
    manifest = EMPTY
    if MANIFEST in found.files:
        try:
            manifest = Manifest.decode(disk.read(out / MANIFEST))
        except ValueError:
            edited.append(MANIFEST)
    for path, mark in found.files.items():
        entry = manifest.entries.get(path)
        if entry is None:
            extra.extend([path] if path != MANIFEST and not is_litter(path) else [])
        elif mark[0] != entry.size or not is_entry(out / path, entry):
            edited.append(path)
    extra.extend(f"{folder}/" for folder in found.folders if folder not in manifest.folders)
    if extra or edited:
        raise Foreign(extra=tuple(sorted(extra)), edited=tuple(sorted(edited)))
    return Standing(manifest, {MANIFEST, *manifest.entries} <= found.files.keys())


def is_litter(path: str) -> bool:
    """Return whether a file was left by a desktop that showed the folder."""
    return path.rpartition("/")[2] in LITTER  # no reason to refuse a build


def is_entry(path: Path, entry: Entry) -> bool:
    """Return whether the file has the content that its entry states."""
    return hashlib.sha256(disk.read(path)).hexdigest() == entry.sha256


def remove_own(folder: Path) -> tuple[str, ...]:
    """Remove a folder of an earlier publication and return (); or return what is foreign in it.

    With anything foreign in it, nothing is removed. A listed file goes whatever is in it: a build
    that was stopped leaves half-written ones. The manifest goes last, so that a removal that was
    stopped can go on.
    """
    if folder.is_symlink() or not folder.is_dir():
        return (folder.name,) if folder.is_symlink() or folder.exists() else ()
    found = disk.tree(folder)
    manifest = _listed(folder, found)
    own = {*manifest.entries, MANIFEST}
    foreign = [
        *found.others,
        *(path for path in found.files if path not in own and not is_litter(path)),
    ]
    foreign.extend(f"{path}/" for path in found.folders if path not in manifest.folders)
    if foreign:
        return tuple(sorted(foreign))
    for path in found.files:
        if path != MANIFEST:
            disk.remove_file(folder / path)
    for path in reversed(found.folders):
        disk.remove_folder(folder / path)
    if MANIFEST in found.files:
        disk.remove_file(folder / MANIFEST)
    disk.remove_folder(folder)
    return ()


def _listed(folder: Path, found: disk.Tree) -> Manifest:
    """Return the manifest of a leftover; an unreadable one was still being written: none."""
    if MANIFEST not in found.files:
        return EMPTY
    try:
        return Manifest.decode(disk.read(folder / MANIFEST))
    except ValueError:
        return EMPTY


def _without(found: disk.Tree, ignored: frozenset[str]) -> disk.Tree:
    if not ignored:
        return found

    def is_kept(path: str) -> bool:
        return path.split("/")[0] not in ignored

    return disk.Tree(
        {path: mark for path, mark in found.files.items() if is_kept(path)},
        tuple(filter(is_kept, found.folders)),
        tuple(filter(is_kept, found.others)),
    )
