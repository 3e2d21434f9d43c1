"""The command that keeps measurements: measure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from uuid import uuid4

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.measure_talk import ask_line_by_line
from shopstep.cli.options import json_option, now_option, plain_option
from shopstep.cli.output import is_terminal, read_line, say_json
from shopstep.cli.usage import no_pair
from shopstep.desk import Asking, Desk, Wish
from shopstep.model.measure import MeasureQuestion, Reading
from shopstep.model.plan import Where
from shopstep.present.readings import (
    MeasureCard,
    kept_document,
    kept_lines,
    kept_words,
    measure_card,
    range_complaint,
)
from shopstep.units import Length, UnitError, parse_length, read_typed
from shopstep.wiring.clocks import make_clock
from shopstep.wiring.desks import open_desk
from shopstep.wiring.problems import ExitCode, Problem, plain_problems
from shopstep.words import say
from shopstep.workbench import Clock

Readings = dict[str, tuple[Length, ...]]


def _typed_readings(_: click.Context, option: click.Parameter, values: tuple[str, ...]) -> Readings:
    found: Readings = {}
    for typed in values:
        name, equals, text = (part.strip() for part in typed.partition("="))
        if not equals or not name or not text:
            raise no_pair(typed, option)
        try:
            value = parse_length(read_typed(text))
        except UnitError as problem:
            raise click.BadParameter(f"{name}: {problem}", param=option) from None
        found[name] = (*found.get(name, ()), value)
    return found


@click.command("measure", short_help="Measure once, keep it for every build.")
@click.argument("build", required=False, shell_complete=offer_builds)
@click.option("--shop", metavar="NAME", help="Whose equipment: a shop of your settings file.")
@click.option("--new", "is_new", is_flag=True, help="Begin measurements under a new --shop name.")
@click.option(
    "--set", "typed", multiple=True, metavar="NAME=VALUE", callback=_typed_readings,
    help="Keep this without asking. The same name again: one more reading.",
)  # fmt: skip
@click.option("--add", is_flag=True, help="--set adds to the kept readings, replacing none.")
@click.option("--forget", multiple=True, metavar="NAME", help="Let what is kept count no more.")
@click.option("--show", is_flag=True, help="List what is kept; without BUILD all of it.")
@click.option("--unit", type=click.Choice(["in", "mm"]), help="Unit of the keys and on display.")
@plain_option
@json_option
@now_option
def measure_command(build: str | None, now: str | None, **given: Any) -> int:
    """Ask for a build's measurements one at a time, by taps alone, and keep them.

    Kept measurements are used by every build that asks for the same name. Several readings in
    one go keep their spread; the build says which of them counts. A newer go takes their place.

    \b
    Examples:
      shopstep measure screened-floor
      shopstep measure screened-floor --shop "neighbour's eights" --new
      shopstep measure screened-floor --set box_width="16 1/2 in"
      shopstep measure --show
    """
    with plain_problems():
        work = _Work(open_desk(), make_clock(now), build, given)
        if given["typed"] or given["forget"]:
            return work.keep_typed(given["typed"], given["forget"], add=given["add"])
        if given["show"] or given["as_json"]:
            return work.show(as_json=given["as_json"])
        return work.ask(plain=given["plain"])


class _Work:
    """One call of the command: the desk, what the build asks for and what is kept."""

    def __init__(self, desk: Desk, clock: Clock, build: str | None, given: dict[str, Any]) -> None:
        self._desk = desk
        self._clock = clock
        self._build = build
        if build is None:
            if not (given["show"] or given["as_json"] or given["forget"]) or given["typed"]:
                raise Problem(
                    say("say for which build; write for example shopstep measure screened-floor"),
                    ExitCode.USAGE,
                )
            self._asking = desk.kept(given["shop"])
        else:
            wish = Wish(build, shop=given["shop"], display=given["unit"])
            self._asking = desk.asking(wish, is_new=given["is_new"])
        self._unit: str = given["unit"] or self._asking.asks.display

    def keep_typed(self, typed: Readings, forget: Sequence[str], *, add: bool) -> int:
        """Put away and keep without asking: all that was typed, or nothing."""
        self._check_names([*typed])
        for name, values in typed.items():
            for value in values:
                self._check_range(self._question(name), value)
        for name in forget:
            if name not in self._asking.kept:
                raise Problem(
                    say("nothing is kept for '{name}'", name=name),
                    ExitCode.USAGE,
                    Where("--forget"),
                )
        for name in forget:
            self._desk.put_away(self._asking.shop, name, self._now_s())
            click.echo(say("{name}: forgotten", name=name))
        rounds = {name: self._round(name, add) for name in typed}
        at_s = self._now_s()
        self._desk.keep(
            self._asking.shop,
            tuple(
                Reading(name, value, at_s, rounds[name])
                for name, values in typed.items()
                for value in values
            ),
        )
        return self._say_kept([*typed])

    def _check_names(self, names: Sequence[str]) -> None:
        import difflib

        known = [question.name for question in self._asking.asks.questions]
        for name in names:
            if name not in known:
                near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
                tail = (
                    say("did you mean '{near}'?", near=near[0])
                    if near
                    else say("known: {known}", known=", ".join(known))
                )
                text = say("'{name}' is no measurement of this build; {tail}", name=name, tail=tail)
                raise Problem(text, ExitCode.USAGE, Where("--set", 0, name))

    def _check_range(self, question: MeasureQuestion, value: Length) -> None:
        complaint = range_complaint(question, value, self._unit)
        if complaint:
            raise Problem(
                say(
                    "{question_name}: {complaint} Nothing was kept. Measure again: {prompt}",
                    question_name=question.name,
                    complaint=complaint,
                    prompt=question.prompt,
                ),
                ExitCode.REFUSED,
            )

    def _question(self, name: str) -> MeasureQuestion:
        return next(q for q in self._asking.asks.questions if q.name == name)

    def _round(self, name: str, add: bool) -> str:
        kept = self._asking.kept.get(name, ())
        return kept[-1].round if add and kept else uuid4().hex

    def _say_kept(self, names: Sequence[str]) -> int:
        kept = self._desk.kept(self._asking.shop).kept
        chosen = {name: kept[name] for name in names if name in kept}
        for line in kept_lines(chosen, self._asking.asks.questions, self._unit, self._asking.zone):
            click.echo(line)
        return ExitCode.OK

    def show(self, *, as_json: bool) -> int:
        """List what is kept: of a build what it asks for, else all."""
        asked = {question.name for question in self._asking.asks.questions}
        kept = {
            name: readings
            for name, readings in self._asking.kept.items()
            if self._build is None or name in asked
        }
        if as_json:
            say_json({"version": 1, "shop": self._asking.shop, "kept": kept_document(kept)})
            return ExitCode.OK
        lines = kept_lines(kept, self._asking.asks.questions, self._unit, self._asking.zone)
        click.echo(
            say("Kept for {shop}:", shop=self._asking.shop) if lines else _nothing(self._asking)
        )
        for line in lines:
            click.echo(f"  {line}")
        return ExitCode.OK

    def ask(self, *, plain: bool) -> int:
        """On the screen, or line by line; then what is kept."""
        asking = self._asking
        cards = [self._card(question) for question in asking.asks.questions]
        if not cards:
            raise Problem(say("this build asks for no measurement"), ExitCode.USAGE)
        if plain or not is_terminal():
            ask_line_by_line(cards, self._keep_one, _new_round, read_line, click.echo)
            return ExitCode.OK
        from shopstep.tui import run_measuring

        code = run_measuring(cards, self._keep_one)
        return code or self._say_kept([card.question.name for card in cards])

    def _card(self, question: MeasureQuestion) -> MeasureCard:
        kept = self._asking.kept.get(question.name, ())
        return measure_card(question, kept, self._unit, self._asking.zone)

    def _keep_one(self, name: str, value: Length, round_: str) -> str:
        shop = self._asking.shop
        self._desk.keep(shop, (Reading(name, value, self._now_s(), round_),))
        kept = self._desk.kept(shop).kept[name]
        return kept_words(kept, self._question(name).several, self._unit, self._asking.zone)

    def _now_s(self) -> int:
        return self._clock.now().at_s


def _new_round() -> str:
    return uuid4().hex


def _nothing(asking: Asking) -> str:
    return say("Nothing is kept for {shop} yet.", shop=asking.shop)
