"""Commands before a session: builds, check, plan, where."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import Any

import click

from shopstep.cli.completing import offer_builds
from shopstep.cli.options import json_option, now_option, wish_options
from shopstep.cli.output import say_finding, say_json
from shopstep.desk import Wish
from shopstep.model.plan import BuildSummary, Finding, Level, Plan, Question
from shopstep.wiring.desks import open_desk, places
from shopstep.wiring.problems import ExitCode, plain_problems
from shopstep.words import say, say_count


def make_wish(builds: tuple[str, ...], given: dict[str, Any]) -> Wish:
    """The wish that a command's builds and options make."""
    first, *others = builds
    units = given["units"] if len(given["units"]) > 1 else given["units"] * len(builds)
    if len(units) != len(builds):
        raise click.BadParameter(
            say_count(
                "{units} numbers for {n} build; give one for all, or one for each",
                "{units} numbers for {n} builds; give one for all, or one for each",
                len(builds),
                units=len(units),
            ),
            param_hint="--units",
        )
    return Wish(
        build=first,
        also=tuple(zip(others, units[1:], strict=True)),
        settings=given["settings"],
        units=units[0],
        shop=given["shop"],
        temperature_c=given["temperature"],
        humidity_percent=given["humidity"],
        night_c=given["night_c"],
        labels=given["labels"],
        prefer=given["prefer"],
        quiet_from_min=given["quiet_from_min"],
        display=given["display"],
        only=given["only"],
        limits=given["limits"],
        prices=given["prices"],
        guessed_times=given["guessed_times"],
        uses_rack=not given["no_rack"],
    )


@click.command("builds", short_help="What is on the build shelf.")
@json_option
def builds_command(as_json: bool) -> int:
    """List the builds on the shelf and what each one asks you to measure.

    \b
    Example: shopstep builds
    """
    with plain_problems():
        entries = open_desk().builds()
    if as_json:
        say_json({"version": 1, "builds": [_build_entry(entry) for entry in entries]})
        return ExitCode.OK
    for entry in entries:
        for line in _build_lines(entry):
            click.echo(line)
    return ExitCode.OK


def _build_entry(entry: BuildSummary) -> dict[str, object]:
    return {
        "id": entry.id,
        "title": entry.title,
        "summary": entry.summary,
        "revision": entry.revision,
        "file": entry.place,
        "problem": entry.problem or None,
        "asks": [
            {"name": q.name, "prompt": q.prompt, "usual": q.usual, "allowed": q.allowed}
            for q in entry.asks
        ],
    }


def _build_lines(entry: BuildSummary) -> list[str]:
    if entry.problem:
        return [
            say("{entry_id}: cannot be read. {problem}", entry_id=entry.id, problem=entry.problem),
            "",
        ]
    lines = [
        say(
            "{entry_id}: {entry_title}, revision {revision}",
            entry_id=entry.id,
            entry_title=entry.title,
            revision=entry.revision,
        ),
        *_fold(entry.summary, "  "),
    ]
    lines += [
        line
        for q in entry.asks
        for line in (
            *_fold(
                f"{q.name}: {q.at_usual or _usually(q)}",
                "  ",
                "    ",
            ),
            *_fold(q.prompt, "    "),
        )
    ]
    return [*lines, ""]


def _usually(ask: Question) -> str:
    return say("usually {usual}; {allowed}", usual=ask.usual, allowed=ask.allowed)


def _fold(text: str, indent: str, then: str = "") -> list[str]:
    return wrap(text, width=78, initial_indent=indent, subsequent_indent=then or indent)


@click.command("check", short_help="Whether a build works at your measurements.")
@click.argument("build", shell_complete=offer_builds)
@wish_options
@json_option
@now_option
def check_command(build: str, as_json: bool, now: str | None, **given: Any) -> int:
    """Check a build (a file, or a name on the shelf) at your measurements.

    \b
    Example: shopstep check screened-floor --set box_width="16 1/2 in"
    """
    with plain_problems():
        findings = open_desk().check(make_wish((build,), given), _checked_from(now))
    if as_json:
        from shopstep.present.document import findings_document

        say_json(findings_document(findings))
    else:
        _say_findings(findings)
    stopped = any(finding.level is Level.STOP for finding in findings)
    return ExitCode.REFUSED if stopped else ExitCode.OK


CHECKED_FROM_S = 1_767_571_200
"""Monday 5 January 2026, 0:00 UTC: a check is about the design, so any week will do; the same one
each time lets what was worked out be used again."""


def _checked_from(now: str | None) -> int:
    if now is None:
        return CHECKED_FROM_S
    from shopstep.wiring.clocks import make_clock

    return make_clock(now).now().at_s


def _say_findings(findings: tuple[Finding, ...]) -> None:
    from shopstep.present.findings import told_once

    findings = told_once(findings)
    for finding in findings:
        say_finding(finding)
    stops = sum(finding.level is Level.STOP for finding in findings)
    if stops:
        click.echo(
            say_count(
                "Stopped by {n} finding: no plan can be made.",
                "Stopped by {n} findings: no plan can be made.",
                stops,
            )
        )
    else:
        click.echo(say("It fits: a plan can be made."))


@click.command("plan", short_help="Parts, cuts, what to buy, setups, evenings.")
@click.argument("builds", nargs=-1, required=True, shell_complete=offer_builds)
@wish_options
@click.option("--why", metavar="STEP", help="Why does this step not start earlier?")
@click.option("--chart", is_flag=True, help="The evenings as a chart.")
@click.option(
    "--chart-svg", "picture", type=click.Path(path_type=Path), help="Write the chart as SVG."
)
@click.option(
    "--cuts-svg", "cuts", type=click.Path(path_type=Path), help="Write the cut drawings as SVG."
)
@click.option("--what-if", "vary", is_flag=True, help="What would more of one thing save?")
@json_option
@now_option
def plan_command(
    builds: tuple[str, ...],
    why: str | None,
    chart: bool,
    picture: Path | None,
    cuts: Path | None,
    vary: bool,
    as_json: bool,
    now: str | None,
    **given: Any,
) -> int:
    """Work out a batch: parts (left and right apart), stock, what to buy, setups, evenings.

    \b
    Examples:
      shopstep plan screened-floor --units 2
      shopstep plan my-floor.yaml --set box_width="16 1/2 in" --json
      shopstep plan screened-floor --why u1/paint/second
      shopstep plan screened-floor --units 12 --what-if
      shopstep plan screened-floor --cuts-svg cuts.svg
      shopstep plan screened-floor hive-body roof --units 2,4,2
    """
    from shopstep.present.document import plan_document
    from shopstep.present.plan_text import plan_lines
    from shopstep.wiring.clocks import make_clock

    if as_json and (why is not None or vary or chart):
        text = say("--why, --what-if and --chart are for reading; --json gives the plan")
        raise click.UsageError(text)
    if why is not None or vary:
        return _explain(make_wish(builds, given), make_clock(now).now().at_s, why)
    with plain_problems():
        plan = open_desk().plan(make_wish(builds, given), make_clock(now).now().at_s)
    if cuts is not None:
        _write_cuts(plan, cuts)
    if chart or picture is not None:
        return _show_chart(plan, picture, is_told=chart)
    if as_json:
        say_json(plan_document(plan))
    else:
        click.echo("\n".join(plan_lines(plan)))
    return ExitCode.OK


def _write_cuts(plan: Plan, file: Path) -> None:
    from shopstep.present.cut_svg import cuts_svg

    with plain_problems():
        file.write_text(cuts_svg(plan), encoding="utf-8")
    click.echo(say("cut drawings: {file}", file=file), err=True)


def _show_chart(plan: Plan, picture: Path | None, *, is_told: bool) -> int:
    """On the terminal, into a file, or both."""
    from shopstep.present.chart import chart_lines, chart_svg

    if is_told:
        click.echo("\n".join(chart_lines(plan)))
    if picture is not None:
        with plain_problems():
            picture.write_text(chart_svg(plan), encoding="utf-8")
        click.echo(say("chart: {picture}", picture=picture), err=True)
    return ExitCode.OK


def _explain(wish: Wish, begin_s: int, step: str | None) -> int:
    """Why a step stands where it stands, or what more of one thing would save."""
    from shopstep.present.why_start import what_if_lines, why_lines

    with plain_problems():
        if step is not None:
            plan, chain = open_desk().explain(wish, begin_s, step)
            lines = why_lines(plan, chain)
        else:
            plan, found = open_desk().vary(wish, begin_s)
            lines = what_if_lines(plan, [(each.change, each.plan) for each in found])
    click.echo("\n".join(lines))
    return ExitCode.OK


@click.command("where", short_help="Where files live.")
@json_option
def where_command(as_json: bool) -> int:
    """Show where settings, sessions and builds are looked for.

    \b
    Example: shopstep where
    """
    found = places()
    if as_json:
        say_json({"version": 1, "places": dict(found)})
    else:
        for name, place in found:
            click.echo(f"{name}: {place}")
    return ExitCode.OK
