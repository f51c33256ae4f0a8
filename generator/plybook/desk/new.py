"""A new course folder, with comments that teach the format."""

from __future__ import annotations

from pathlib import Path

from plybook.diagnostics import UsageError
from plybook.resources import shipped_folder

__all__ = ["make_course"]

_STARTER = Path(__file__).resolve().parent / "starter"


def make_course(folder: Path, *, is_demo: bool) -> tuple[str, ...]:
    """Write a course into `folder`, which must be absent or empty; return the files' names.

    With `is_demo` it is a copy of the demonstration course. Raises UsageError, writing nothing,
    when something stands there already.
    """
    source = shipped_folder("curriculum") if is_demo else _STARTER
    names = sorted(
        path.relative_to(source).as_posix()
        for path in source.rglob("*")
        if path.is_file() and not path.name.startswith(".")
    )
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise UsageError(f"{folder} is not empty; name a folder that does not exist yet")
        for name in names:
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes((source / name).read_bytes())
    except OSError as error:
        raise UsageError(f"cannot write to {folder}: {error.strerror}") from error
    return tuple(names)
