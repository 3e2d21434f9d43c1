"""Help of the command line in another language: a command's texts are said when it is asked for.

Loaded only where another language than English is spoken.
"""

from __future__ import annotations

from copy import copy
from inspect import cleandoc

import click

from shopstep.words import say


def in_words(command: click.Command) -> click.Command:
    """The same command with its help, and that of its options and commands, said."""
    made = copy(command)
    made.help, made.short_help = _said(command.help), _said(command.short_help)
    made.params = [_parameter(each) for each in command.params]
    if isinstance(made, click.Group):
        made.commands = {name: in_words(each) for name, each in made.commands.items()}
    return made


def help_texts(command: click.Command) -> list[str]:
    """All that ``in_words`` says of a command, for those who translate."""
    found = [command.help, command.short_help]
    found += [each.help for each in command.params if isinstance(each, click.Option)]
    texts = [cleandoc(text) for text in found if text]
    if isinstance(command, click.Group):
        texts += [text for each in command.commands.values() for text in help_texts(each)]
    return texts


def _said(text: str | None) -> str | None:
    return say(cleandoc(text)) if text else text


def _parameter(parameter: click.Parameter) -> click.Parameter:
    if not isinstance(parameter, click.Option) or not parameter.help:
        return parameter
    made = copy(parameter)
    made.help = say(cleandoc(parameter.help))
    return made
