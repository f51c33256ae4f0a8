"""The command `plybook`: new, check, build, verdicts, ledger, explain.

Exit codes: 0 clean, 1 faults in the course, 2 wrong usage, 3 our own fault or a site that could
not be written; 130 after Ctrl-C and 141 when nobody reads on, as a shell has it.
"""

from __future__ import annotations

import errno
import gc
import os
import sys
import traceback
from collections.abc import Mapping
from importlib import import_module
from pathlib import Path
from typing import Final, NoReturn

import click

from plybook import __version__
from plybook.desk.options import COMPLETION, COURSE, ENGINE, JOBS, Folder, heeding_usage
from plybook.desk.printing import FAULTS, OURS, USAGE
from plybook.diagnostics import UsageError

__all__ = ["cli", "main"]

_INTERRUPTED: Final = 130  # what a shell expects of a program stopped by Ctrl-C
_UNREAD: Final = 141  # and of one whose reader has gone, as `head` does
_NO_ROOM: Final = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO})


#: Every command in the order in which a coach meets it, with what it is for.
_COMMANDS: Final[Mapping[str, str]] = {
    "new": "Begin a course, or add a page to one.",
    "check": "Play every move and report every fault.",
    "preview": "Show the course in a browser while it is written.",
    "build": "Publish the course as one folder of pages.",
    "sheet": "Write exercises and cards on paper, with a key.",
    "pack": "Write the course as one file to hand out.",
    "diagram": "Draw one position as a picture.",
    "import": "Find lessons in games that other programs wrote.",
    "forget": "List every place where somebody is named.",
    "format": "Lay out the moves of all lessons in one way.",
    "verdicts": "List what you claim, and what is known of it.",
    "ledger": "Tell move by move what the opening rules say of a line.",
    "explain": "Tell how a block is written, or what a fault means.",
    "schema": "Print the keys of a head for an editor.",
    "completion": "Print what a shell needs to complete words.",
}


class _Commands(click.Group):
    """The commands in the order of their table; to list them, none is loaded."""

    def list_commands(self, context: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, context: click.Context, name: str) -> click.Command | None:
        if name in self.commands or name not in _COMMANDS:
            return super().get_command(context, name)
        # Any other stands in a module of its own, loaded when it is asked for.
        module = import_module(f"plybook.desk.commands_{name}")
        command: click.Command = module.command
        return command

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)
@click.version_option(__version__, prog_name="plybook", message="%(prog)s %(version)s")
@click.option(
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    show_default=True,
    help="Colour in messages. NO_COLOR and FORCE_COLOR are heeded.",
)
@click.pass_context
def cli(context: click.Context, color: str) -> None:
    """Turn a chess course written in Markdown into a site that works from a memory stick.

    Every move is played, every picture is drawn from its line, and nothing is published while a
    fault is left.
    """
    context.color = _wants_color(color)


def _wants_color(choice: str) -> bool | None:
    """Return True or False to force colour on or off, None to leave it to the terminal."""
    if choice != "auto":
        return choice == "always"
    if os.environ.get("NO_COLOR"):
        return False
    if os.environ.get("FORCE_COLOR"):
        return True
    return False if os.environ.get("TERM") == "dumb" else None


def main() -> NoReturn:
    """Run the command and leave with its exit code."""
    gc.disable()  # a run is short, and what it builds is kept to its end
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    sys.exit(_code_of_the_run())


def _code_of_the_run() -> int:
    """Return the exit code of the command. A fault of ours is shown whole and gives 3."""
    try:
        return cli.main(standalone_mode=False, complete_var=COMPLETION) or 0
    except click.exceptions.Abort:
        click.echo("stopped", err=True)
        return _INTERRUPTED
    except click.ClickException as error:
        error.show()
        return USAGE
    except SystemExit:  # what click makes of a broken pipe, and of nothing else here
        return _UNREAD
    except OSError as error:
        # Files are named in their errors; without a name it is the output that failed.
        if error.filename is None and error.errno in _NO_ROOM:
            _forget_output()
            click.echo(f"plybook: cannot print: {os.strerror(error.errno).lower()}", err=True)
        else:
            traceback.print_exc()
        return OURS
    except Exception:
        traceback.print_exc()
        return OURS


def _forget_output() -> None:
    """Drop what could not be printed, so that leaving does not try once more and complain."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


@cli.command()
@click.argument("folder", metavar="[DIR]", type=Folder(), required=False)
@click.option("--demo", is_flag=True, help="Copy the demonstration course instead.")
@click.option(
    "--lesson", metavar="TITLE", help="Add a lesson to the course in DIR, or the one here."
)
@click.option("--principle", metavar="TITLE", help="Add the page of a principle to it.")
@heeding_usage
def new(folder: Path | None, demo: bool, lesson: str | None, principle: str | None) -> int:
    """Make a course folder with a first lesson whose comments teach the format.

    With --lesson or --principle, add a page to a course that is there.
    """
    from plybook.desk.new import add_page, make_course

    if lesson or principle:
        if demo:
            raise UsageError("`--demo` makes a course; `--lesson` and `--principle` add to one")
        for kind, title in (("lesson", lesson), ("principle", principle)):
            if title:
                click.echo(f"  {add_page(folder, kind=kind, title=title)}")
        return 0
    if folder is None:
        raise UsageError("name the folder of the new course: `plybook new my-course`")
    for name in make_course(folder, is_demo=demo):
        click.echo(f"  {folder / name}")
    click.echo(f"Next: plybook build {folder}")
    click.echo("Local law and your club's own rules decide what may be shown of a child.")
    return 0


@cli.command()
@COURSE
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "sarif", "github"]),
    default="text",
    show_default=True,
    help="How to report; sarif is the OASIS standard, github the notes of a hosted workflow.",
)
@click.option("--fix", is_flag=True, help="Show the repairs that were played through; ask; write.")
@click.option("--yes", is_flag=True, help="With --fix: write without asking.")
@click.option("--accept", is_flag=True, help="Write positions.lock for the lines as they stand.")
@click.option("--strict", is_flag=True, help="Let warnings count as faults (exit code 1).")
@JOBS
@ENGINE
@heeding_usage
def check(
    course: Path | None,
    form: str,
    fix: bool,
    yes: bool,
    accept: bool,
    strict: bool,
    jobs: int,
    engine: str | None,
) -> int:
    """Play every move and report every fault of the course in DIR.

    DIR is the course folder; without it, the one found upward from here.
    """
    from plybook.desk.reporting import print_report
    from plybook.desk.work import CHECK, Work, find_course, run

    folder = find_course(course)
    if fix:
        from plybook.desk.fixing import fix_course

        fix_course(folder, is_agreed=yes)
    elif yes:
        raise UsageError("`--yes` goes with `--fix`")
    work = run(
        CHECK,
        Work(folder=folder, checks_lock=not accept, jobs=jobs, engine=engine, shows_progress=True),
    )
    if accept:
        from plybook.desk.accepting import accept_lines

        accept_lines(work)
    print_report(work, form=form)
    return FAULTS if work.report.errors or (strict and work.report.warnings) else 0


@cli.command()
@COURSE
@click.option(
    "--out",
    metavar="DIR",
    type=Folder(),
    help="Where the site goes; without it, the folder `site` beside the course.",
)
@click.option("--theme", metavar="NAME", help="Another look than the one course.yaml names.")
@click.option("--strict", is_flag=True, help="Publish nothing while there are warnings.")
@click.option("--single-file", is_flag=True, help="Write all pages as one HTML file, for phones.")
@click.option("--lesson", metavar="NAME", help="With --single-file: only this lesson.")
@JOBS
@heeding_usage
def build(
    course: Path | None,
    out: Path | None,
    theme: str | None,
    strict: bool,
    single_file: bool,
    lesson: str | None,
    jobs: int,
) -> int:
    """Check the course in DIR and publish it as one folder of pages.

    The old site stands until the new one is whole; a course with a fault publishes nothing.
    """
    if single_file or lesson:
        from plybook.desk.handouts import write_handout

        return write_handout(
            "page",
            course,
            lesson=lesson,
            out=out,
            theme=theme,
            is_strict=strict,
            jobs=jobs,
            is_folder=True,
        )
    from plybook.desk.publishing import build_site

    return build_site(course, out=out, theme=theme, is_strict=strict, jobs=jobs)


@cli.command()
@COURSE
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "html"]),
    default="text",
    show_default=True,
    help="How to list them; html is one page to look at or to print.",
)
@JOBS
@ENGINE
@heeding_usage
def verdicts(course: Path | None, form: str, jobs: int, engine: str | None) -> int:
    """List every claim of the course in DIR with what is known of it."""
    from plybook.desk.verdicts import list_verdicts

    return list_verdicts(course, form=form, jobs=jobs, engine=engine)


@cli.command()
@click.argument("file", required=False, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--line", "name", metavar="NAME", help="Only this line, or the game of this number.")
@click.option("--facts", is_flag=True, help="List the facts that a principle can name.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How to tell it.",
)
@heeding_usage
def ledger(file: Path | None, name: str | None, facts: bool, form: str) -> int:
    """Tell move by move what the opening rules have to say of the lines in FILE.

    FILE is a lesson of a course, or a PGN file; `-` reads PGN from standard input.
    """
    from plybook.desk.ledger_command import list_facts, list_ledgers

    if facts:
        return list_facts(is_json=form == "json")
    return list_ledgers(file, name=name, is_json=form == "json")


@cli.command()
@click.argument("name", required=False)
@heeding_usage
def explain(name: str | None) -> int:
    """Print how a block is written, or what a diagnostic means: explain claims, explain bad-fen.

    Without NAME, list all pages.
    """
    from plybook.desk.pages_of_codes import explained_codes, explained_topics, explanation

    if name:
        click.echo(explanation(name), nl=False)
        return 0
    for title, rows in (("Writing", explained_topics()), ("Diagnostics", explained_codes())):
        click.echo(click.style(title, bold=True))
        for word, sentence in rows:
            click.echo(f"  {word:<24}  {sentence}")
    return 0
