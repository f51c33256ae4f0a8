"""The command `import`: list the games of a file, find some, or begin a lesson with one."""

from __future__ import annotations

import datetime
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from heapq import nsmallest
from pathlib import Path
from typing import Final

import click

from plybook.board import Position, games_in, read_fen
from plybook.course.candidates import rules_of
from plybook.desk.importing.redaction import KEPT_TAGS, Redactor, redactor_of
from plybook.desk.importing.scan import Bad, Found, Task, look_through, pick
from plybook.desk.importing.skeleton import Skeleton, skeleton_of
from plybook.desk.importing.telling import (
    Sum,
    bad_row,
    candidate_row,
    found_row,
    tell_json,
    tell_sum,
)
from plybook.desk.printing import FAULTS, counted
from plybook.desk.progress import Progress
from plybook.desk.withheld import add_withheld, course_with_id, withheld_file, withheld_names
from plybook.desk.work import find_course
from plybook.diagnostics import Report, Span, UsageError, near_miss, shown
from plybook.text import COURSE_FILE, read_course_folder
from plybook.text.consent import CONSENT_FILE, Consent, read_consent
from plybook.text.model import CourseDraft, FenText
from plybook.text.people import is_placeholder, name_key

__all__ = ["Asked", "bring_in"]

_NUMBERED: Final = re.compile(r"([0-9]{1,4})-.*\.md")
#: What a principle needs before games can be searched for it.
_KEYS_WANTED: Final = (
    "break and punish it; its head wants two keys such as `broken_by: [queen-early]` and "
    "`punished_by: [hits-queen]`, see `plybook explain tags` and `plybook ledger --facts`"
)
_PLAYERS: Final = ("White", "Black")
_OTHERS: Final = ("Annotator", "WhiteTeam", "BlackTeam")
_INPUT: Final = Path("-")
_ADDRESS: Final = re.compile(r"[a-z0-9-]{1,80}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the command line asks for."""

    file: Path
    game: int | None = None
    position: str | None = None
    principle: str | None = None
    is_punished: bool = False
    course: Path | None = None
    lesson: str | None = None
    consent: Path | None = None
    today: str | None = None
    within: int = 6
    most: int = 20
    is_json: bool = False
    jobs: int = 1


def bring_in(asked: Asked) -> int:
    """Do what is asked and return the exit code: 1 when a game was rejected."""
    choices = (asked.game is not None, asked.position, asked.principle, asked.is_punished)
    if sum(map(bool, choices)) > 1:
        raise UsageError("ask for one thing: --game, --position, --principle or --punished")
    if asked.game is not None and asked.is_json:
        raise UsageError("--game writes a lesson; --format json is for lists")
    with _at_rest(asked.file) as path:
        try:
            return _bring_in(replace(asked, file=path))
        except UsageError as error:
            raise UsageError(str(error).replace(str(path), _name_of(asked.file))) from error


@contextmanager
def _at_rest(file: Path) -> Iterator[Path]:
    """Give a path that can be read twice: of the file, or of a copy of what comes in once."""
    is_input = file == _INPUT
    if not is_input and (file.is_file() or not file.exists()):
        yield file
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "games.pgn"
        try:
            with ExitStack() as stack:
                source = sys.stdin.buffer if is_input else stack.enter_context(file.open("rb"))
                shutil.copyfileobj(source, stack.enter_context(copy.open("wb")))
        except OSError as error:
            raise _unreadable(file, error) from error
        yield copy


def _name_of(file: Path) -> str:
    return "standard input" if file == _INPUT else str(file)


def _unreadable(file: Path, error: OSError) -> UsageError:
    return UsageError(f"cannot read {_name_of(file)}: {(error.strerror or '').lower()}")


def _bring_in(asked: Asked) -> int:
    try:
        with asked.file.open("rb") as stream:
            encoding = games_in.encoding_of(stream)
    except OSError as error:
        raise _unreadable(asked.file, error) from error
    except games_in.BadFileError as error:
        raise UsageError(f"cannot read {asked.file}: {error}") from error
    if asked.game is not None:
        return _begin_lesson(asked, asked.game, encoding)
    task = Task(encoding=encoding, within=asked.within)
    if asked.position:
        task = replace(task, position=_position(asked.position))
    elif asked.principle or asked.is_punished:
        task = _for_principles(task, asked)
    return _list(asked, task)


def _position(fen: str) -> Position:
    report = Report()
    found = read_fen(
        FenText(fen=" ".join(fen.split()), span=Span.of_file("FEN")),
        is_partial=False,
        report=report,
    )
    if found is None:
        raise UsageError("; ".join(one.message for one in report))
    return found


def _for_principles(task: Task, asked: Asked) -> Task:
    draft = read_course_folder(find_course(asked.course), report=Report())
    rules = rules_of(draft.principles)
    if asked.principle is not None:
        if asked.principle not in rules:
            known = {one.slug for one in draft.principles}
            near = near_miss(asked.principle, rules)
            if asked.principle in known:
                raise UsageError(f"`{asked.principle}` names no facts that {_KEYS_WANTED}")
            hint = f"; did you mean `{near}`?" if near else ""
            raise UsageError(f"no principle `{shown(asked.principle)}`{hint}")
        rules = {asked.principle: rules[asked.principle]}
    if not rules:
        raise UsageError(f"no principle of this course names facts that {_KEYS_WANTED}")
    return replace(task, rules=rules)


# ---------------------------------------------------------------------- lists


def _list(asked: Asked, task: Task) -> int:
    total = Sum(task.encoding)
    bad: list[Bad] = []
    found = _found(asked, task, total, bad)
    if task.rules is not None:
        found = iter(_best(found, asked.most))
    if asked.is_json:
        tell_json(found, lambda: bad, total)
    else:
        has_found = False
        for one in found:
            has_found = True
            if task.rules is None:
                click.echo(found_row(one))
            for candidate in one.candidates:
                click.echo(candidate_row(one, candidate))
        for rejected in bad:
            click.echo(bad_row(rejected), err=True)
        if not has_found:
            click.echo(_none_found(asked, task), err=True)
        tell_sum(total)
    if not total.read:
        raise UsageError(f"no game in {asked.file}")
    return FAULTS if bad else 0


def _none_found(asked: Asked, task: Task) -> str:
    """Return in words that nothing is listed, and what was looked for."""
    if task.rules is not None:
        names = ", ".join(f"`{name}`" for name in task.rules)
        return (
            f"0 games found: no breach of {names} is punished within "
            f"{counted(asked.within, 'half-move')}; `--within {2 * asked.within}` looks further"
        )
    return f"0 games found{': none reaches this position' if task.position else ''}"


def _found(asked: Asked, task: Task, total: Sum, bad: list[Bad]) -> Iterator[Found]:
    """Yield the games to list; count everything on the way, and show how far it is."""
    with Progress("reading", size=asked.file.stat().st_size) as progress:
        for piece in look_through(asked.file, task, jobs=asked.jobs):
            total.add(piece)
            bad += piece.bad
            if piece.found:
                progress.hide()
                yield from piece.found
            progress.show(piece.end)


def _best(found: Iterator[Found], most: int) -> list[Found]:
    """Return the best candidates of all games, one a row, the best first."""
    rows = (replace(one, candidates=(candidate,)) for one in found for candidate in one.candidates)
    return nsmallest(most, rows, key=lambda one: (one.candidates[0].rank, one.number))


# ---------------------------------------------------------------------- a lesson


def _begin_lesson(asked: Asked, number: int, encoding: str) -> int:
    folder = find_course(asked.course)
    course = course_with_id(folder)
    consent = _consent(asked, folder)
    game = pick(asked.file, number, encoding=encoding)
    if isinstance(game, games_in.Rejected):
        raise UsageError(f"game {number} cannot be read: {game.reason}, line {game.at}")
    ident, day = course.file.ident, _day(asked.today)
    players, others = _replaced_people(game, consent, day=day)
    redactor = redactor_of(
        game.tags, consent, day=day, withheld=(*withheld_names(ident), *players, *others)
    )
    path = _new_lesson(folder, course, asked.lesson or f"game-{number}")
    skeleton = skeleton_of(
        game,
        number=number,
        redactor=redactor,
        course_file=(folder / COURSE_FILE).read_bytes(),
    )
    # First: no page before its names are known.
    new = add_withheld(ident, (*redactor.withheld, *players))
    try:
        path.parent.mkdir(exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(skeleton.text)
    except OSError as error:
        raise UsageError(f"cannot write {path}: {(error.strerror or '').lower()}") from error
    click.echo(f"{path}: game {number}, read as {encoding}")
    _tell_changes(game, skeleton, redactor)
    if redactor.is_overruled:
        click.echo(
            "  a player with consent is withheld all the same: the name stands in\n"
            f"  {withheld_file(ident)}; delete its line there first"
        )
    if new:
        click.echo("  the players' names are withheld from now on; `plybook explain privacy`")
    click.echo(
        "The lesson is a draft. Local law and your club's own rules decide what may be told."
    )
    return 0


def _tell_changes(game: games_in.ReadGame, skeleton: Skeleton, redactor: Redactor) -> None:
    """Print what is otherwise in the lesson than in the file."""
    for change in game.changes:
        word = f" `{change.word}`" if change.word else ""
        click.echo(f"  line {change.line}: {games_in.CHANGES[change.kind]}{word}")
    for told in skeleton.left_out:
        click.echo(f"  left out: {told}")
    dropped = sorted(shown(name) for name in game.tags if name not in KEPT_TAGS)
    if dropped:
        click.echo(f"  tags left out: {', '.join(dropped)}")
    for what, times in sorted(redactor.taken_out.items()):
        click.echo(f"  taken out of remarks: {what}, {counted(times, 'time')}")


def _replaced_people(
    game: games_in.ReadGame, consent: Consent, *, day: str
) -> tuple[list[str], list[str]]:
    """Return who stands in tags that a later one replaced: players without consent, and others.

    An event and a place are known by their whole names alone, as in the tags that count.
    """
    replaced = game.replaced_tags
    known = {name_key(game.tags.get(side, "")) for side in _PLAYERS}
    players = [
        name
        for side in _PLAYERS
        for name in replaced.get(side, ())
        if not is_placeholder(name)
        and name_key(name) not in known
        and consent.valid_entry(name, day=day) is None
    ]
    others = [name for tag in _OTHERS for name in replaced.get(tag, ())]
    others += [f"={name}" for tag in ("Event", "Site") for name in replaced.get(tag, ())]
    return players, [name for name in others if not is_placeholder(name.lstrip("="))]


def _day(written: str | None) -> str:
    """Return the day on which consent must hold: the one given, else the machine's."""
    if written is None:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(written).isoformat()
    except ValueError as error:
        raise UsageError(f"`{shown(written)}` is no day; write it as 2026-03-01") from error


def _consent(asked: Asked, folder: Path) -> Consent:
    path = asked.consent or folder / CONSENT_FILE
    if asked.consent is not None and not path.is_file():
        raise UsageError(f"no file {path}")
    report = Report()
    consent = read_consent(path, report=report)
    for fault in report.sorted():
        raise UsageError(f"{path}, line {fault.span.line}: {fault.message}")
    return consent


def _new_lesson(folder: Path, course: CourseDraft, slug: str) -> Path:
    """Return the path of a new lesson: the next number, an address that is free."""
    if not _ADDRESS.fullmatch(slug):
        raise UsageError(f"`{shown(slug)}` is no address: small letters, digits and hyphens")
    if any(lesson.slug == slug for lesson in course.lessons):
        raise UsageError(f"there is a lesson `{slug}`; give another with --lesson")
    place = folder / "lessons"
    names = [found for one in place.glob("*.md") if (found := _NUMBERED.fullmatch(one.name))]
    number = max((int(name[1]) for name in names), default=0) + 1
    return place / f"{number:02d}-{slug}.md"
