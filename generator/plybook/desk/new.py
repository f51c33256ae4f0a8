"""A new course folder, with comments that teach the format."""

from __future__ import annotations

import json
import re
import unicodedata
import zlib
from pathlib import Path
from typing import Final

from plybook.diagnostics import UsageError
from plybook.resources import shipped_folder
from plybook.text import COURSE_FILE

__all__ = ["add_page", "make_course"]

_STARTER = Path(__file__).resolve().parent / "starter"
_STARTER_ID: Final = b"id: my-course\n"
_PAGES = Path(__file__).resolve().parent / "starter_pages"
_NUMBERED = re.compile(r"([0-9]{1,4})-([a-z0-9-]+)\.md")
_WORDS: Final = frozenset({"true", "false", "null", "yes", "no"})  # YAML means something by them
_SLUG_LIMIT: Final = 60


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
            content = (source / name).read_bytes()
            if name == COURSE_FILE and not is_demo:
                content = content.replace(_STARTER_ID, f"id: {_ident_of(folder)}\n".encode(), 1)
            target.write_bytes(content)
    except OSError as error:
        raise UsageError(f"cannot write to {folder}: {error.strerror}") from error
    return tuple(names)


def _ident_of(folder: Path) -> str:
    """Return a course's `id` as course.yaml has it, made from the name of its folder."""
    name = folder.resolve().name
    try:
        return _as_yaml(_slug_of(name))
    except UsageError:  # no Latin letter: any word that is the same for the same name
        return f"course-{zlib.crc32(name.encode()):08x}"


def add_page(start: Path | None, *, kind: str, title: str) -> Path:
    """Write a new lesson or principle into the course found from `start`; return its path.

    A lesson gets the number after the last one. Raises UsageError, writing nothing, when its name
    is taken or the title has no letter from which a name could be made.
    """
    from plybook.desk.work import find_course

    course = find_course(start)
    slug = _slug_of(title)
    folder = course / f"{kind}s"
    numbers, taken = [0], set[str]()
    for page in folder.glob("*.md"):
        numbered = _NUMBERED.fullmatch(page.name) if kind == "lesson" else None
        taken.add(numbered[2] if numbered else page.stem)
        numbers += [int(numbered[1])] if numbered else []
    if slug in taken:
        raise UsageError(f"{folder} has a page `{slug}` already; give the new one another title")
    name = f"{max(numbers) + 1:02}-{slug}.md" if kind == "lesson" else f"{slug}.md"
    text = (_PAGES / f"{kind}.md").read_text(encoding="utf-8")
    path = folder / name
    try:
        folder.mkdir(exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text.replace("TITLE", _as_yaml(title), 1))
    except OSError as error:
        raise UsageError(f"cannot write {path}: {error.strerror}") from error
    return path


def _slug_of(title: str) -> str:
    """Return a page's name made from its title: `Pins & forks` becomes `pins-forks`."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_SLUG_LIMIT].strip("-")
    if not slug:
        raise UsageError(
            "no name for the file can be made from this title; "
            "give one in Latin letters and change `title` in the file afterwards"
        )
    return slug


def _as_yaml(title: str) -> str:
    """Return a title as it stands in a head: in quotes where it would read as something else."""
    is_plain = re.fullmatch(r"[A-Za-z][A-Za-z0-9 ,.!?()-]*", title) and title.strip() == title
    is_plain = is_plain and title.lower() not in _WORDS
    return title if is_plain else json.dumps(title, ensure_ascii=False)
