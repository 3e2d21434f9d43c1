"""``shopstep completion``: the lines that let a shell complete our commands, options and builds."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from shopstep.wiring.problems import ExitCode

SHELLS = ("bash", "zsh", "fish")
VARIABLE = "_SHOPSTEP_COMPLETE"


@click.command("completion", short_help="Let your shell complete commands with Tab.")
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion_command(ctx: click.Context, shell: str) -> int:
    """Print the lines that your shell needs, to be kept in its start-up file.

    \b
    Examples:
      shopstep completion bash >> ~/.bashrc
      shopstep completion zsh >> ~/.zshrc
      shopstep completion fish > ~/.config/fish/completions/shopstep.fish
    """
    found = get_completion_class(shell)
    if found is None:
        raise click.UsageError(f"no completion is known for {shell}", ctx)
    click.echo(found(ctx.find_root().command, {}, "shopstep", VARIABLE).source())
    return ExitCode.OK
