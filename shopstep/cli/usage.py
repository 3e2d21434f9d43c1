"""Wrong words on the command line, in the shape of every other problem. Imports click only.

click's own complaints come in three lines and with a capital; here they are one sentence that says
what is wrong and what would be right, and a line that says where all words are.
"""

from __future__ import annotations

import difflib

import click

from shopstep.words import say

_EXAMPLES = {
    "--set": 'box_width="16 1/2 in"',
    "--limit": 'mouse_gate="1/4 in..5/16 in"',
    "--price": "board=4.80",
    "--label": 'wood_glue.open="8 min"',
    "--closed": '"right glue, unit 1=19:42"',
    "--ended": '"first coat, unit 1=20:30"',
    "--read": '"diagonals_differ, unit 1=1/32 in"',
}
"""Of options that take a name and a value, by the option."""


def no_pair(value: str, option: click.Parameter) -> click.BadParameter:
    """What is told where a name and a value were to be said, and one of them is missing."""
    shape, example = option.metavar or "NAME=VALUE", _EXAMPLES[option.opts[-1]]
    return click.BadParameter(
        say(
            "'{value}' is no {shape}; write for example {example}",
            value=value,
            shape=shape,
            example=example,
        ),
        param=option,
    )


def say_usage(problem: click.ClickException) -> None:
    """The sentence on standard error, and where all words of the command are.

    A group without a command shows its help, as click has it.
    """
    if isinstance(problem, click.exceptions.NoArgsIsHelpError):
        problem.show()
        return
    click.echo(say("shopstep: {finding}", finding=_sentence(problem)), err=True)
    ctx = problem.ctx if isinstance(problem, click.UsageError) else None
    if ctx is not None:
        click.echo(say("All its words: {command} --help", command=ctx.command_path), err=True)


def _sentence(problem: click.ClickException) -> str:
    message = problem.message.removesuffix(".")
    if isinstance(problem, click.NoSuchOption):
        near = difflib.get_close_matches(problem.option_name, problem.possibilities or (), n=1)
        tail = say("; did you mean '{near}'?", near=near[0]) if near else ""
        return say("there is no option '{name}'{tail}", name=problem.option_name, tail=tail)
    if isinstance(problem, click.BadOptionUsage):
        return say("{name}: its value is missing", name=problem.option_name)
    if isinstance(problem, click.MissingParameter):
        return say("{name} is missing", name=_name(problem))
    if isinstance(problem, click.BadParameter) and _name(problem):
        return f"{_name(problem)}: {message}"
    return message


def _name(problem: click.BadParameter) -> str:
    """``--units``, ``BUILDS``: as the person writes it, or would find it in the help."""
    if isinstance(problem.param, click.Option):
        return problem.param.opts[-1]
    if problem.param is not None:
        return problem.param.human_readable_name.removesuffix("...")
    hint = problem.param_hint
    return hint if isinstance(hint, str) else ", ".join(hint or ())
