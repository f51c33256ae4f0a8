"""The command `completion`: what a shell needs to complete commands, options and codes."""

from __future__ import annotations

import click

from plybook.desk.options import COMPLETION

__all__ = ["command"]


@click.command("completion")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def command(context: click.Context, shell: str) -> int:
    """Print a script that completes plybook's words in your shell.

    For bash, put `eval "$(plybook completion bash)"` into ~/.bashrc.
    """
    from click.shell_completion import get_completion_class

    found = get_completion_class(shell)
    assert found is not None, "click knows the shells that are offered"
    root = context.find_root().command
    click.echo(found(root, {}, "plybook", COMPLETION).source())
    return 0
