"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from shopstep.model.plan import Prefer
from shopstep.quantities import parse_humidity, parse_temperature
from shopstep.units import UnitError, read_typed
from shopstep.words import PLAIN, say, speak

LAST = "LAST"
"""Stands for the latest session where a name is needed."""

F = TypeVar("F", bound=Callable[..., Any])


def pairs(_: click.Context, option: click.Parameter, values: tuple[str, ...]) -> Any:
    """Options of the form NAME=VALUE, as pairs."""
    found: dict[str, str] = {}
    for value in values:
        name, equals, text = value.partition("=")
        if not equals or not name.strip() or not text.strip():
            from shopstep.cli.usage import no_pair

            raise no_pair(value, option)
        if name.strip() in found:
            raise click.BadParameter(
                say("'{name}' is given twice", name=name.strip()), param=option
            )
        found[name.strip()] = _typed(text.strip(), option)
    return tuple(found.items())


def _typed(text: str, option: click.Parameter) -> str:
    try:
        return read_typed(text)
    except UnitError as doubt:
        raise click.BadParameter(str(doubt), param=option) from None


def _names(_: click.Context, option: click.Parameter, value: str | None) -> tuple[str, ...]:
    if value is None:
        return ()
    names = tuple(dict.fromkeys(name.strip() for name in value.split(",")))
    if not all(names):
        raise click.BadParameter(
            say("'{value}' names no parts; write for example door,tray", value=value), param=option
        )
    return names


def _read(parse: Callable[[str], float]) -> Callable[..., float | None]:
    def callback(_: click.Context, option: click.Parameter, value: str | None) -> float | None:
        if value is None:
            return None
        try:
            return parse(read_typed(value))
        except UnitError as problem:
            raise click.BadParameter(str(problem), param=option) from None

    return callback


def _counts(_: click.Context, option: click.Parameter, value: str) -> tuple[int, ...]:
    """Whole numbers; the planner says which are possible for all units together."""
    try:
        counts = tuple(int(text) for text in value.split(","))
    except ValueError:
        raise click.BadParameter(
            say(
                "'{value}' is no number of units; write for example 2, or 2,4 for two builds",
                value=value,
            ),
            param=option,
        ) from None
    if len(counts) > 1 and min(counts) < 1:
        raise click.BadParameter(
            say(
                "'{value}': each build needs 1 unit or more; leave out a build that is not made",
                value=value,
            ),
            param=option,
        )
    return counts


def _clock(_: click.Context, option: click.Parameter, value: str | None) -> int | None:
    """Minutes after midnight."""
    if value is None:
        return None
    hour, _colon, minute = value.partition(":")
    if not (hour.isdecimal() and minute.isdecimal() and int(hour) < 24 and int(minute) < 60):
        raise click.BadParameter(
            say("'{value}' is no time; write for example 20:00", value=value), param=option
        )
    return int(hour) * 60 + int(minute)


def session_name(session: str | None) -> str | None:
    """The session that was named; None means the latest one."""
    return None if session == LAST else session


def size_options(command: F) -> F:
    """Measurements, shop and unit: all that the sizes of a build depend on."""
    options = (
        click.option(
            "--set", "settings", multiple=True, metavar="NAME=VALUE", callback=pairs,
            help="A measurement or choice, e.g. box_width=\"16 1/2 in\"; of several builds for one "
            "alone: box_width@hive-body=\"16 1/2 in\". Repeatable.",
        ),
        click.option("--shop", metavar="NAME", help="A shop of your settings file."),
        click.option("--show", "display", type=click.Choice(["in", "mm"]), help="Unit on display."),
    )  # fmt: skip
    return _apply(command, options)


def wish_options(command: F) -> F:
    """What is to be planned: measurements, units, parts, shop and air."""
    options = (
        click.option(
            "--units", default="1", show_default=True, metavar="N[,N…]", callback=_counts,
            help="How many to make; of several builds one number for all, or one for each: 2,4.",
        ),
        click.option(
            "--only", metavar="PARTS", callback=_names,
            help="Make just these parts (door,tray); all others are on hand.",
        ),
        click.option(
            "--prefer", type=click.Choice([prefer.value for prefer in Prefer]),
            help="What counts first: fewest evenings (usual), an early finish, few setups, or one "
            "unit done early.",
        ),
        click.option(
            "--quiet-from", "quiet_from_min", metavar="HH:MM", callback=_clock,
            help="No machine runs from then on.",
        ),
        click.option(
            "--guessed-times", is_flag=True,
            help="Plan with the build's own times, not with those of your sessions.",
        ),
        click.option(
            "--no-rack", is_flag=True, help="Cut nothing from the rack: buy all stock.",
        ),
        click.option(
            "--limit", "limits", multiple=True, metavar="FIT=LEAST..MOST", callback=pairs,
            help="Your own range for a fit, e.g. mouse_gate=\"1/4 in..5/16 in\". Repeatable.",
        ),
        click.option(
            "--price", "prices", multiple=True, metavar="STOCK=PRICE", callback=pairs,
            help="What stock costs: board=4.80 for a piece, cloth=2.40/ft by length; where several "
            "lengths are sold, each by itself: \"board 6 ft=3.60\". Repeatable.",
        ),
        click.option(
            "--temperature", metavar="T", callback=_read(parse_temperature),
            help="Of the shop: 9 C, 48 F; a bare number is °C.",
        ),
        click.option(
            "--night", "night_c", metavar="T", callback=_read(parse_temperature),
            help="Coldest where things dry through the night: 6 C.",
        ),
        click.option(
            "--label", "labels", multiple=True, metavar="NAME.WHAT=VALUE", callback=pairs,
            help="What your label says, e.g. wood_glue.open=\"8 min\", outside.recoat=\"2 h\", "
            "wood_glue.least=\"8 C\". Repeatable.",
        ),
        click.option(
            "--humidity", metavar="RH", callback=_read(parse_humidity),
            help="Of the shop: 60 %.",
        ),
    )  # fmt: skip
    return size_options(_apply(command, options))


def json_option(command: F) -> F:
    """Print JSON: the same words and numbers everywhere, for programs read it."""
    return _apply(
        command,
        (
            click.option(
                "--json", "as_json", is_flag=True, callback=_speak_plainly, help="Print JSON."
            ),
        ),
    )


def _speak_plainly(_: click.Context, __: click.Parameter, asked: bool) -> bool:
    if asked:
        speak(PLAIN)
    return asked


def now_option(command: F) -> F:
    """Fix the clock."""
    text = "Take this moment for now (ISO 8601), for scripts and tests."
    return _apply(command, (click.option("--now", metavar="ISO-TIME", help=text),))


def far_option(command: F) -> F:
    """The distance view."""
    text = "Verb and numbers as large as they go, to be read from two steps away."
    return _apply(command, (click.option("--far", "is_far", is_flag=True, help=text),))


def speak_option(command: F) -> F:
    """The card is spoken."""
    text = "Say each card as it opens, and alarms; also speak = true under [voice] in the settings."
    return _apply(command, (click.option("--speak", "speaks", is_flag=True, help=text),))


def listen_option(command: F) -> F:
    """The person is heard."""
    text = (
        "Hear phrases: push (alone: push) after a key or a tap, armed also after each card, open "
        "always (needs the extra 'open-ear'); also "
        'listen = "push" under [voice] in the settings.'
    )
    return _apply(
        command,
        (
            click.option(
                "--listen", "listens", type=click.Choice(["off", "push", "armed", "open"]),
                is_flag=False, flag_value="push", help=text,
            ),
        ),
    )  # fmt: skip


def plain_option(command: F) -> F:
    """Line by line instead of the screen."""
    text = "Line by line; also what happens without a terminal."
    return _apply(command, (click.option("--plain", is_flag=True, help=text),))


def _apply(command: F, options: tuple[Callable[[F], F], ...]) -> F:
    for option in reversed(options):
        command = option(command)
    return command
