"""The command `ledger`: what the opening ledger says of the lines of a lesson or a PGN file."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import click

from plybook.board import Line, ledger
from plybook.course import assemble
from plybook.desk.game_titles import title_of
from plybook.desk.ledger_table import ledger_rows, ledger_table
from plybook.desk.printing import FAULTS
from plybook.diagnostics import Report, UsageError, near_miss, shown
from plybook.text import COURSE_FILE, CourseDraft, read_course_folder
from plybook.text.model import LessonDraft, MovesDraft

__all__ = ["list_facts", "list_ledgers"]

_PGN_LIMIT: Final = 16 * 1024 * 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """A line with its title and its ledger, ready to be printed."""

    title: str
    line: Line
    kept: ledger.Ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What a file holds: lines, and what could not be read, each in one sentence."""

    told: tuple[_Told, ...]
    missing: tuple[str, ...]


def list_ledgers(file: Path | None, *, name: str | None, is_json: bool) -> int:
    """Print the ledgers of a file and return the exit code: 1 when something could not be read."""
    if file is None:
        raise UsageError("name a lesson or a PGN file: `plybook ledger FILE`")
    if str(file) == "-" or file.suffix.lower() == ".pgn":
        found = _of_pgn(file)
    elif file.suffix.lower() == ".md":
        found = _of_lesson(file)
    else:
        raise UsageError(f"{file} is neither a lesson (.md) nor a PGN file (.pgn)")
    told = found.told if name is None else (_named(name, found),)
    if is_json:
        rows = [{"title": one.title, **ledger_rows(one.line, one.kept)} for one in told]
        _print_json({"lines": rows, "unread": list(found.missing)})
    else:
        click.echo("\n".join(_as_text(one) for one in told), nl=False)
    for sentence in found.missing:
        click.echo(sentence, err=True)
    return FAULTS if found.missing else 0


def list_facts(*, is_json: bool) -> int:
    """Print the vocabulary of the ledger and return the exit code."""
    rows = [
        {
            "name": kind.value,
            "meaning": meaning.text,
            "can": [role.value for role in ledger.Role if role in meaning.roles],
        }
        for kind, meaning in ledger.VOCABULARY.items()
    ]
    if is_json:
        _print_json({"facts": rows})
        return 0
    for row in rows:
        click.echo(click.style(str(row["name"]), bold=True))
        click.echo(f"  {row['meaning']}")
        click.echo(f"  can {' or '.join(row['can'])} a principle")
    return 0


def _print_json(rows: dict[str, Any]) -> None:
    click.echo(json.dumps({"version": 1, **rows}, ensure_ascii=False, indent=2))


def _as_text(one: _Told) -> str:
    if not one.kept.entries:
        return f"{click.style(one.title, bold=True)}\nA board without both kings has no ledger.\n"
    return f"{click.style(one.title, bold=True)}\n{ledger_table(one.line, one.kept)}"


def _named(name: str, found: _Found) -> _Told:
    names = [one.line.name for one in found.told]
    if name not in names:
        near = near_miss(name, names)
        known = ", ".join(names[:12]) + (" …" if len(names) > 12 else "") if names else "none"
        advice = f"did you mean `{near}`?" if near else f"lines here: {known}"
        raise UsageError(f"no line `{shown(name)}`; {advice}")
    return found.told[names.index(name)]


# ---------------------------------------------------------------------- a PGN file


def _of_pgn(file: Path) -> _Found:
    from plybook.board import games_in  # no other kind of file has games

    told, missing = [], []
    for number, raw in enumerate(games_in.split_games(_pgn_text(file)), start=1):
        game = games_in.read_game(raw)
        title = title_of(game.tags)
        if isinstance(game, games_in.Rejected):
            named = f" ({title})" if title else ""
            missing.append(
                f"game {number}{named} is left out: {game.reason}, line {game.at}",
            )
            continue
        line, _ = games_in.line_of(game, name=str(number))
        title = f"Game {number}{f': {title}' if title else ''}"
        told.append(_Told(title=title, line=line, kept=ledger.ledger_of(line)))
    if not told and not missing:
        raise UsageError(f"no game in {file}")
    return _Found(told=tuple(told), missing=tuple(missing))


def _pgn_text(file: Path) -> str:
    """Return the text of a PGN file: UTF-8, or Latin-1 as the PGN standard has it."""
    try:
        if str(file) == "-":
            content = sys.stdin.buffer.read(_PGN_LIMIT + 1)
        else:
            with file.open("rb") as stream:
                content = stream.read(_PGN_LIMIT + 1)
    except OSError as error:
        raise UsageError(f"cannot read {file}: {error.strerror}") from error
    if len(content) > _PGN_LIMIT:
        raise UsageError(f"{file} is larger than {_PGN_LIMIT // 1024 // 1024} MB")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    return text.replace("\r\n", "\n").replace("\r", "\n")


# ---------------------------------------------------------------------- a lesson


def _of_lesson(file: Path) -> _Found:
    path = file.absolute()
    if not path.is_file():
        raise UsageError(f"no file {file}")
    folder = next((one for one in path.parents if (one / COURSE_FILE).is_file()), None)
    if folder is None:
        raise UsageError(f"no {COURSE_FILE} in a folder above {file}")
    draft = read_course_folder(folder, report=Report())
    name = path.relative_to(folder).as_posix()
    lesson = _lesson_of(draft, name)
    if draft is None or lesson is None:
        raise UsageError(f"{file} is no lesson of the course in {folder}")
    course = assemble(_only_moves(draft), report=Report(), checks_lock=False)
    blocks = [block for block in lesson.blocks if isinstance(block, MovesDraft)]
    played = course.lessons[lesson.slug].lines
    is_whole = lesson.is_read and None not in lesson.blocks
    is_whole = is_whole and all(b.name in played and played[b.name].is_whole for b in blocks)
    return _Found(
        told=tuple(
            _Told(
                title=f"{block.name}: {block.title}" if block.title else block.name,
                line=played[block.name],
                kept=course.ledgers[lesson.slug, block.name],
            )
            for block in blocks
            if block.name in played
        ),
        missing=()
        if is_whole
        else (f"{name} has faults, so moves may be missing here; `plybook check` tells them",),
    )


def _lesson_of(draft: CourseDraft | None, name: str) -> LessonDraft | None:
    lessons: Sequence[LessonDraft] = draft.lessons if draft else ()
    return next((lesson for lesson in lessons if lesson.file == name), None)


def _only_moves(draft: CourseDraft) -> CourseDraft:
    """Return the course with its lines alone, drafts among them: no claim is settled for this."""
    return replace(
        draft,
        lessons=tuple(
            replace(
                lesson,
                is_draft=False,
                blocks=tuple(
                    block
                    for block in lesson.blocks
                    if block is None or isinstance(block, MovesDraft)
                ),
            )
            for lesson in draft.lessons
        ),
    )
