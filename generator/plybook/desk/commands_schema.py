"""The command `schema`: what an editor needs to know of the keys of a head."""

from __future__ import annotations

import click

__all__ = ["command"]


@click.command("schema")
@click.argument("name", type=click.Choice(["course", "lesson", "principle"]))
def command(name: str) -> int:
    """Print the keys of course.yaml or of a head as JSON Schema, for an editor."""
    from plybook.text.schemas import schema_of

    click.echo(schema_of(name), nl=False)
    return 0
