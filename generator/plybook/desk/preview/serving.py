"""The command `preview`: look, draw, serve, until Ctrl-C."""

from __future__ import annotations

import errno
import gc
from pathlib import Path
from threading import Event, Thread
from typing import Final

import click

from plybook.desk.preview.clients import Clients
from plybook.desk.preview.server import PreviewServer, new_secret
from plybook.desk.preview.shown import ShownCourse
from plybook.desk.preview.watching import look_at, watch
from plybook.desk.printing import headline, summary
from plybook.desk.work import find_course
from plybook.diagnostics import UsageError
from plybook.site.pages.theme import load_theme

__all__ = ["serve_course"]

_LISTED: Final = 5  # faults of which the terminal tells after a change


def serve_course(course: Path | None, *, port: int, theme: str | None, jobs: int) -> int:
    """Serve the course until Ctrl-C, and return the exit code."""
    folder = find_course(course)
    if theme is not None:
        load_theme(theme)  # a wrong name is told before anything is served
    secret = new_secret()
    shown, clients = ShownCourse(folder, theme=theme, jobs=jobs, secret=secret), Clients()
    with _server(shown, clients, port=port, secret=secret) as server:
        seen = look_at(folder)
        told = _told(shown)
        click.echo(told, err=True)
        gc.collect()
        gc.freeze()  # what is kept is no rubbish: later collections need not look at it again
        gc.enable()  # unlike other commands, this one goes on for hours
        Thread(target=server.serve_forever, daemon=True).start()
        click.echo(f"The course is at {server.address}  (Ctrl-C ends the preview)")

        last = told, seen

        def follow() -> None:
            nonlocal last
            now = _told(shown), look_at(folder)
            if now != last:  # the second look at one change has mostly nothing new to say
                click.echo(now[0], err=True)
                last = now
            clients.tell()

        try:
            watch(folder, seen, follow, stop=Event())
        except KeyboardInterrupt:
            click.echo("the preview has ended", err=True)
        finally:
            clients.close()
            server.shutdown()
    return 0


def _server(shown: ShownCourse, clients: Clients, *, port: int, secret: str) -> PreviewServer:
    try:
        return PreviewServer(shown, clients, port=port, secret=secret)
    except OSError as error:
        if error.errno not in {errno.EADDRINUSE, errno.EACCES}:
            raise
        what = "is taken" if error.errno == errno.EADDRINUSE else "is not for you to use"
        raise UsageError(
            f"port {port} {what}; name another with --port, or any free one with --port 0"
        ) from error


def _told(shown: ShownCourse) -> str:
    """Look at the course anew and return how it stands: the first faults, a line each, and a sum.

    The pages show each fault with its line; the terminal says where to look.
    """
    work = shown.refresh()
    if work is None:
        return "there is no course in the folder now"
    found = work.report.sorted()
    rows = [headline(one) for one in found[:_LISTED]]
    if len(found) > _LISTED:
        rows.append(f"and {len(found) - _LISTED} more")
    return "\n".join([*rows, summary(work)])
